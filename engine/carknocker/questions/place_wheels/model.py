"""The answer to *place-wheels*: which wheelset at which axle, what it rests on, and what conflicts where none does."""

from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.judgement.answer import CheckAnswer
from carknocker.rulebook.model import Verdict

Where = Literal["fitted", "carried", "on the shelf"]


class Shortfall(msgspec.Struct, frozen=True):
    """Why a wheelset can't stand at an axle, or what is yet to be shown of it there. label: of the part. kind: of the
    part, without its place. criterion: its id. words: what is wrong."""

    label: str
    kind: str
    criterion: str
    verdict: Verdict
    words: str

    @property
    def known(self) -> bool:
        """Whether it is known to be so, not merely not shown."""
        return self.verdict in ("breached", "borderline")

    def __str__(self) -> str:
        return f"{self.label}: {self.words}"

    @property
    def at_any_axle(self) -> str:
        """The same wherever the wheelset stands: `wheel: flange 7/8 in or thinner; must be over 7/8 in`."""
        return f"{self.kind}: {self.words}"


class Place(msgspec.Struct, frozen=True):
    """One wheelset at one axle. reasons: why it can't stand there (criterion and part), empty where it can."""

    axle: int
    serial: str
    reasons: tuple[Shortfall, ...]


class Wheelset(msgspec.Struct, frozen=True):
    """A wheelset that may be used. miles: to the first limit of a rim; None where no wear rate tells, and then why."""

    serial: str
    where: Where
    axle: int | None
    miles: Fraction | None
    no_miles: str


class Arrangement(msgspec.Struct, frozen=True):
    """serials: by axle, from axle 1. moved: axles whose wheelset changes. miles: to the first limit of any of its
    wheelsets; None where one of them has no wear rate. to_show: what is not shown of it yet."""

    serials: tuple[str, ...]
    moved: tuple[int, ...]
    miles: Fraction | None
    to_show: tuple[Shortfall, ...]


class Conflict(msgspec.Struct, frozen=True):
    """Criteria that can't all hold, though they could without any one of them. where: the axles, the truck or the car.
    words: what was found."""

    where: str
    criteria: tuple[str, ...]
    words: str


class Arranged(msgspec.Struct, frozen=True):
    """The answer. best: None where none holds. ties: as good as the best, not more than are shown; more_ties: how many
    beside those. strict: everything about it is shown; else `to_show` names what is not.

    after: what is to be read and tested once it is done, in lines. tested: situations that were looked at.
    miles_used: whether the miles decided among arrangements that move as few.
    """

    check: CheckAnswer
    axles: tuple[tuple[int, str], ...]
    wheelsets: tuple[Wheelset, ...]
    places: tuple[Place, ...]
    best: Arrangement | None
    ties: tuple[Arrangement, ...]
    more_ties: int
    strict: bool
    miles_used: bool
    conflicts: tuple[Conflict, ...]
    void_after: tuple[str, ...]
    tests_after: tuple[str, ...]
    still_open: tuple[str, ...]
    notes: tuple[str, ...]
    tested: int

    @property
    def all_shown(self) -> bool:
        """Whether there is an arrangement of which nothing is left to be shown."""
        return self.best is not None and self.strict
