"""Boundaries of limits: which example stands on one, and which the smallest step past it."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from functools import cache

from carknocker.quantities import Period
from carknocker.record.values import Count, Figure, Interval, Value

STEPS: Mapping[str, Fraction] = {
    "length": Fraction(1, 64), "weight": Fraction(1), "pressure": Fraction(1), "temperature": Fraction(1),
    "temperature difference": Fraction(1), "speed": Fraction(1), "distance": Fraction(1), "ratio": Fraction(1, 100),
    "degree of curve": Fraction(1, 4), "volume": Fraction(1, 8), "resistance": Fraction(1000),
    "pressure per minute": Fraction(1), "tapes": Fraction(1), "minutes": Fraction(1),
}  # fmt: skip
"""The smallest step that an example takes past a limit, in the base unit: what the trade's usual tools resolve."""

# Where a limit lets more pass, the step past it is above (True) or below.
_PAST_IS_ABOVE = {"over": True, "at_least": False, "under": False, "at_most": True, "within": True}


def on_limit(value: Value, limit: Value) -> bool:
    """The value is exactly the limit."""
    if isinstance(value, Interval) and isinstance(limit, Interval):
        return value.period == limit.period
    return _amount(value) is not None and _amount(value) == _amount(limit)


def just_past(value: Value, limit: Value, word: str) -> bool:
    """The value lies past the limit, where the verdict is the other one, by no more than one step."""
    above = _PAST_IS_ABOVE[word]
    if isinstance(value, Interval) and isinstance(limit, Interval):
        return _period_past(value.period, limit.period, above)
    found, bound = _amount(value), _amount(limit)
    if found is None or bound is None:
        return False
    distance = found - bound if above else bound - found
    return 0 < distance <= _step(limit)


def _amount(value: Value) -> Fraction | None:
    if isinstance(value, Figure):
        return value.quantity.amount
    return Fraction(value.number) if isinstance(value, Count) else None


def _step(limit: Value) -> Fraction:
    return STEPS.get(limit.quantity.dimension, Fraction(1)) if isinstance(limit, Figure) else Fraction(1)


def _period_past(found: Period, limit: Period, above: bool) -> bool:
    """A period a day longer (or shorter) than another. Months differ: a day past the shortest that they can be, or
    past the longest, or between, is past on some day of departure; running the example tells on which."""
    shortest, longest = _days(limit)
    first, last = _days(found)
    if first != last:
        return False
    return shortest < first <= longest + 1 if above else shortest - 1 <= first < longest


@cache
def _days(period: Period) -> tuple[int, int]:
    """The fewest and the most days that a period can have."""
    starts = [date(year, month, 1) for year in range(1996, 2005) for month in range(1, 13)]
    spans = [(period.after(start) - start).days for start in starts]
    return min(spans), max(spans)
