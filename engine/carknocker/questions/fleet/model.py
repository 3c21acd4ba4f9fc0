"""What is asked of a fleet, car by car, and what is answered. All of it can be sent to another process."""

from pathlib import Path
from typing import Generic, Protocol, TypeVar

import msgspec

from carknocker.documents import InputRefused, Problem
from carknocker.judgement.model import Outcome
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import CarRecord, Move

Answer = TypeVar("Answer")


class CarToCheck(Protocol):
    """One car with its move, read only where it is judged. It has to be picklable, so that it can travel there."""

    @property
    def name(self) -> str:
        """What the answer is called by."""

    @property
    def folders(self) -> tuple[Path, ...]:
        """The folders of the rulesets that it is judged by, as the place where it is judged sees them; none: the
        installed ones."""

    def read(self) -> tuple[CarRecord, Move]:
        """Raises InputRefused with every problem of both."""


class CarTexts(msgspec.Struct, frozen=True):
    """A car whose record and move are at hand as texts: generated, fetched, or read from files that the place where it
    is judged can't see. car_file, move_file: what pages call the two."""

    name: str
    car: str
    move: str
    folders: tuple[Path, ...] = ()
    car_file: str = "car.yaml"
    move_file: str = "move.yaml"

    def read(self) -> tuple[CarRecord, Move]:
        """Raises InputRefused with every problem of both."""
        try:
            record = read_car_text(self.car, self.car_file)
        except InputRefused as refused:
            try:
                read_move_text(self.move, self.move_file)
            except InputRefused as too:
                raise InputRefused((*refused.problems, *too.problems)) from None
            raise
        return record, read_move_text(self.move, self.move_file)


class CarResult(msgspec.Struct, Generic[Answer], frozen=True):
    """The answer for one car. Exactly one of three: `answer` with its outcome; `problems`, where record, move or
    rulesets are refused; `reason`, where there is no provable answer."""

    name: str
    outcome: Outcome | None = None
    answer: Answer | None = None
    problems: tuple[Problem, ...] = ()
    reason: str = ""
