"""Days, ages and miles against a limit: what is compared depends on the day on which it is looked at."""

from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction

from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import Decide, PartView, limit_getter
from carknocker.judgement.truth import FAILS, HOLDS, UNKNOWN
from carknocker.record.model import Evidence
from carknocker.record.values import Day, Figure, Interval, Value
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.vocabulary.program_names import WHEELSET
from carknocker.workings.age_and_miles import log_is_complete_since


def within(comparison: Comparison) -> Decide:
    """Not longer ago than a period, not more miles ago than a distance; several limits all bind."""
    if isinstance(comparison.limit, Fixed):
        limits = tuple(_not_older_than(value) for value in comparison.limit.values)

        def decide(value: ObservedValue | None, view: PartView) -> int:
            span = None if value is None else _span(value)
            return UNKNOWN if span is None else min([limit(view, *span) for limit in limits])

        return decide
    table = limit_getter(comparison)

    def decide_by_table(value: ObservedValue | None, view: PartView) -> int:
        span = None if value is None else _span(value)
        chosen = None if span is None else table(view)
        return UNKNOWN if span is None or chosen is None else _not_older_than(chosen.value)(view, *span)

    return decide_by_table


def _not_older_than(limit: Value) -> Callable[[PartView, date, date], int]:
    """Whether a day between a first and a last one is not longer ago than the limit. A day that has not come yet shows
    nothing that was done. Miles that a log does not surely have can breach a limit, and never meet one."""
    if isinstance(limit, Interval):
        period = limit.period
        asked = (date.min, date.min)

        def by_age(view: PartView, first: date, last: date) -> int:
            nonlocal asked
            if first > view.situation.standing.as_of:
                return UNKNOWN
            day, oldest = asked
            if day != view.day:
                day, oldest = asked = view.day, period.before(view.day)
            if first >= oldest:
                return HOLDS
            return FAILS if last < oldest else UNKNOWN

        return by_age
    if isinstance(limit, Figure):
        allowed = limit.quantity.amount

        def by_miles(view: PartView, first: date, last: date) -> int:
            if first > view.situation.standing.as_of:
                return UNKNOWN
            if _miles_since(view, last) > allowed:
                return FAILS
            complete = log_is_complete_since(view.situation.standing.car, first)
            return HOLDS if complete and _miles_since(view, first) <= allowed else UNKNOWN

        return by_miles
    return lambda view, first, last: UNKNOWN


def _span(value: ObservedValue) -> tuple[date, date] | None:
    """The first and the last day of what a value tells, else the day of its evidence."""
    if isinstance(value.value, Day):
        return value.value.first, value.value.last
    on = None if value.evidence is None else value.evidence.on
    return None if on is None else (on, on)


def _miles_since(view: PartView, since: date) -> Fraction:
    """Miles made since a day; on arrival, and from the second day of the move on, those of the planned move too: nobody
    can say on which day which mile is made."""
    situation = view.situation
    made = situation.miles_since(situation.owner(view.key, WHEELSET), since)
    if view.arriving or view.day > situation.move.out:
        made += situation.miles_planned
    return made


def day_of(value: ObservedValue) -> Day | None:
    """The day that a value tells, else the day of its evidence."""
    if isinstance(value.value, Day):
        return value.value
    on = None if value.evidence is None else value.evidence.on
    return None if on is None else Day(on, on, on.isoformat())


def dated(comparison: Comparison, word: str) -> Decide:
    limit = limit_getter(comparison)

    def decide(value: ObservedValue | None, view: PartView) -> int:
        bound = limit(view)
        span = None if value is None else day_of(value)
        if span is None or bound is None or not isinstance(bound.value, Day):
            return UNKNOWN
        if word == "before":
            return _order(span.last < bound.value.first, span.first >= bound.value.last)
        return _order(span.first > bound.value.last, span.last <= bound.value.first)

    return decide


def _order(holds: bool, fails: bool) -> int:
    return HOLDS if holds else FAILS if fails else UNKNOWN


def period(comparison: Comparison) -> Decide:
    """An age (the value tells the day it began) or a period, against a period. Two periods are measured from the day
    of departure, since a month has no fixed number of days."""
    limit = limit_getter(comparison)
    word = comparison.word

    def decide(value: ObservedValue | None, view: PartView) -> int:
        bound = limit(view)
        if value is None or bound is None or not isinstance(bound.value, Interval):
            return UNKNOWN
        period = bound.value.period
        if isinstance(value.value, Day):
            early = _sides(word, view.day, period.after(value.value.first))
            late = _sides(word, view.day, period.after(value.value.last))
            return early if early == late else UNKNOWN
        if not isinstance(value.value, Interval):
            return UNKNOWN
        start = view.situation.move.out
        return _sides(word, value.value.period.after(start), period.after(start))

    return decide


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
    """Whether a paper's first and last day enclose a day. A paper without a first day covers none."""
    start = paper.facts.get("from")
    first = start.first if isinstance(start, Day) else paper.on
    return paper.until is not None and first is not None and first <= day <= paper.until
