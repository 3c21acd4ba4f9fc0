"""What lapses: tests, papers and dated readings as bars to their last good day, against the days of the move. What is
void or short comes first."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

import msgspec
from msgspec.structs import replace

from carknocker.judgement.criteria import CompiledComparison
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.page.drawings.canvas import HAIR, HEAVY, LINE, SHEET, THIN, Canvas, Fill, Tone
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.marks import OPEN, Mark, mark_of, worst_mark
from carknocker.page.drawings.text_width import LEAST, SMALL, shortened, text_width, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.record.model import Part
from carknocker.record.values import Day
from carknocker.wording.parts import named

_FAR = date.max


class DatedRow(msgspec.Struct, frozen=True):
    """One row. start: the last day its evidence may be of, None if nothing shows one. end: the last day it is good,
    None if no rule sets one within a year after the return. void_since, void_by: the day of the work or event that
    made it void, and what that was. fault: its number. wanted: a rule that refuses asks for it."""

    label: str
    start: date | None
    end: date | None
    mark: Mark
    fault: int | None = None
    wanted: bool = False
    void_since: date | None = None
    void_by: str = ""


class _DatedEvidence(msgspec.Struct, frozen=True):
    row: DatedRow
    part: Part


def dated_rows(index: JudgementIndex, faults: FaultNumbers) -> tuple[DatedRow, ...]:
    """The rows: what is void or short first, then by their last good day, then what is not on file."""
    groups: dict[DatedRow, list[Part]] = {}
    for one in _strictest(index, faults):
        groups.setdefault(one.row, []).append(one.part)
    rows = [replace(row, label=_label(row.label, parts, index)) for row, parts in groups.items()]
    return tuple(sorted(rows, key=_order))


def _order(row: DatedRow) -> tuple[bool, bool, date, str]:
    return row.mark == OPEN, row.fault is None, row.void_since or row.end or _FAR, row.label


def _label(label: str, parts: list[Part], index: JudgementIndex) -> str:
    label = f"{label[:1].upper()}{label[1:]}"
    return label if all(part.kind == "car" for part in parts) else f"{label}: {named(parts, index)}"


def _strictest(index: JudgementIndex, faults: FaultNumbers) -> Iterator[_DatedEvidence]:
    """One row for each test of each part: the newest evidence, the earliest last good day that any rule sets, the worst
    mark."""
    best: dict[tuple[str, str], _DatedEvidence] = {}
    for finding in index.judgement.findings:
        row = _dated_row(index, faults, finding)
        if row is None:
            continue
        key = (row.label, finding.part.key)
        known = best.get(key)
        if known is None:
            best[key] = _DatedEvidence(row, finding.part)
            continue
        both = (known.row, row)
        newest = max(both, key=lambda each: each.start or date.min)
        void = next((each for each in both if each.void_since is not None), newest)
        best[key] = _DatedEvidence(
            replace(
                newest,
                end=min((each.end for each in both if each.end is not None), default=None),
                mark=worst_mark([each.mark for each in both]),
                fault=min((each.fault for each in both if each.fault is not None), default=None),
                wanted=any(each.wanted for each in both),
                void_since=void.void_since,
                void_by=void.void_by,
            ),
            finding.part,
        )
    yield from best.values()


def _dated_row(index: JudgementIndex, faults: FaultNumbers, finding: Finding) -> DatedRow | None:
    if not finding.part.fitted or finding.relieved or finding.verdict in ("not applicable", "for the day"):
        return None
    leaf = next(filter(_is_dated, index.compiled(finding.criterion).leaves), None)
    if leaf is None or finding.criterion.renewal is not None:
        return None
    held = leaf.get(index.view(finding))
    start, until = _days(held, finding)
    ends = [day for day in (index.last_day(finding), until) if day is not None]
    void = None if finding.evidence is None else index.voided.get(finding.evidence.id)
    return DatedRow(
        leaf.comparison.path.attribute.label,
        start,
        min(ends, default=None),
        mark_of(finding),
        faults.of_finding(finding),
        finding.effect == "refuse",
        None if void is None else void.work.on,
        "" if void is None else void.work.name,
    )


def _is_dated(leaf: CompiledComparison) -> bool:
    path = leaf.comparison.path
    return path.attribute.type in ("test", "paper") or (
        path.attribute.type == "date" and leaf.comparison.word == "within"
    )


def _days(held: ObservedValue | None, finding: Finding) -> tuple[date | None, date | None]:
    """The day of the evidence, and the last day that it names itself."""
    evidence = finding.evidence if held is None or held.evidence is None else held.evidence
    if evidence is None:
        return None, None
    value = evidence.value
    return (value.last, None) if isinstance(value, Day) else (evidence.on, evidence.until)


_MOST = 16
_AHEAD, _BEHIND, _PAST = timedelta(days=300), timedelta(days=100), timedelta(days=20)
_BAR, _COLUMN = 2.6, "tint"


class _Calendar(msgspec.Struct, frozen=True):
    """Where each day is, millimeters; days beyond its ends stand at them."""

    first: date
    last: date
    left: float
    right: float

    def at(self, day: date) -> float:
        """The x of a day."""
        days = min(max((day - self.first).days, 0), (self.last - self.first).days)
        return self.left + (self.right - self.left) * days / (self.last - self.first).days


def timeline(index: JudgementIndex, faults: FaultNumbers, wide: float = SHEET) -> Drawing | None:
    """The drawing; None if no rule asks for a test, a paper or a job with a date, or nothing is on record of any."""
    rows = dated_rows(index, faults)
    known = [row for row in rows if row.start is not None or row.end is not None]
    if not known:
        return None
    move, day = index.judgement.move, index.judgement.as_of
    horizon = move.back + _AHEAD
    lapsing = [row for row in known if row.fault is not None or (row.end is not None and row.end <= horizon)]
    shown = (lapsing or known)[:_MOST]
    canvas = Canvas("timeline", wide)
    ends = [row.end for row in shown if row.end is not None]
    last = max(move.back + 3 * _PAST, min(max(ends, default=horizon), horizon) + _PAST)
    first = min(move.out, day) - _BEHIND
    calendar = _Calendar(first, last, 60.0, 150.0) if canvas.on_a_sheet else _Calendar(first, last, 2.5, wide - 2.5)
    y = _head(canvas, calendar, move.out, move.back, day)
    top = y
    out, back = calendar.at(move.out), calendar.at(move.back)
    bottom = y + sum(_height_of(canvas, row) for row in shown)
    canvas.box(out, top - 1.5, max(back - out, 0.8), bottom - top + 1.5, width=0, fill="shade")
    for row in shown:
        y = _row(canvas, row, calendar, move.out, move.back, day, y)
    if canvas.on_a_sheet:
        _as_of(canvas, calendar.at(day), top - 1.5, bottom)
    y = _axis(canvas, calendar, y)
    for words in _notes(rows, len(known) - len(shown)):
        for line in wrapped_lines(words, wide - 1, SMALL, most=5):
            y += 3.6
            canvas.text(0, y, line, size=SMALL, tone="soft")
    return canvas.finish(y + 1.5, "What lapses, against the days of the move",
                         _described(shown, move.out, move.back, day))  # fmt: skip


def _notes(rows: Sequence[DatedRow], more: int) -> list[str]:
    told = ["Bar: from the test or reading to its last good day. Hatched: what the move lacks. Column: the move."]
    if more > 0:
        told.append(f"{more} more {'is' if more == 1 else 'are'} good for longer.")
    lacking = list(dict.fromkeys(row.label for row in rows if row.start is None and row.end is None
                                 and row.mark.line == "open" and row.wanted))  # fmt: skip
    if lacking:
        rest = f"; and {len(lacking) - _MOST_LACKING} more" if len(lacking) > _MOST_LACKING else ""
        told.append(f"Not on file: {'; '.join(lacking[:_MOST_LACKING])}{rest}.")
    return told


_MOST_LACKING = 8


def _head(canvas: Canvas, calendar: _Calendar, out: date, back: date, day: date) -> float:
    """The words over the line of the day and over the column of the move."""
    as_of, move = f"as of {day:%m-%d}", f"move {out:%m-%d} to {back:%m-%d}"
    wide, long = text_width(as_of, SMALL), text_width(move, SMALL, bold=True)
    middle = (calendar.at(out) + calendar.at(back)) / 2
    left = min(max(middle - long / 2, 0), canvas.wide - long)
    x = min(calendar.at(day), left - 2.5) if calendar.at(day) < middle else calendar.at(day)
    if x - wide >= 0:
        canvas.text(x, 3.4, as_of, anchor="end", size=SMALL)
        canvas.text(left, 3.4, move, size=SMALL, bold=True)
        y = 3.4
    else:
        canvas.text(left, 3.4, move, size=SMALL, bold=True)
        canvas.text(min(max(calendar.at(day) - wide / 2, 0), canvas.wide - wide), 7.0, as_of, size=SMALL)
        y = 7.0
    if canvas.on_a_sheet:
        canvas.text(canvas.wide, 3.4, "last good day", anchor="end", size=SMALL, tone="soft")
    return y + 3.0


def _height_of(canvas: Canvas, row: DatedRow) -> float:
    if canvas.on_a_sheet:
        return 5.4 + 3.3 * (len(_label_lines(canvas, row)) - 1)
    return 9.6 + 3.3 * (len(_label_lines(canvas, row)) - 1) + (3.6 if row.fault is not None else 0)


def _label_lines(canvas: Canvas, row: DatedRow) -> list[str]:
    bold = row.fault is not None
    room = 57.0 if canvas.on_a_sheet else canvas.wide - text_width(_last_day(row), SMALL, bold=True) - 3
    return wrapped_lines(row.label, room, SMALL, bold=bold, most=2)


def _last_day(row: DatedRow) -> str:
    if row.void_since is not None:
        return f"void {row.void_since.isoformat()}"
    return "" if row.end is None else row.end.isoformat()


def _as_of(canvas: Canvas, x: float, top: float, bottom: float) -> None:
    canvas.line(x, top, x, bottom, width=THIN, dashes="1 0.8")


def _row(canvas: Canvas, row: DatedRow, calendar: _Calendar, out: date, back: date, day: date, top: float) -> float:
    bold = row.fault is not None
    high = _height_of(canvas, row)
    canvas.line(0, top, canvas.wide, top, width=HAIR, tone="soft")
    y = top + 3.7
    for number, words in enumerate(_label_lines(canvas, row)):
        canvas.text(0, y + 3.3 * number, words, size=SMALL, bold=bold)
    tone: Tone = "fault" if bold else "ink"
    canvas.text(canvas.wide, y, _last_day(row), anchor="end", size=SMALL, bold=bold, tone=tone)
    middle = top + high / 2
    if not canvas.on_a_sheet:
        middle = top + high - 2.8 - (3.6 if bold else 0)
    end = _bar(canvas, row, calendar, out, back, middle - _BAR / 2)
    if not canvas.on_a_sheet:
        _as_of(canvas, calendar.at(day), middle - _BAR / 2 - 0.8, middle + _BAR / 2 + 0.8)
    if row.fault is not None:
        told = lack_words(row, out, back)
        x, base = (end + 3.5, middle) if canvas.on_a_sheet else (2.0, top + high - 2.4)
        canvas.number(x, base, row.fault)
        edge = canvas.wide - (text_width(_last_day(row), SMALL, bold=True) + 2 if canvas.on_a_sheet else 0)
        canvas.text(x + 3, base + 1, shortened(told, edge - x - 3, SMALL), size=SMALL)
    return top + high


def _bar(canvas: Canvas, row: DatedRow, calendar: _Calendar, out: date, back: date, top: float) -> float:
    """The bar to the last good day, hatched where the move lacks it. Returns where it ends."""
    stop = row.void_since or row.end
    begin = row.start or calendar.first
    left, right = calendar.at(begin), calendar.at(stop or calendar.last)
    fill: Fill = "dark" if row.fault is not None else "middle"
    if right > left:
        canvas.box(left, top, right - left, _BAR, fill=fill)
    if row.start is None or row.start < calendar.first:
        canvas.shape([(left - 1.6, top + _BAR / 2), (left, top), (left, top + _BAR)], width=0, fill="ink")
    if row.fault is not None and stop is not None and stop < back:
        begun = max(right, calendar.at(calendar.first))
        canvas.hatched(begun, top, calendar.at(back) - begun, _BAR, tone="fault")
        canvas.line(begun, top - 1, begun, top + _BAR + 1, width=HEAVY, tone="fault")
        return calendar.at(back)
    if stop is None or stop > calendar.last:
        canvas.shape([(right + 1.6, top + _BAR / 2), (right, top), (right, top + _BAR)], width=0, fill="ink")
        return right + 1.6
    return right


def lack_words(row: DatedRow, out: date, back: date) -> str:
    """What the move lacks of it."""
    if row.void_since is not None:
        return f"void: {row.void_by}" if row.void_by else "void"
    if row.end is None:
        return row.mark.word
    if row.end < out:
        return "ran out before departure"
    days = (back - row.end).days
    return f"{days} day{'' if days == 1 else 's'} short of the return" if days > 0 else row.mark.word


def _axis(canvas: Canvas, calendar: _Calendar, y: float) -> float:
    canvas.line(calendar.left, y, calendar.right, y, width=LINE)
    taken = -1.0
    for month in _months(calendar.first, calendar.last):
        x = calendar.at(month)
        quarter = month.month % 3 == 1
        canvas.line(x, y, x, y + (1.6 if quarter else 0.9))
        half = text_width(f"{month:%Y-%m}", LEAST) / 2
        if quarter and x - half > taken and x + half < canvas.wide and x - half > 0:
            canvas.text(x, y + 4.6, f"{month:%Y-%m}", anchor="middle", size=LEAST, tone="soft")
            taken = x + half + 2
    return y + 5.6


def _months(first: date, last: date) -> list[date]:
    months = []
    year, month = first.year, first.month
    while (year, month) < (last.year, last.month):
        month += 1
        if month > 12:
            year, month = year + 1, 1
        months.append(date(year, month, 1))
    return months


_MOST_TOLD = 4


def _described(rows: Sequence[DatedRow], out: date, back: date, day: date) -> str:
    told = []
    for row in rows[:_MOST_TOLD]:
        number = "" if row.fault is None else f"fault {row.fault}, "
        short = f", {lack_words(row, out, back)}" if row.fault is not None else ""
        last = f" {_last_day(row)}" if row.void_since is not None else f" to {_last_day(row)}" if row.end else ""
        told.append(f"{number}{row.label}{last}{short}")
    return (
        f"Last good days against the move of {out.isoformat()} to {back.isoformat()}, as of {day.isoformat()}: "
        f"{'; '.join(told)}."
    )
