"""What lapses: tests, papers and dated readings as bars to their last good day, against the days of the move. What is
void or short comes first."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

import msgspec

from carknocker.judgement.criteria import CompiledComparison
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.page.drawings.canvas import HAIR, HEAVY, LINE, SHEET, THIN, Canvas, Fill, Tone
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.text_width import LEAST, SMALL, shortened, text_width, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.record.model import Part
from carknocker.record.values import Day
from carknocker.wording.faults import fault_of_findings
from carknocker.wording.last_good_days import LastGoodDay, lasting_findings
from carknocker.wording.parts import named

_FAR = date.max


class DatedRow(msgspec.Struct, frozen=True):
    """One row. start: the day of the evidence, the oldest of several, None if nothing shows one. end: the last day it
    is good, None if no rule sets one within a year after the return, or it was not good on departure. fault: its
    number. lack: what is wrong with it, in words. void_since, void_by: the day of the work or event that made it void,
    and what that was."""

    label: str
    start: date | None
    end: date | None
    fault: int | None = None
    lack: str = ""
    void_since: date | None = None
    void_by: str = ""


def dated_rows(index: JudgementIndex, faults: FaultNumbers) -> tuple[DatedRow, ...]:
    """The rows: the faults first, then by their last good day."""
    rows = [_lasting(one, findings, index, faults) for one, findings in lasting_findings(index).items()]
    return tuple(sorted((*rows, *_past(index, faults)), key=_order))


def _order(row: DatedRow) -> tuple[bool, date, str]:
    return row.fault is None, row.void_since or row.end or _FAR, row.label


def _label(label: str, parts: str) -> str:
    label = f"{label[:1].upper()}{label[1:]}"
    return f"{label}: {parts}" if parts else label


def _lasting(one: LastGoodDay, findings: Sequence[Finding], index: JudgementIndex, faults: FaultNumbers) -> DatedRow:
    void = next((found for each in findings if each.evidence if (found := index.voided.get(each.evidence.id))), None)
    what, parts = one.what, one.parts
    if one.sort == "reading" and what.startswith("readings of"):
        what, parts = f"readings of {parts or what.removeprefix('readings of ')}", ""
    numbers = [] if one.state == "good" else filter(None, map(faults.of_finding, findings))
    return DatedRow(
        _label(what, parts),
        one.since,
        None if one.state == "void" else one.last,
        min(numbers, default=None),
        void_since=one.last if one.state == "void" else None,
        void_by="" if void is None else void.work.name,
    )


def _past(index: JudgementIndex, faults: FaultNumbers) -> Iterator[DatedRow]:
    """Tests, papers and jobs with a date that are not as they must be on departure: too old, failed, run out."""
    groups: dict[tuple[str, int], list[Finding]] = {}
    for finding in index.judgement.findings:
        number = faults.of_finding(finding)
        attribute = _dated_attribute(finding, index)
        if number is not None and attribute and finding.verdict == "breached":
            groups.setdefault((attribute, number), []).append(finding)
    for (label, number), findings in groups.items():
        parts = named([one.part for one in findings], index)
        held = [one.evidence for one in findings if one.evidence is not None]
        days = [day for one in held if (day := one.value.first if isinstance(one.value, Day) else one.on) is not None]
        ends = [one.until for one in held if one.until is not None and one.until < index.judgement.move.out]
        lack = fault_of_findings(findings, index).short_words
        all_of_the_car = all(one.part.kind == "car" for one in findings)
        yield DatedRow(
            _label(label, "" if all_of_the_car else parts),
            min(days, default=None),
            min(ends, default=None),
            number,
            lack,
        )


def _lacking(index: JudgementIndex) -> list[str]:
    """Tests, papers and jobs with a date of which nothing is on file, and without which the car may not move."""
    parts: dict[str, list[Part]] = {}
    for finding in index.judgement.findings:
        label = _dated_attribute(finding, index)
        if label and finding.verdict == "not shown" and finding.effect == "refuse" and finding.evidence is None:
            parts.setdefault(label, []).append(finding.part)
    return [_label(label, "" if all(one.kind == "car" for one in own) else named(own, index))
            for label, own in parts.items()]  # fmt: skip


def _dated_attribute(finding: Finding, index: JudgementIndex) -> str:
    """The test, the paper or the day of a job at which a criterion looks, in words; empty where it looks at none."""
    if not finding.part.fitted or finding.relieved or finding.criterion.renewal is not None:
        return ""
    leaf = next(filter(_is_dated, index.compiled(finding.criterion).leaves), None)
    return "" if leaf is None else leaf.comparison.path.attribute.label


def _is_dated(leaf: CompiledComparison) -> bool:
    path = leaf.comparison.path
    return path.attribute.type in ("test", "paper") or (
        path.attribute.type == "date" and leaf.comparison.word == "within"
    )


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
    for words in _notes(_lacking(index), len(known) - len(shown)):
        for line in wrapped_lines(words, wide - 1, SMALL, most=5):
            y += 3.6
            canvas.text(0, y, line, size=SMALL, tone="soft")
    return canvas.finish(y + 1.5, "What lapses, against the days of the move",
                         _described(shown, move.out, move.back, day))  # fmt: skip


def _notes(lacking: Sequence[str], more: int) -> list[str]:
    told = ["Bar: from the test or reading to its last good day. Hatched: what the move lacks. Column: the move."]
    if more > 0:
        told.append(f"{more} more {'is' if more == 1 else 'are'} good for longer.")
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
    x = min(calendar.at(day), left - 2.5)
    if x - wide >= 0 and calendar.at(day) < middle:
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
    if row.fault is not None and stop is None:  # not good on any day of the move
        canvas.hatched(calendar.at(out), top, max(calendar.at(back) - calendar.at(out), 0.8), _BAR, tone="fault")
        return calendar.at(back)
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
    if row.end is None or row.end >= back:
        return row.lack
    if row.end < out:
        return "ran out before departure"
    days = (back - row.end).days
    return f"{days} day{'' if days == 1 else 's'} short of the return"


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
