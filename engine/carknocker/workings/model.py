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
    """What one reading adds to the doubt about a figure. sensitivity: how far the figure moves, in its base unit, per
    base unit of the reading."""

    evidence: Evidence
    sensitivity: Fraction = Fraction(1)

    @property
    def doubt(self) -> Fraction:
        """How far the figure may be off because of this reading; 0 where its resolution is not known."""
        doubt = self.evidence.doubt
        return Fraction(0) if doubt is None else abs(self.sensitivity) * doubt.amount


class Worked(msgspec.Struct, frozen=True):
    """The figure and how it came about: symbols, then numbers, then the result with its unit.

    shares: what each reading adds to the doubt, where the working says so itself (the largest of many readings hangs
    on that one alone); None: it follows from asking the working again (workings/doubt.py).
    """

    value: Value
    line: str
    used: tuple[Evidence, ...] = ()
    shares: tuple[Share, ...] | None = None


class Missing(msgspec.Struct, frozen=True):
    """What a working lacks: the part, its attribute, and why."""

    part: str
    attribute: str
    reason: str


class Readings(Protocol):
    """What a working may look at: the car on the day, and the valid evidence of an attribute of a part."""

    standing: Standing

    def newest(self, part: str, attribute: str) -> Evidence | None:
        """The newest valid evidence, or None."""

    def counted(self, key: str, attribute: str) -> list[Evidence]:
        """All valid evidence, oldest first."""


Working = Callable[[Readings, Part], Worked | Missing]
