"""The last good day of each thing that lapses: inspections, tests, readings, papers, and what is void already."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Literal

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Day
from carknocker.rulebook.model import Source
from carknocker.wording.parts import named, plural

LastingState = Literal["void", "short", "good"]
"""`void`: work or an event came after it. `short`: it runs out before the return of the move."""
_ORDER: tuple[LastingState, ...] = ("void", "short", "good")


class LastGoodDay(msgspec.Struct, frozen=True):
    """What is good for the last time on a day.

    what: the test, the paper, or the readings of a kind of part. parts: of which it is, in words; empty for the car.
    since: the day of the evidence, the oldest where there are several. last: the last good day; of what is void, the
    day of the work that came after it. criteria: the ids of those that ask for it. source: of the first of them.
    """

    what: str
    parts: str
    sort: Literal["test", "paper", "reading", "description"]
    state: LastingState
    since: date | None
    last: date
    criteria: tuple[str, ...]
    source: Source


def last_good_days(index: JudgementIndex) -> tuple[LastGoodDay, ...]:
    """What is void first, then what is short, then the rest, each by its last day. A test or a paper that several
    criteria ask for is told by the one that it lasts for least; readings of one kind of part that lapse together are
    told together."""
    return tuple(lasting_findings(index))


def first_lapses(days: Iterable[LastGoodDay]) -> tuple[LastGoodDay, ...]:
    """Of what is good beyond the return, what lapses first: all that does on that day."""
    good = [one for one in days if one.state == "good"]
    first = min((one.last for one in good), default=None)
    return tuple(one for one in good if one.last == first)


def lasting_findings(index: JudgementIndex) -> dict[LastGoodDay, tuple[Finding, ...]]:
    """What `last_good_days` tells, in the same order, with the findings that each row is made of."""
    groups: dict[tuple[str, date, LastingState], list[tuple[Finding, Evidence]]] = {}
    shortest: dict[tuple[str, str], date] = {}
    found = list(_lasting(index))
    for finding, evidence, last, _ in found:
        key = evidence.id, finding.part.key
        shortest[key] = min(last, shortest.get(key, last))
    for finding, evidence, last, state in found:
        if evidence.sort in ("test", "paper") and last > shortest[evidence.id, finding.part.key]:
            continue
        what = _what(finding, evidence, index)
        groups.setdefault((what, last, state), []).append((finding, evidence))
    rows = {
        _row(what, last, state, pairs, index): tuple(finding for finding, _ in pairs)
        for (what, last, state), pairs in groups.items()
    }
    return dict(sorted(rows.items(), key=lambda row: (_ORDER.index(row[0].state), row[0].last)))


def _lasting(index: JudgementIndex) -> Iterator[tuple[Finding, Evidence, date, LastingState]]:
    """Each finding of the car that dates decide, with its evidence and the last day on which it is met."""
    back = index.judgement.move.back
    for finding in index.judgement.findings:
        evidence = finding.evidence
        if evidence is None or not finding.part.fitted:
            continue
        if finding.verdict == "void":
            if (void := index.voided.get(evidence.id)) is not None:
                yield finding, evidence, void.work.on, "void"
            continue
        last = index.last_day(finding)
        if last is not None:
            yield finding, evidence, last, "short" if last < back else "good"


def _what(finding: Finding, evidence: Evidence, index: JudgementIndex) -> str:
    """`single-car brake test`, `liability insurance`, `readings of wheels`."""
    part = index.judgement.parts.get(evidence.part, finding.part)
    attribute = index.vocabulary.attribute(part.kind, evidence.attribute)
    label = evidence.attribute.replace("_", " ") if attribute is None else attribute.short_label
    if evidence.sort != "reading" or (attribute is not None and attribute.type == "date"):
        return label
    several = len(index.standing.by_kind.get(part.kind, ())) > 1
    return f"readings of {plural(part.kind) if several else f'the {part.kind}'}"


def _row(
    what: str, last: date, state: LastingState, pairs: list[tuple[Finding, Evidence]], index: JudgementIndex
) -> LastGoodDay:
    parts: dict[str, Part] = {finding.part.key: finding.part for finding, _ in pairs}
    days = [day for _, evidence in pairs if (day := _since(evidence)) is not None]
    return LastGoodDay(
        what=what,
        parts="" if set(parts) == {"car"} else named(parts.values(), index),
        sort=pairs[0][1].sort,
        state=state,
        since=min(days, default=None),
        last=last,
        criteria=tuple(dict.fromkeys(finding.criterion.id for finding, _ in pairs)),
        source=pairs[0][0].criterion.source,
    )


def _since(evidence: Evidence) -> date | None:
    """The day of the evidence; where it tells a day itself (cleaned on, a paper in force from), that day."""
    told = evidence.facts.get("from") if evidence.sort == "paper" else evidence.value
    return told.first if isinstance(told, Day) else evidence.on
