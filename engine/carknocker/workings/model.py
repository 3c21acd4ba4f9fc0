"""What a working is: figures that nobody reads off a gauge, derived from readings, with the worked line."""

from collections.abc import Callable
from fractions import Fraction
from typing import Protocol

import msgspec

from carknocker.record.model import Evidence, Part
from carknocker.record.standing import Standing
from carknocker.record.values import Value


class OutOfRange(ValueError):
    """A working was asked outside the range in which its formula holds. The text says so in plain words."""


class Share(msgspec.Struct, frozen=True):
    """What one reading adds to the uncertainty of a figure. sensitivity: how far the figure moves, in its base unit,
    per base unit of the reading."""

    evidence: Evidence
    sensitivity: Fraction = Fraction(1)

    @property
    def uncertainty(self) -> Fraction:
        """How far the figure may be off because of this reading; 0 where its resolution is not known."""
        of_reading = self.evidence.uncertainty
        if of_reading is None:
            return Fraction(0)
        return of_reading.amount if self.sensitivity == 1 else abs(self.sensitivity) * of_reading.amount


class Candidate(msgspec.Struct, frozen=True):
    """One of the figures of which a working takes the largest or the smallest, or the only one.

    shares: what each of its readings adds to its uncertainty. beyond: how far the candidate, as it was read, lies
    beyond the figure taken; below 0 for a candidate that falls short of it. For the one taken it is 0, or how much
    further its formula moves when all its readings move together than the shares add up to.
    """

    shares: tuple[Share, ...]
    beyond: Fraction = Fraction(0)

    @property
    def uncertainty(self) -> Fraction:
        """How far beyond the figure taken the truth may lie if this candidate governs; below 0 where it can't govern,
        whatever its gauges leave open."""
        return sum((share.uncertainty for share in self.shares), self.beyond)


class Worked(msgspec.Struct, frozen=True):
    """The figure and how it came about: symbols, then numbers, then the result with its unit.

    candidates: gives all that may truly govern the figure, where the working takes one of several; None: the
    uncertainty follows from asking the working again (workings/uncertainty.py).
    """

    value: Value
    line: str
    used: tuple[Evidence, ...] = ()
    candidates: Callable[[], tuple[Candidate, ...]] | None = None


NOT_READ = "not read"
NO_FIGURE = "told as a bound only, which gives no figure"


class Missing(msgspec.Struct, frozen=True):
    """What a working lacks: the part, its attribute, and why. unread: whether all that it lacks is a reading."""

    part: str
    attribute: str
    reason: str
    unread: bool = False

    @property
    def never_read(self) -> bool:
        """Whether there is no more to say than that it was not read."""
        return self.unread and self.reason == NOT_READ


class Readings(Protocol):
    """What a working may look at: the car on the day, and the valid evidence of an attribute of a part."""

    standing: Standing

    def newest(self, part: str, attribute: str) -> Evidence | None:
        """The newest valid evidence, or None."""

    def counted(self, key: str, attribute: str) -> list[Evidence]:
        """All valid evidence, oldest first."""


Working = Callable[[Readings, Part], Worked | Missing]
