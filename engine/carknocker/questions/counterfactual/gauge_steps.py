"""Figures nearest to what is on record with which something comes out otherwise, on the steps of their gauge."""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from math import ceil, floor

import msgspec

from carknocker.judgement.figures import ends
from carknocker.judgement.observed_value import ObservedValue
from carknocker.quantities import Quantity, write_quantity
from carknocker.questions.counterfactual.knobs import Knob
from carknocker.questions.counterfactual.model import Side, Turned
from carknocker.record.values import Bound, Count, Figure, Value
from carknocker.rulebook.check.boundaries import STEPS

_AROUND = range(-2, 4)
"""Steps of the gauge to ask about around a limit."""
_DOUBLINGS = 20
_WALK = 64


class _Scale(msgspec.Struct, frozen=True):
    """The steps of a gauge. floor: the least that there can be."""

    dimension: str
    unit: str
    step: Fraction
    floor: Fraction | None

    def value(self, amount: Fraction) -> Value:
        if self.dimension == "count":
            return Count(int(amount))
        return Figure(Quantity.of(self.dimension, amount, self.unit))

    def words(self, amount: Fraction) -> str:
        if self.dimension == "count":
            return str(int(amount))
        return write_quantity(Quantity.of(self.dimension, amount, self.unit))

    def there(self, amount: Fraction) -> bool:
        return self.floor is None or amount >= self.floor


def figures(knob: Knob, works: Callable[[Value], bool], limits: Sequence[Value]) -> Iterator[Turned]:
    """The nearest steps of the gauge on each side that do; of a go/no-go gauge, its other answer first."""
    now = knob.now
    if now is None:
        return
    scale = _scale(knob, now)
    low, high = (None if one is None else Fraction(one[0], one[1]) for one in ends(ObservedValue(now, None)))
    amounts = [amount for one in limits if (amount := _amount(one)) is not None]
    other = _other_answer(now)
    if other is not None and works(other):
        yield Turned((other,), "one of", "", Fraction(0))

    def does(amount: Fraction) -> bool:
        return scale.there(amount) and works(scale.value(amount))

    for sign, here in ((1, high), (-1, low)):
        if here is None:
            continue
        nearest = _nearest(here, sign, scale, amounts, does, search=knob.role != "own")
        if nearest is None:
            continue
        farthest = _farthest(nearest, sign, scale, does)
        exact = low == high
        short = scale.words(abs(nearest - here)) if exact else ""
        values = (scale.value(nearest), *(() if farthest is None else (scale.value(farthest),)))
        side: Side = "or more" if sign > 0 else "or less"
        if farthest is not None:
            side = "exactly" if farthest == nearest else "to"
        yield Turned(values[:1] if side == "exactly" else values, side, short, abs(nearest - here))


def _other_answer(now: Value) -> Bound | None:
    """What the same go/no-go gauge would have shown, had it answered the other way."""
    if not isinstance(now, Bound) or (now.low is None) is (now.high is None):
        return None
    if now.high is not None:
        return Bound(now.high, not now.high_open, None, False)
    return Bound(None, False, now.low, not now.low_open)


def _scale(knob: Knob, now: Value) -> _Scale:
    attribute = knob.fact or knob.attribute
    if attribute.type == "count":
        return _Scale("count", "", Fraction(1), Fraction(0))
    reads_to = knob.evidence[0].resolution or attribute.reads_to
    step = STEPS[attribute.type] if reads_to is None or not reads_to.amount else reads_to.amount
    quantity = _quantity(now)
    unit = quantity.unit if quantity is not None else ""
    return _Scale(attribute.type, unit, step, None if attribute.signed else Fraction(0))


def _quantity(value: Value) -> Quantity | None:
    if isinstance(value, Figure):
        return value.quantity
    if isinstance(value, Bound):
        return value.high or value.low
    found = getattr(value, "per_minute", None)
    return found if isinstance(found, Quantity) else None


def _amount(value: Value) -> Fraction | None:
    held = ObservedValue(value, None)
    if held.d:
        return Fraction(held.n, held.d)
    return None


def _nearest(
    here: Fraction, sign: int, scale: _Scale, limits: Sequence[Fraction], does: Callable[[Fraction], bool], *,
    search: bool,
) -> Fraction | None:  # fmt: skip
    """The first step of the gauge past `here` that does; where none near a limit does, the limit itself; where that is
    not known beforehand (`search`), ever further away."""
    step = scale.step
    asked = {(floor(limit / step) + around) * step for limit in limits for around in _AROUND}
    past = sorted((one for one in asked if (one - here) * sign > 0), key=lambda one: (one - here) * sign)
    found = next((one for one in past if does(one)), None)
    if found is None and not search:
        on_limit = sorted((one for one in limits if (one - here) * sign > 0), key=lambda one: (one - here) * sign)
        return next((one for one in on_limit if does(one)), None)
    if found is None:
        found = _searched(here, sign, scale, does)
    if found is None:
        return None
    for _ in range(_WALK):
        before = found - sign * step
        if (before - here) * sign <= 0 or not does(before):
            break
        found = before
    return found


def _searched(here: Fraction, sign: int, scale: _Scale, does: Callable[[Fraction], bool]) -> Fraction | None:
    start = (floor(here / scale.step) if sign > 0 else ceil(here / scale.step)) * scale.step
    bad = 0
    for power in range(_DOUBLINGS):
        good = 1 << power
        if not scale.there(start + sign * good * scale.step):
            return None
        if does(start + sign * good * scale.step):
            while good - bad > 1:
                middle = (good + bad) // 2
                good, bad = (middle, bad) if does(start + sign * middle * scale.step) else (good, middle)
            return start + sign * good * scale.step
        bad = good
    return None


def _farthest(nearest: Fraction, sign: int, scale: _Scale, does: Callable[[Fraction], bool]) -> Fraction | None:
    """The last step that still does, going away; None where there is no end to it, or none but the least there is."""
    good = 0
    for power in range(_DOUBLINGS):
        bad = 1 << power
        amount = nearest + sign * bad * scale.step
        if not scale.there(amount):
            amount = scale.floor or Fraction(0)
            if does(amount):
                return None
            bad = max(ceil((nearest - amount) / scale.step), 1)
        if not does(nearest + sign * bad * scale.step):
            while bad - good > 1:
                middle = (good + bad) // 2
                good, bad = (middle, bad) if does(nearest + sign * middle * scale.step) else (good, middle)
            return nearest + sign * good * scale.step
        good = bad
    return None
