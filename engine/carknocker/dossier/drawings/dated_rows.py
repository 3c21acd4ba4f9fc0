"""Rows of the timeline: each test, paper or dated job that a rule asks for, from its day to the last day it is good."""

from collections.abc import Iterator
from datetime import date

import msgspec
from msgspec.structs import replace

from carknocker.dossier.drawings.marks import OPEN, RANK, Mark, mark_of, worst
from carknocker.dossier.drawings.seen import Seen
from carknocker.judgement.criteria import CompiledComparison
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.questions.lapsing import last_day
from carknocker.record.model import Part
from carknocker.record.values import Day
from carknocker.wording.parts import named

_FAR = date.max


class DatedRow(msgspec.Struct, frozen=True):
    """One row. written: its day as the record has it (`2023-05`); start: the last day that it may be, None where
    nothing shows one. end: the last day it is good, None where no rule sets one within a year of the return."""

    label: str
    start: date | None
    end: date | None
    mark: Mark
    written: str = ""


class _Seen(msgspec.Struct, frozen=True):
    label: str
    part: Part
    start: date | None
    end: date | None
    mark: Mark
    written: str


def dated_rows(seen: Seen) -> tuple[DatedRow, ...]:
    """The rows: what stands against the move first, then by the day on which they end, what is not shown last."""
    groups: dict[DatedRow, list[Part]] = {}
    for one in _strictest(seen):
        groups.setdefault(DatedRow(one.label, one.start, one.end, one.mark, one.written), []).append(one.part)
    rows = [replace(row, label=_label(row.label, parts, seen)) for row, parts in groups.items()]
    return tuple(sorted(rows, key=_order))


def _order(row: DatedRow) -> tuple[bool, int, date, str]:
    rank = RANK[row.mark.line] if row.mark.line == "against" else 9
    return row.mark == OPEN, rank, row.end or _FAR, row.label


def _label(label: str, parts: list[Part], seen: Seen) -> str:
    label = f"{label[:1].upper()}{label[1:]}"
    return label if all(part.kind == "car" for part in parts) else f"{label}: {named(parts, seen.context)}"


def _strictest(seen: Seen) -> Iterator[_Seen]:
    """Of all rules about one test of one part, the one that ends first or matters most."""
    best: dict[tuple[str, str], _Seen] = {}
    for finding in seen.judgement.findings:
        one = _row(seen, finding)
        if one is None:
            continue
        key = (one.label, one.part.key)
        known = best.get(key)
        if known is None:
            best[key] = one
            continue
        ends = [end for end in (known.end, one.end) if end is not None]
        newest = max((known, one), key=lambda each: each.start or date.min)
        best[key] = replace(newest, end=min(ends, default=None), mark=worst([known.mark, one.mark]))
    yield from best.values()


def _row(seen: Seen, finding: Finding) -> _Seen | None:
    if not finding.part.fitted or finding.relieved or finding.verdict in ("not applicable", "for the day"):
        return None
    leaf = next(filter(_is_dated, seen.context.compiled(finding.criterion).leaves), None)
    if leaf is None or finding.criterion.renewal is not None:
        return None
    held = leaf.get(seen.context.sight(finding))
    mark = mark_of(finding)
    start, until, written = _days(held, finding)
    end = last_day(finding, seen.context)
    ends = [day for day in (end, until) if day is not None]
    label = leaf.comparison.path.attribute.label
    return _Seen(label, finding.part, start, min(ends, default=None), mark, written)


def _is_dated(leaf: CompiledComparison) -> bool:
    path = leaf.comparison.path
    return path.attribute.type in ("test", "paper") or (
        path.attribute.type == "date" and leaf.comparison.word == "within"
    )


def _days(held: ObservedValue | None, finding: Finding) -> tuple[date | None, date | None, str]:
    """The day of what was looked at, the last day that it names itself, and its day as written."""
    evidence = finding.evidence if held is None or held.evidence is None else held.evidence
    if evidence is None:
        return None, None, ""
    value = evidence.value
    if isinstance(value, Day):
        return value.last, None, value.written
    return evidence.on, evidence.until, "" if evidence.on is None else evidence.on.isoformat()
