"""The days on which what a clause says of a part may differ from the day before, all else as it is on record.

They follow from the dates on record and the periods in the rules: a reading grows too old, a paper ends or begins, an
age is reached. So a search over the days of a move asks about these alone, however long the move is.
"""

from collections.abc import Iterator
from datetime import date, timedelta

from msgspec.structs import replace

from carknocker.judgement.comparisons import getter, papers_of
from carknocker.judgement.dates import day_of
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import PartView, from_facts, limit_getter
from carknocker.quantities import Period
from carknocker.record.model import Evidence
from carknocker.record.values import Day, Figure, Interval, Value
from carknocker.rulebook.clauses import (
    FACT,
    AllOf,
    AnyOf,
    AttributePath,
    Clause,
    Comparison,
    CountOf,
    EachOf,
    Fixed,
    of_test,
)  # fmt: skip

_DAY = timedelta(days=1)


def change_days(clause: Clause | None, view: PartView, read_within: Period | None = None) -> Iterator[date]:
    """Every day on which the truth of a clause may change, some of them more than once, in no order. view: of the part
    on any day, with readings of any age. read_within: how old a reading may be on the day that is asked about."""
    for comparison, seen in comparisons_seen(clause, view):
        yield from _of_comparison(comparison, seen, read_within)


def comparisons_seen(clause: Clause | None, view: PartView) -> Iterator[tuple[Comparison, PartView]]:
    """Every comparison of a clause with the part at which it looks: the part itself, or one inside it."""
    match clause:
        case Comparison():
            yield clause, view
        case AllOf(clauses) | AnyOf(clauses):
            for member in clauses:
                yield from comparisons_seen(member, view)
        case CountOf(kind, when) | EachOf(kind, when):
            inside = [view.at(key) for key in view.situation.standing.inside_of(view.key, kind)]
            for one in (when, clause.must if isinstance(clause, EachOf) else None):
                for part in inside:
                    yield from comparisons_seen(one, part)


def _of_comparison(comparison: Comparison, view: PartView, read_within: Period | None) -> Iterator[date]:
    path = comparison.path
    papers = [] if path.owner == FACT else papers_of(view, path)
    values = [one for one in (getter(path)(view), *(_of_paper(paper, path) for paper in papers)) if one is not None]
    limits = list(limits_seen(comparison, view))
    if read_within is not None:
        for one in (*values, *limits):
            if one.on is not None:
                yield _next(read_within.after(one.on))
    if of_test(path) or comparison.word == "in_force":
        for paper in papers:
            yield from _ends_of(paper)
    if comparison.word == "within" or path.value_attribute.type == "period":
        spans = [span for one in values if (span := day_of(one)) is not None]
        for limit in limits:
            yield from _of_age(spans, limit.value, view)
    for paper in papers if path.beside else ():
        facts = PartView(view.situation, view.key, view.values, view.day, view.shop, facts=paper.facts)
        for asked in path.beside:
            own = replace(asked, path=AttributePath(FACT, asked.path.value_attribute))
            yield from _of_comparison(own, facts, None)


def _of_paper(paper: Evidence, path: AttributePath) -> ObservedValue | None:
    """What a path sees of a paper or a test, should it be the one that is looked at."""
    return ObservedValue(paper.value, paper) if path.fact is None else from_facts(paper.facts, path.fact.name)


def limits_seen(comparison: Comparison, view: PartView) -> Iterator[ObservedValue]:
    """The limits that a comparison has for a part, and what they are looked up by."""
    limit = comparison.limit
    if isinstance(limit, Fixed):
        yield from (ObservedValue(value, None) for value in limit.values)
        return
    for found in (getter(limit.path)(view), limit_getter(comparison)(view)):
        if found is not None:
            yield found


def _ends_of(paper: Evidence) -> Iterator[date]:
    """The first day of a paper, and the day after its last."""
    start = paper.facts.get("from")
    first = start.first if isinstance(start, Day) else paper.on
    if first is not None:
        yield first
    if paper.until is not None:
        yield _next(paper.until)


def _of_age(spans: list[Day], limit: Value, view: PartView) -> Iterator[date]:
    if isinstance(limit, Figure):  # from the second day of the move on, all its miles are taken as made
        yield _next(view.situation.move.out)
    if not isinstance(limit, Interval):
        return
    for span in spans:
        for start in (span.first, span.last):
            reached = limit.period.after(start)
            yield reached
            yield _next(reached)


def _next(day: date) -> date:
    return day if day == date.max else day + _DAY
