"""The timeline: tests and papers as bars along the calendar, with the days of the move hatched."""

from collections.abc import Iterator
from datetime import date, timedelta

import msgspec
from msgspec.structs import replace

from carknocker.judgement.criteria import CompiledComparison
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.page.drawings.canvas_in_units import WIDTH, Canvas
from carknocker.page.drawings.marks import OPEN, RANK, Mark, mark_of, not_shown_row, tag, worst_mark
from carknocker.page.drawings.width_in_units import SMALL, text_width, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.record.model import Part
from carknocker.record.values import Day
from carknocker.wording.parts import named

_FAR = date.max


class DatedRow(msgspec.Struct, frozen=True):
    """One row. written: its day as on record (`2023-05`). start: the last day it may have been, None if nothing shows
    one. end: the last day it is good, None if no rule sets one within a year after the return."""

    label: str
    start: date | None
    end: date | None
    mark: Mark
    written: str = ""


class _DatedEvidence(msgspec.Struct, frozen=True):
    label: str
    part: Part
    start: date | None
    end: date | None
    mark: Mark
    written: str


def dated_rows(index: JudgementIndex) -> tuple[DatedRow, ...]:
    """The rows: what keeps the car from moving first, then by their last good day, then what is not shown."""
    groups: dict[DatedRow, list[Part]] = {}
    for one in _strictest(index):
        groups.setdefault(DatedRow(one.label, one.start, one.end, one.mark, one.written), []).append(one.part)
    rows = [replace(row, label=_label(row.label, parts, index)) for row, parts in groups.items()]
    return tuple(sorted(rows, key=_order))


def _order(row: DatedRow) -> tuple[bool, int, date, str]:
    rank = RANK[row.mark.line] if row.mark.line == "against" else 9
    return row.mark == OPEN, rank, row.end or _FAR, row.label


def _label(label: str, parts: list[Part], index: JudgementIndex) -> str:
    label = f"{label[:1].upper()}{label[1:]}"
    return label if all(part.kind == "car" for part in parts) else f"{label}: {named(parts, index)}"


def _strictest(index: JudgementIndex) -> Iterator[_DatedEvidence]:
    """One row for each test of each part: the newest evidence, the earliest last good day that any rule sets, the worst
    mark."""
    best: dict[tuple[str, str], _DatedEvidence] = {}
    for finding in index.judgement.findings:
        one = _dated_row(index, finding)
        if one is None:
            continue
        key = (one.label, one.part.key)
        known = best.get(key)
        if known is None:
            best[key] = one
            continue
        ends = [end for end in (known.end, one.end) if end is not None]
        newest = max((known, one), key=lambda each: each.start or date.min)
        best[key] = replace(newest, end=min(ends, default=None), mark=worst_mark([known.mark, one.mark]))
    yield from best.values()


def _dated_row(index: JudgementIndex, finding: Finding) -> _DatedEvidence | None:
    if not finding.part.fitted or finding.relieved or finding.verdict in ("not applicable", "for the day"):
        return None
    leaf = next(filter(_is_dated, index.compiled(finding.criterion).leaves), None)
    if leaf is None or finding.criterion.renewal is not None:
        return None
    held = leaf.get(index.view(finding))
    mark = mark_of(finding)
    start, until, written = _days(held, finding)
    end = index.last_day(finding)
    ends = [day for day in (end, until) if day is not None]
    label = leaf.comparison.path.attribute.label
    return _DatedEvidence(label, finding.part, start, min(ends, default=None), mark, written)


def _is_dated(leaf: CompiledComparison) -> bool:
    path = leaf.comparison.path
    return path.attribute.type in ("test", "paper") or (
        path.attribute.type == "date" and leaf.comparison.word == "within"
    )


def _days(held: ObservedValue | None, finding: Finding) -> tuple[date | None, date | None, str]:
    """The day of the evidence, the last day that it names itself, and its day as written."""
    evidence = finding.evidence if held is None or held.evidence is None else held.evidence
    if evidence is None:
        return None, None, ""
    value = evidence.value
    if isinstance(value, Day):
        return value.last, None, value.written
    return evidence.on, evidence.until, "" if evidence.on is None else evidence.on.isoformat()


_SPAN = timedelta(days=200)
"""How far the calendar reaches before and after the move. A bar that goes on ends in an arrow."""

_MOST = 13
_MOST_OPEN = 6
_HEAD = 60.0
_LANE = 9.0


class _Scale:
    """Where each day is, across the drawing."""

    def __init__(self, first: date, last: date) -> None:
        self.first = first
        self.last = last

    def at(self, day: date) -> float:
        """The x of a day, limited to the calendar."""
        days = min(max((day - self.first).days, 0), (self.last - self.first).days)
        return 6 + (WIDTH - 12) * days / (self.last - self.first).days


def timeline(index: JudgementIndex) -> Drawing | None:
    """The drawing; None if no rule asks for a test, a paper or a job with a date."""
    rows = dated_rows(index)
    if not rows:
        return None
    move, day = index.judgement.move, index.judgement.as_of
    scale = _Scale(min(move.out, day) - _SPAN, max(move.back, day) + _SPAN)
    canvas = Canvas("timeline")
    _head(canvas, scale, move.out, move.back, day)
    shown = [row for row in rows if row.mark != OPEN]
    y = _HEAD
    for row in shown[:_MOST]:
        y = _row(canvas, row, scale, (move.out, move.back), day, y)
    y = _more(canvas, len(shown) - _MOST, y) + 3
    lacking = [row for row in rows if row.mark == OPEN]
    for row in lacking[:_MOST_OPEN]:
        not_shown_row(canvas, row.label, y)
        y += 20
    y = _more(canvas, len(lacking) - _MOST_OPEN, y)
    title = "Tests and papers against the dates of the move"
    return canvas.finish(y + 2, title, _described(rows, move.out, move.back, day))


def _more(canvas: Canvas, number: int, y: float) -> float:
    if number <= 0:
        return y
    canvas.text(0, y + 12, f"and {number} more, listed in the tables", size=SMALL)
    return y + 20


def _head(canvas: Canvas, scale: _Scale, out: date, back: date, day: date) -> None:
    canvas.box(0, 3, 16, 10, fill="hatching")
    canvas.text(21, 12, f"move, {out.isoformat()} to {back.isoformat()}", size=SMALL)
    canvas.line(8, 19, 8, 31, dashes="3 2")
    canvas.text(21, 29, f"day of this page, {day.isoformat()}", size=SMALL)
    y = _HEAD - 10
    canvas.line(0, y, WIDTH, y)
    taken = 0.0
    for month in _months(scale.first, scale.last):
        x = scale.at(month)
        canvas.line(x, y - 4, x, y)
        label = month.isoformat()[:7]
        half = text_width(label, SMALL) / 2
        if month.month % 3 == 1 and x - half > taken and x + half < WIDTH:
            canvas.text(x, y - 6, label, anchor="middle", size=SMALL)
            taken = x + half + 6


def _months(first: date, last: date) -> list[date]:
    months = []
    year, month = first.year, first.month
    while (year, month) < (last.year, last.month):
        month += 1
        if month > 12:
            year, month = year + 1, 1
        months.append(date(year, month, 1))
    return months


def _row(canvas: Canvas, row: DatedRow, scale: _Scale, move: tuple[date, date], day: date, top: float) -> float:
    words = _dates(row)
    right = float(WIDTH)
    if row.mark.word:
        right -= tag(canvas, WIDTH - 1, top + 12, row.mark, anchor="end") + 8
    canvas.text(right, top + 12, words, anchor="end", size=SMALL)
    lane = top + 4
    for line in wrapped_lines(row.label, right - text_width(words, SMALL) - 8, SMALL, most=2):
        canvas.text(0, lane + 8, line, size=SMALL)
        lane += 14
    out, back = scale.at(move[0]), scale.at(move[1])
    if row.start is not None or row.end is not None:
        _bar(canvas, row, scale, lane)
    canvas.box(out, lane, max(back - out, 3), _LANE, width=0, fill="hatching")
    canvas.line(scale.at(day), lane - 2, scale.at(day), lane + _LANE + 2, dashes="3 2")
    return lane + _LANE + 6


def _bar(canvas: Canvas, row: DatedRow, scale: _Scale, lane: float) -> None:
    """Draws a bar from the day of the test to its last good day, dashed if it no longer counts. An end that is off the
    calendar, or not known, is an arrow."""
    void = row.mark.word == "void"
    left = scale.at(row.start or scale.first)
    right = scale.at(row.end or scale.last)
    canvas.box(left, lane + 1, max(right - left, 2), _LANE - 2, fill="none" if void else "tint",
               width=1.2, dashes="4 3" if void else "")  # fmt: skip
    middle = lane + _LANE / 2
    if row.start is None or row.start < scale.first:
        canvas.shape([(left - 6, middle), (left, middle - 5), (left, middle + 5)], fill="ink", width=0)
    if row.end is None or row.end > scale.last:
        canvas.shape([(right + 6, middle), (right, middle - 5), (right, middle + 5)], fill="ink", width=0)
    else:
        canvas.line(right, lane - 2, right, lane + _LANE + 2, width=2.4)


def _dates(row: DatedRow) -> str:
    if row.start is None and row.end is None:
        return ""
    if row.end is not None and row.mark.word != "void":
        return f"until {row.end.isoformat()}"
    return f"of {row.written}" if row.written else ""


def _described(rows: tuple[DatedRow, ...], out: date, back: date, day: date) -> str:
    told = [f"The move is from {out.isoformat()} to {back.isoformat()}; the page is of {day.isoformat()}."]
    for row in rows:
        parts = [row.label]
        if row.start is not None:
            parts.append(f"of {row.written}")
        if row.end is not None:
            parts.append(f"good until {row.end.isoformat()}")
        if row.mark.word:
            parts.append(row.mark.word)
        elif row.start is None and row.end is None:
            parts.append("on record")
        told.append(f"{', '.join(parts)}.")
    return " ".join(told)
