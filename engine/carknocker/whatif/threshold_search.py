"""The values nearest to what is on record with which something comes out otherwise, on either side.

Everything is found by asking: where to ask first comes from the limits that are compared with. Figures move on the
steps of their gauge."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor

import msgspec

from carknocker.judgement.figures import ends
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.threshold import first_outward, last_before_flip, last_outward
from carknocker.quantities import DIMENSIONS, Period, Quantity, write_quantity
from carknocker.record.values import Bound, Count, Day, Figure, Interval, Value, Word, Words
from carknocker.rulebook.check.boundaries import STEPS
from carknocker.whatif.adjustable_inputs import AdjustableInput
from carknocker.whatif.model import Side, Threshold

Works = Callable[[Value], bool]
_AROUND = range(-2, 4)
"""Steps of the gauge to ask about around a limit."""
_MOST_STEPS = 1 << 19
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


def figures(
    adjustable: AdjustableInput, works: Callable[[Value], bool], limits: Sequence[Value]
) -> Iterator[Threshold]:
    """The nearest steps of the gauge on each side that do; of a go/no-go gauge, its other answer first."""
    now = adjustable.now
    if now is None:
        return
    scale = _scale(adjustable, now)
    low, high = (None if one is None else Fraction(one[0], one[1]) for one in ends(ObservedValue(now, None)))
    amounts = [amount for one in limits if (amount := _amount(one)) is not None]
    other = _other_answer(now)
    if other is not None and works(other):
        yield Threshold((other,), "one of", "", Fraction(0))

    def does(amount: Fraction) -> bool:
        return scale.there(amount) and works(scale.value(amount))

    for sign, here in ((1, high), (-1, low)):
        if here is None:
            continue
        nearest = _nearest(here, sign, scale, amounts, does, search=adjustable.role != "own")
        if nearest is None:
            continue
        farthest = _farthest(nearest, sign, scale, does)
        exact = low == high
        short = scale.words(abs(nearest - here)) if exact else ""
        values = (scale.value(nearest), *(() if farthest is None else (scale.value(farthest),)))
        side: Side = "or more" if sign > 0 else "or less"
        if farthest is not None:
            side = "exactly" if farthest == nearest else "to"
        yield Threshold(values[:1] if side == "exactly" else values, side, short, abs(nearest - here))


def _other_answer(now: Value) -> Bound | None:
    """What the same go/no-go gauge would have shown, had it answered the other way."""
    if not isinstance(now, Bound) or not now.go_or_no_go or (now.low is None) is (now.high is None):
        return None
    if now.high is not None:
        return Bound(now.high, not now.high_open, None, False, go_or_no_go=True)
    return Bound(None, False, now.low, not now.low_open, go_or_no_go=True)


def _scale(adjustable: AdjustableInput, now: Value) -> _Scale:
    attribute = adjustable.fact or adjustable.attribute
    if attribute.type == "count":
        return _Scale("count", "", Fraction(1), Fraction(0))
    reads_to = adjustable.evidence[0].resolution or attribute.reads_to
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

    def still(steps: int) -> bool:
        nearer = found - sign * steps * step
        return (nearer - here) * sign > 0 and does(nearer)

    nearer = last_outward(still, _WALK)
    return found - sign * (_WALK if nearer is None else nearer) * step


def _searched(here: Fraction, sign: int, scale: _Scale, does: Callable[[Fraction], bool]) -> Fraction | None:
    start = (floor(here / scale.step) if sign > 0 else ceil(here / scale.step)) * scale.step
    steps = first_outward(lambda number: does(start + sign * number * scale.step), _MOST_STEPS)
    return None if steps is None else start + sign * steps * scale.step


def _farthest(nearest: Fraction, sign: int, scale: _Scale, does: Callable[[Fraction], bool]) -> Fraction | None:
    """The last step that still does, going away; None where there is no end to it, or none but the least there is."""
    steps = last_outward(lambda number: does(nearest + sign * number * scale.step), _MOST_STEPS)
    if steps is None:
        return None
    beyond = nearest + sign * (steps + 1) * scale.step
    if scale.floor is not None and not scale.there(beyond) and does(scale.floor):
        return None
    return nearest + sign * steps * scale.step


_YEARS = 3653
_LONG_AGO = date(1800, 1, 1)


def thresholds(
    adjustable: AdjustableInput, works: Works, limits: Sequence[Value], days: Sequence[date]
) -> tuple[Threshold, ...]:
    """The nearest values on each side. limits: what it is compared with, or where to look. days: the last days that may
    serve, the soonest first, for what is a day."""
    kind = adjustable.type
    if adjustable.now is None:
        return ()
    if adjustable.adjusts == "value" and kind == "test":
        return _words([Word("passed")], adjustable, works)
    if kind == "date":
        return tuple(_days(adjustable, works, days))
    if kind == "period":
        return tuple(_periods(adjustable, works, limits))
    if kind in DIMENSIONS or kind == "count":
        return tuple(figures(adjustable, works, limits))
    return _words(_word_candidates(adjustable, limits), adjustable, works)


def _word_candidates(adjustable: AdjustableInput, limits: Sequence[Value]) -> list[Value]:
    attribute = adjustable.fact or adjustable.attribute
    texts = attribute.words
    if attribute.type != "list of":
        return [*map(Word, texts), *(one for one in limits if isinstance(one, Word) and one.text not in texts)]
    now = adjustable.now.texts if isinstance(adjustable.now, Words) else ()
    wanted = [text for one in limits for text in (one.texts if isinstance(one, Words) else _text(one))]
    more = Words(tuple(dict.fromkeys((*now, *wanted))))
    fewer = Words(tuple(text for text in now if text not in wanted))
    return [more, fewer, *(Words((text,)) for text in texts)]


def _text(value: Value) -> tuple[str, ...]:
    return (value.text,) if isinstance(value, Word) else ()


def _words(candidates: Sequence[Value], adjustable: AdjustableInput, works: Works) -> tuple[Threshold, ...]:
    found = tuple(one for one in dict.fromkeys(candidates) if one != adjustable.now and works(one))
    if adjustable.type == "list of":
        found = found[:1]
    return (Threshold(found, "one of", "", Fraction(0)),) if found else ()


def _days(adjustable: AdjustableInput, works: Works, latest: Sequence[date]) -> Iterator[Threshold]:
    """A day is looked for by halving: what once is late enough stays so."""
    now = adjustable.now
    if not isinstance(now, Day):
        return

    def does(day: date) -> bool:
        return works(Day(day, day, day.isoformat()))

    def on(day: int) -> bool:
        return does(date.fromordinal(day))

    latest_day = max(latest)
    furthest = [*latest, latest_day + timedelta(days=min(_YEARS, (date.max - latest_day).days))]
    after = next((one for one in furthest if one > now.last and does(one)), None)
    if after is not None:
        first = last_before_flip(on, after.toordinal(), now.last.toordinal())
        side: Side = "until" if adjustable.adjusts == "until" else "on or after"
        yield _day_threshold(date.fromordinal(first), side, first - now.last.toordinal())
    if adjustable.adjusts == "until" or now.first <= _LONG_AGO or not does(_LONG_AGO):
        return
    last = last_before_flip(on, _LONG_AGO.toordinal(), now.first.toordinal())
    yield _day_threshold(date.fromordinal(last), "on or before", now.first.toordinal() - last)


def _day_threshold(day: date, side: Side, away: int) -> Threshold:
    return Threshold((Day(day, day, day.isoformat()),), side, f"{away:,} day{'' if away == 1 else 's'}", Fraction(away))


def _periods(adjustable: AdjustableInput, works: Works, limits: Sequence[Value]) -> Iterator[Threshold]:
    """A period on record, a day to either side of a limit."""
    now = adjustable.now
    if isinstance(now, Day):  # an age: what is on record is the day on which it began
        yield from _days(adjustable, works, [now.last])
        return
    if not isinstance(now, Interval):
        return
    start = date(2000, 1, 1)
    asked = [
        Period(one.period.days + days, one.period.months)
        for one in limits
        if isinstance(one, Interval)
        for days in (-1, 0, 1)
    ]
    fitting = sorted({one.after(start): one for one in asked if works(Interval(one))}.items())
    here = now.period.after(start)
    above = next(((day, one) for day, one in fitting if day > here), None)
    below = next(((day, one) for day, one in reversed(fitting) if day < here), None)
    for found, side in ((above, "or more"), (below, "or less")):
        if found is not None:
            away = abs((found[0] - here).days)
            yield Threshold((Interval(found[1]),), side, f"{away:,} days", Fraction(away))  # type: ignore[arg-type]
