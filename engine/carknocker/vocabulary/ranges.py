"""In which range a figure, a count, a period or a day can be, and in which it usually is."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

import msgspec

from carknocker.quantities import Period, Quantity

Days = Mapping[str, tuple[date, date]]
"""What the ends of a range count from (`as-of`, `built`), each with its first and its last possible day."""
_DAYS_OF_A_MONTH = Fraction(48699, 1600)  # 400 years of the calendar have 146,097 days


class RangeEnd(msgspec.Struct, frozen=True):
    """One end of a range, which belongs to it. written: as the vocabulary writes it.

    Of a figure, a count or a period: n/d in its base unit (of a period: days). Of a day: `fixed`, from its first to its
    last day where a year is given, or `anchor`, the day that it counts from, so much `earlier` or `later`.
    """

    written: str
    n: int = 0
    d: int = 1
    fixed: tuple[date, date] | None = None
    anchor: str = ""
    earlier: Period | None = None
    later: Period | None = None

    def days(self, known: Days) -> tuple[date, date] | None:
        """The first and the last day that it can be; None where what it counts from is not known."""
        span = self.fixed or known.get(self.anchor)
        if span is None or (self.earlier is None and self.later is None):
            return span
        if self.earlier is not None:
            return self.earlier.before(span[0]), self.earlier.before(span[1])
        later = self.later or Period()
        return later.after(span[0]), later.after(span[1])


class Range(msgspec.Struct, frozen=True):
    """From `least` to `most`, both included; None leaves a side open."""

    least: RangeEnd | None
    most: RangeEnd | None

    def __str__(self) -> str:
        if self.least is None or self.most is None:
            return (
                f"{self.least.written} or more" if self.least else f"at most {self.most.written}" if self.most else ""
            )
        return f"{self.least.written} to {self.most.written}"

    @property
    def anchors(self) -> frozenset[str]:
        """What its ends count from; empty for a range of figures."""
        return frozenset(end.anchor for end in (self.least, self.most) if end is not None and end.anchor)

    def holds(self, amount: Quantity | Fraction | int) -> bool:
        """Whether an amount, in the base unit, lies in it."""
        if isinstance(amount, int):
            n, d = amount, 1
        else:
            n, d = (amount.n, amount.d) if isinstance(amount, Quantity) else amount.as_integer_ratio()
        least, most = self.least, self.most
        return (least is None or n * least.d >= least.n * d) and (most is None or n * most.d <= most.n * d)

    def meets(self, low: Quantity | None, low_open: bool, high: Quantity | None, high_open: bool) -> bool:
        """Whether some amount between two bounds lies in it. None: not bounded on that side. open: the bound itself
        does not belong to what it leaves."""
        if high is not None and self.least is not None:
            left, right = high.n * self.least.d, self.least.n * high.d
            if left < right or (left == right and high_open):
                return False
        if low is not None and self.most is not None:
            left, right = low.n * self.most.d, self.most.n * low.d
            if left > right or (left == right and low_open):
                return False
        return True

    def holds_period(self, period: Period) -> bool:
        """Whether a period lies in it, a month being the mean month of the calendar."""
        return self.holds(days_of(period))

    def meets_day(self, first: date, last: date, known: Days) -> bool:
        """Whether some day from `first` to `last` can lie in it. An end that counts from a day that is not known
        leaves its side open."""
        least = None if self.least is None else self.least.days(known)
        most = None if self.most is None else self.most.days(known)
        return (least is None or last >= least[0]) and (most is None or first <= most[1])


class Ranges(msgspec.Struct, frozen=True):
    """What can be at all, what is usual, and what that rests on. possible: None for what is worked out."""

    possible: Range | None
    usual: Range | None
    source: str


def days_of(period: Period) -> Fraction:
    """A period in days, a month being the mean month of the calendar."""
    return period.days + period.months * _DAYS_OF_A_MONTH
