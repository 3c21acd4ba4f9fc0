"""The values nearest to what is on record with which something comes out otherwise, on either side, step by step.

Everything is found by asking: where to ask first comes from the limits that are compared with.
"""

from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from fractions import Fraction

from carknocker.quantities import DIMENSIONS, Period
from carknocker.questions.counterfactual.gauge_steps import figures
from carknocker.questions.counterfactual.knobs import Knob
from carknocker.questions.counterfactual.model import Side, Turned
from carknocker.record.values import Day, Interval, Value, Word, Words

Works = Callable[[Value], bool]
_YEARS = 3653
_LONG_AGO = date(1800, 1, 1)


def turned(knob: Knob, works: Works, limits: Sequence[Value], days: Sequence[date]) -> tuple[Turned, ...]:
    """The nearest values on each side. limits: what it is compared with, or where to look. days: the last days that may
    serve, the soonest first, for what is a day."""
    kind = knob.type
    if knob.now is None:
        return ()
    if knob.turns == "value" and kind == "test":
        return _words([Word("passed")], knob, works)
    if kind == "date":
        return tuple(_days(knob, works, days))
    if kind == "period":
        return tuple(_periods(knob, works, limits))
    if kind in DIMENSIONS or kind == "count":
        return tuple(figures(knob, works, limits))
    return _words(_word_candidates(knob, limits), knob, works)


def _word_candidates(knob: Knob, limits: Sequence[Value]) -> list[Value]:
    attribute = knob.fact or knob.attribute
    texts = [*attribute.one_of, *(("yes", "no") if attribute.type == "yes or no" else ())]
    if attribute.type != "list of":
        return [*map(Word, texts), *(one for one in limits if isinstance(one, Word) and one.text not in texts)]
    now = knob.now.texts if isinstance(knob.now, Words) else ()
    wanted = [text for one in limits for text in (one.texts if isinstance(one, Words) else _text(one))]
    more = Words(tuple(dict.fromkeys((*now, *wanted))))
    fewer = Words(tuple(text for text in now if text not in wanted))
    return [more, fewer, *(Words((text,)) for text in texts)]


def _text(value: Value) -> tuple[str, ...]:
    return (value.text,) if isinstance(value, Word) else ()


def _words(candidates: Sequence[Value], knob: Knob, works: Works) -> tuple[Turned, ...]:
    found = tuple(one for one in dict.fromkeys(candidates) if one != knob.now and works(one))
    if knob.type == "list of":
        found = found[:1]
    return (Turned(found, "one of", "", Fraction(0)),) if found else ()


def _days(knob: Knob, works: Works, latest: Sequence[date]) -> Iterator[Turned]:
    """A day is looked for by halving: what once is late enough stays so."""
    now = knob.now
    if not isinstance(now, Day):
        return

    def does(day: date) -> bool:
        return works(Day(day, day, day.isoformat()))

    last = max(latest)
    furthest = [*latest, last + timedelta(days=min(_YEARS, (date.max - last).days))]
    after = next((one for one in furthest if one > now.last and does(one)), None)
    if after is not None:
        good, bad = after, now.last
        while (good - bad).days > 1:
            middle = bad + (good - bad) / 2
            good, bad = (middle, bad) if does(middle) else (good, middle)
        yield _day_turned(good, "until" if knob.turns == "until" else "on or after", (good - now.last).days)
    if knob.turns == "until" or now.first <= _LONG_AGO or not does(_LONG_AGO):
        return
    good, bad = _LONG_AGO, now.first
    while (bad - good).days > 1:
        middle = good + (bad - good) / 2
        good, bad = (middle, bad) if does(middle) else (good, middle)
    yield _day_turned(good, "on or before", (now.first - good).days)


def _day_turned(day: date, side: Side, away: int) -> Turned:
    return Turned((Day(day, day, day.isoformat()),), side, f"{away:,} day{'' if away == 1 else 's'}", Fraction(away))


def _periods(knob: Knob, works: Works, limits: Sequence[Value]) -> Iterator[Turned]:
    """A period on record, a day to either side of a limit."""
    now = knob.now
    if isinstance(now, Day):  # an age: what is on record is the day on which it began
        yield from _days(knob, works, [now.last])
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
            yield Turned((Interval(found[1]),), side, f"{away:,} days", Fraction(away))  # type: ignore[arg-type]
