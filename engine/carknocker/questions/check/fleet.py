"""`check_fleet`: `check` for any number of cars, here or wherever an executor takes the work."""

import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Generic, Protocol, TypeVar

import msgspec

from carknocker.documents import InputRefused, Problem
from carknocker.documents.parse_cache import ParseCache
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.model import CannotJudge, Outcome
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import CarRecord, Move
from carknocker.rulebook.library import Library, load_library, rulesets_folders
from carknocker.vocabulary.load import use_cache

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


Unit = TypeVar("Unit")
Result = TypeVar("Result")


def in_order(
    work: Callable[[Unit], Result],
    units: Iterable[Unit],
    executor: Executor | None,
    under_way: int,
    failed: Callable[[Unit, Exception], Result],
) -> Iterator[Result]:
    """The result for each unit, in the order of the units, which are drawn only as results are taken.

    executor: None does the work here. under_way: how many units are drawn and not yet answered, at most; so memory does
    not grow with their number. failed: what to answer for a unit whose work can't be handed over or does not come back.
    Whoever stops listening cancels what has not begun.
    """
    if executor is None:
        yield from map(work, units)
        return
    waiting: deque[tuple[Unit, Future[Result] | Exception]] = deque()
    try:
        for unit in units:
            waiting.append((unit, _handed_over(work, unit, executor)))
            while waiting and (len(waiting) >= max(under_way, 1) or _is_done(waiting[0][1])):
                yield _taken(*waiting.popleft(), failed)
        while waiting:
            yield _taken(*waiting.popleft(), failed)
    finally:
        for _, future in waiting:
            if isinstance(future, Future):
                future.cancel()


def _handed_over(
    work: Callable[[Unit], Result], unit: Unit, executor: Executor
) -> "Future[Result] | Exception":  # fmt: skip
    try:
        return executor.submit(work, unit)
    except BrokenExecutor as error:  # its workers have gone: every further unit says so, none is lost
        return error


def _is_done(future: "Future[Result] | Exception") -> bool:
    return isinstance(future, Exception) or future.done()


def _taken(
    unit: Unit, future: "Future[Result] | Exception", failed: Callable[[Unit, Exception], Result]
) -> Result:  # fmt: skip
    if isinstance(future, Exception):
        return failed(unit, future)
    try:
        return future.result()
    except Exception as error:
        return failed(unit, error)


_LIBRARIES = 8
"""Libraries kept at a time, for cars that each bring rulesets of their own."""
_Stamp = tuple[tuple[str, int, int], ...]


class Work(msgspec.Struct, Generic[Answer], frozen=True):
    """What is done with each car: judged as of a day, then put in the form that is wanted. cache: the folder of a
    `ParseCache`."""

    as_of: date
    told: Callable[[CheckAnswer], Answer]
    cache: Path | None

    def __call__(self, car: CarToCheck) -> CarResult[Answer]:
        """Never raises: whatever is wrong with one car is said of that car."""
        try:
            record, move = car.read()
            answer = check(record, move, _library(car.folders, self.cache), self.as_of)
            return CarResult(car.name, answer.outcome, self.told(answer))
        except InputRefused as refused:
            return CarResult(car.name, problems=refused.problems)
        except CannotJudge as reason:
            return CarResult(car.name, reason=str(reason))
        except Exception as error:
            return failed(car, error)


def failed(car: CarToCheck, error: Exception) -> CarResult[Answer]:
    """What is answered for a car where something went wrong inside the program, or its process has gone."""
    return CarResult(car.name, reason=f"something went wrong inside the program ({type(error).__name__}: {error})")


def _library(folders: tuple[Path, ...], cache: Path | None) -> Library:
    named = folders or tuple(rulesets_folders())
    return _loaded(named, tuple(_stamps(named)), cache)


@lru_cache(maxsize=_LIBRARIES)
def _loaded(folders: tuple[Path, ...], stamp: _Stamp, cache: Path | None) -> Library:
    """stamp: of the files; another one is another library."""
    parse_cache = None if cache is None else ParseCache(cache)
    if parse_cache is not None:
        use_cache(parse_cache)
    return load_library(folders, cache=parse_cache)


def _stamps(folders: tuple[Path, ...]) -> Iterator[tuple[str, int, int]]:
    """Name, time and size of every file under the folders. What can't be looked at is left to whoever reads it."""
    for folder in folders:
        for path, _, names in os.walk(folder):
            for name in sorted(names):
                file = os.path.join(path, name)
                try:
                    seen = os.stat(file)
                except OSError:
                    continue
                yield file, seen.st_mtime_ns, seen.st_size


UNDER_WAY = 32


def check_fleet(
    cars: Iterable[CarToCheck],
    as_of: date,
    told: Callable[[CheckAnswer], Answer],
    *,
    executor: Executor | None = None,
    under_way: int = UNDER_WAY,
    cache: Path | None = None,
) -> Iterator[CarResult[Answer]]:
    """The answer for each car, in the order of the cars, the same whatever the executor.

    cars: may be an iterator without end; a car is drawn only as answers are taken, so that memory does not grow with
    their number. told: what is wanted of each answer; the whole of a judgement is large, so this is asked where the car
    was judged and only what it returns travels back. executor: any of `concurrent.futures`, or of an engine that offers
    one; None judges here, one after another. With another process `told` and the cars have to be picklable. under_way:
    how many cars are sent out and not yet answered, at most. cache: a folder where parsed rulesets may be kept.

    Raises nothing for a car: see `CarResult`. What `cars` itself raises is passed on.
    """
    return in_order(Work(as_of, told, cache), cars, executor, under_way, failed)
