"""Boundaries of limits: which example stands on one, and which the smallest step past it."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from functools import cache

from carknocker.quantities import DIMENSIONS, Period, Quantity
from carknocker.record.values import Count, Day, Figure, Interval, Value

STEPS: Mapping[str, Fraction] = {
    "length": Fraction(1, 64), "weight": Fraction(1), "pressure": Fraction(1), "temperature": Fraction(1),
    "temperature difference": Fraction(1), "speed": Fraction(1), "distance": Fraction(1), "ratio": Fraction(1, 100),
    "degree of curve": Fraction(1, 4), "volume": Fraction(1, 8), "resistance": Fraction(1000),
    "pressure per minute": Fraction(1), "tapes": Fraction(1), "minutes": Fraction(1),
}  # fmt: skip
"""The smallest step that an example takes past a limit, in the base unit: what the trade's usual tools resolve."""

# Where a limit lets more pass, the step past it is above (True) or below.
_PAST_IS_ABOVE = {
    "over": True, "at_least": False, "under": False, "at_most": True, "within": True, "before": False, "after": True,
}  # fmt: skip


def is_number(value: Value) -> bool:
    """A figure, a period, a count or a day: what may be wrong by one step."""
    return isinstance(value, Figure | Count | Interval | Day)


def on_limit(value: Value, limit: Value) -> bool:
    """The value is exactly the limit."""
    if isinstance(value, Interval) and isinstance(limit, Interval):
        return value.period == limit.period
    if isinstance(value, Day) and isinstance(limit, Day):
        return value.first == limit.first and value.last == limit.last
    return _amount(value) is not None and _amount(value) == _amount(limit)


def just_past(value: Value, limit: Value, word: str) -> bool:
    """The value lies past the limit, where the verdict is the other one, by no more than one step."""
    above = _PAST_IS_ABOVE[word]
    if isinstance(value, Interval) and isinstance(limit, Interval):
        return _period_past(value.period, limit.period, above)
    if isinstance(value, Day) and isinstance(limit, Day):
        days = (value.first - limit.last).days if above else (limit.first - value.last).days
        return days == 1
    found, bound = _amount(value), _amount(limit)
    if found is None or bound is None:
        return False
    distance = found - bound if above else bound - found
    return 0 < distance <= _step(limit)


def _amount(value: Value) -> Fraction | None:
    if isinstance(value, Figure):
        return value.quantity.amount
    return Fraction(value.number) if isinstance(value, Count) else None


def step_of(quantity: Quantity) -> Fraction:
    """The smallest step past a figure, in the base unit: of a distance in feet, a foot."""
    factor = DIMENSIONS[quantity.dimension].units.get(quantity.unit, Fraction(1))
    if quantity.dimension == "distance" and factor < 1:
        return Fraction(factor)
    return STEPS.get(quantity.dimension, Fraction(1))


def _step(limit: Value) -> Fraction:
    return step_of(limit.quantity) if isinstance(limit, Figure) else Fraction(1)


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
