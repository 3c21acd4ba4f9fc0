"""Days, ages and miles against a limit: what is compared depends on the day on which it is looked at."""

from datetime import date, timedelta
from fractions import Fraction

from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import Getter, PartView, Test, limit_getter
from carknocker.judgement.truth import FAILS, HOLDS, UNKNOWN
from carknocker.record.model import Evidence
from carknocker.record.values import Day, Figure, Interval, Value
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.workings.miles import miles_of_car_since, miles_of_wheelset_since


def within(comparison: Comparison, get: Getter) -> Test:
    """Not longer ago than a period, not more miles ago than a distance; several limits all bind."""
    table = None if isinstance(comparison.limit, Fixed) else limit_getter(comparison)
    values = comparison.limit.values if isinstance(comparison.limit, Fixed) else ()

    def compare(sight: PartView) -> int:
        held = get(sight)
        if held is None:
            return UNKNOWN
        limits = values
        if table is not None:
            chosen = table(sight)
            if chosen is None:
                return UNKNOWN
            limits = (chosen.value,)
        span = day_of(held)
        if span is None:
            return UNKNOWN
        return min(_not_older(sight, span, limit) for limit in limits)

    return compare


def _not_older(sight: PartView, span: Day, limit: Value) -> int:
    if span.first > sight.situation.standing.as_of:
        return UNKNOWN  # a day that has not come yet shows nothing that was done
    if isinstance(limit, Interval):
        if sight.day <= limit.period.after(span.first):
            return HOLDS
        return FAILS if sight.day > limit.period.after(span.last) else UNKNOWN
    if isinstance(limit, Figure):
        allowed = limit.quantity.amount
        if _miles_since(sight, span.first) <= allowed:
            return HOLDS
        return FAILS if _miles_since(sight, span.last) > allowed else UNKNOWN
    return UNKNOWN


def _miles_since(sight: PartView, since: date) -> Fraction:
    """Miles made since a day; on arrival, and from the second day of the move on, those of the planned move too: nobody
    can say on which day which mile is made."""
    situation = sight.situation
    standing = situation.standing
    wheelset = situation.owner(sight.key, "wheelset")
    if wheelset is None:
        made = miles_of_car_since(standing.car, since, standing.as_of)
    else:
        made = miles_of_wheelset_since(standing.car, wheelset.removeprefix("wheelset "), since, standing.as_of)
    if sight.arriving or sight.day > situation.move.out:
        made += sum((leg.miles.amount for leg in situation.move.legs), Fraction(0))
    return made


def day_of(held: ObservedValue) -> Day | None:
    """The day that a value tells, else the day of its evidence."""
    if isinstance(held.value, Day):
        return held.value
    on = None if held.evidence is None else held.evidence.on
    return None if on is None else Day(on, on, on.isoformat())


def dated(comparison: Comparison, get: Getter, word: str) -> Test:
    limit = limit_getter(comparison)

    def compare(sight: PartView) -> int:
        held = get(sight)
        bound = limit(sight)
        span = None if held is None else day_of(held)
        if span is None or bound is None or not isinstance(bound.value, Day):
            return UNKNOWN
        if word == "before":
            return _order(span.last < bound.value.first, span.first >= bound.value.last)
        return _order(span.first > bound.value.last, span.last <= bound.value.first)

    return compare


def _order(holds: bool, fails: bool) -> int:
    return HOLDS if holds else FAILS if fails else UNKNOWN


def period(comparison: Comparison, get: Getter) -> Test:
    """An age (the value tells the day it began) or a period, against a period. Two periods are measured from the day
    of departure, since a month has no fixed number of days."""
    limit = limit_getter(comparison)
    word = comparison.word

    def compare(sight: PartView) -> int:
        held = get(sight)
        bound = limit(sight)
        if held is None or bound is None or not isinstance(bound.value, Interval):
            return UNKNOWN
        period = bound.value.period
        if isinstance(held.value, Day):
            early = _sides(word, sight.day, period.after(held.value.first))
            late = _sides(word, sight.day, period.after(held.value.last))
            return early if early == late else UNKNOWN
        if not isinstance(held.value, Interval):
            return UNKNOWN
        start = sight.situation.move.out
        return _sides(word, held.value.period.after(start), period.after(start))

    return compare


def _sides(word: str, ours: date, theirs: date) -> int:
    holds = {
        "over": ours > theirs, "at_least": ours >= theirs, "under": ours < theirs, "at_most": ours <= theirs,
        "is": ours == theirs, "is_not": ours != theirs,
    }  # fmt: skip
    return HOLDS if holds[word] else FAILS


def all_covered(papers: list[Evidence], first: date, last: date) -> bool:
    """Whether papers together cover every day from the first to the last."""
    day = first
    while day <= last:
        until = max((paper.until for paper in papers if paper.until is not None and covers(paper, day)), default=None)
        if until is None:
            return False
        if until >= last:
            return True
        day = until + timedelta(days=1)
    return True


def covers(paper: Evidence, day: date) -> bool:
    """Whether a paper's first and last day enclose a day."""
    start = paper.facts.get("from")
    first = start.first if isinstance(start, Day) else paper.on
    return paper.until is not None and (first is None or first <= day) and day <= paper.until
