"""Least margins, a bar each across the whole sheet: one division is what the gauge leaves open. Faults come first.

A margin is counted in steps of its gauge, not as a share of the limit: so an inch at a coupler and 1/32 in between two
wheels compare by how near each is to refusal. Only a part that is worst alone is named.
"""

from collections.abc import Sequence
from fractions import Fraction

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.canvas import HAIR, HEAVY, LINE, SHEET, THIN, Canvas
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.limited_figures import LimitedFigure, limited_figures
from carknocker.page.drawings.marks import RANK
from carknocker.page.drawings.text_width import LEAST, SMALL, TEXT, shortened, text_width, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.record.model import Part
from carknocker.wording.parts import label_of, plural

_LEAST_ROWS, _FEWEST_ROWS, _MOST_FAULTS = 8, 4, 12
_ROW = 4.4
_SIGNS = {"over": ">", "at_least": "≥", "under": "<", "at_most": "≤"}


class MarginRow(msgspec.Struct, frozen=True):
    """One reading with its limit. worst: the parts that have the least margin alike. fault: its number."""

    figure: LimitedFigure
    worst: tuple[Part, ...]
    fault: int | None

    @property
    def label(self) -> str:
        """`Flange thickness, wheel R5`; `Tread hollow, 12 wheels` where none is worst alone."""
        words = self.figure.attribute.label
        return f"{words[:1].upper()}{words[1:]}, {self.where}"

    @property
    def where(self) -> str:
        if len(self.worst) == 1:
            return label_of(self.worst[0])
        return f"{len(self.worst)} {plural(self.worst[0].kind).removesuffix(' of')}"

    @property
    def measured(self) -> str:
        """The figure alone: `1 psi/min`, without the readings that a rate comes from."""
        return self.figure.read.partition(" (")[0]

    @property
    def limit(self) -> str:
        """`> 7/8`."""
        return f"{_SIGNS[self.figure.word]} {self.figure.written(self.figure.limit).removesuffix(' in')}"

    @property
    def spare(self) -> str:
        """`1/8 in`; `none` at the limit or past it."""
        margin = self.figure.margin
        return "" if margin is None else "none" if margin <= 0 else self.figure.margin_words.removesuffix(" to spare")

    @property
    def against(self) -> str:
        """What stands beside the line where nothing is to spare."""
        if self.figure.margin is None or self.figure.margin > 0:
            return ""
        aside = self.figure.mark.word.partition(", ")[2]
        return f"{aside}: {self.figure.margin_words}" if aside else self.figure.margin_words


def margin_rows(index: JudgementIndex, faults: FaultNumbers) -> tuple[list[MarginRow], int]:
    """For each attribute of each kind of part, the least margin: faults first, then the least. And how many figures
    that must be read are not."""
    by_attribute: dict[tuple[str, str, int | None], list[LimitedFigure]] = {}
    unread: set[tuple[str, str]] = set()
    for finding in index.judgement.findings:
        for one in limited_figures(index, finding):
            if _has_a_bar(one):
                key = (one.part.kind, one.attribute.name, faults.of_finding(finding))
                by_attribute.setdefault(key, []).append(one)
            elif not one.read and finding.effect == "refuse" and one.mark.line == "open":
                unread.add((one.part.key, one.attribute.name))
    rows = [_row(own, fault) for (_, _, fault), own in by_attribute.items()]
    told = {(row.figure.part.kind, row.figure.attribute.name) for row in rows if row.fault is not None}
    kept = [row for row in rows if row.fault is not None
            or (row.figure.part.kind, row.figure.attribute.name) not in told]  # fmt: skip
    return sorted(kept, key=_order), len(unread)


def _row(figures: Sequence[LimitedFigure], fault: int | None) -> MarginRow:
    least = min(figures, key=_badness)
    worst = {one.part.key: one.part for one in figures if _badness(one)[1:3] == _badness(least)[1:3]}
    return MarginRow(least, tuple(worst.values()), fault)


def _badness(one: LimitedFigure) -> tuple[bool, Fraction, Fraction, int]:
    steps = one.steps if one.steps is not None else Fraction(0)
    return one.mark.line != "against", steps, one.margin or Fraction(0), RANK[one.mark.line]


def _order(row: MarginRow) -> tuple[int, Fraction, str]:
    number = row.fault if row.fault is not None else 10_000
    return number, _badness(row.figure)[1], row.figure.finding.criterion.id


def _has_a_bar(one: LimitedFigure) -> bool:
    """Whether its margin is known in steps, or it stands against the move (even if a go/no-go gauge has no steps)."""
    return one.steps is not None or (one.mark.line == "against" and bool(one.read))


class _Places(msgspec.Struct, frozen=True):
    """Where the columns are, millimeters. label: its right edge; measured, limit, spare: right edges; zero: the line of
    the limit; end: of the longest bar."""

    label: float
    measured: float
    limit: float
    zero: float
    end: float
    spare: float


_ON_A_SHEET = _Places(54, 72, 92, 101, 150, 178)
_ON_A_PHONE = _Places(60, 80, 80, 40, 79, 80)
_DIVISION, _MOST_DIVISIONS = 10.0, 8
_BAR, _FIELD = 2.4, 4.4


def margins(
    index: JudgementIndex, faults: FaultNumbers, wide: float = SHEET, room: float | None = None
) -> Drawing | None:
    """The drawing; None if no figure that is read with a gauge has a limit. room: millimeters of height that there
    are on a sheet; where they are few, fewer of the readings within their limit are shown, but at least four."""
    rows, unread = margin_rows(index, faults)
    if not rows:
        return None
    bad = [row for row in rows if row.fault is not None][:_MOST_FAULTS]
    good = [row for row in rows if row.fault is None]
    most = _LEAST_ROWS
    drawing = _drawn(bad, good[:most], (len(good) - most, unread), wide)
    while room is not None and drawing.height > room and most > _FEWEST_ROWS:
        most -= 1
        drawing = _drawn(bad, good[:most], (len(good) - most, unread), wide)
    return drawing


def _drawn(bad: list[MarginRow], good: list[MarginRow], besides: tuple[int, int], wide: float) -> Drawing:
    """besides: how many more readings have a limit, and how many that have one were not taken."""
    shown = [*bad, *good]
    canvas = Canvas("margins", wide)
    steps = max((float(row.figure.steps or 0) for row in shown), default=0)
    places = _ON_A_SHEET if canvas.on_a_sheet else _ON_A_PHONE
    division = min(_DIVISION, (places.end - places.zero) / min(max(steps, 2), _MOST_DIVISIONS))
    y = _head(canvas, places)
    top = y
    for row in shown:
        y = _on_a_sheet(canvas, row, places, division, y) if canvas.on_a_sheet else _on_a_phone(
            canvas, row, places, division, y)  # fmt: skip
    if canvas.on_a_sheet:
        canvas.line(places.zero, top, places.zero, y, width=HEAVY)
    canvas.line(0, y, wide, y, width=HAIR, tone="soft")
    for words in _notes(*besides, canvas.on_a_sheet):
        for line in wrapped_lines(words, wide - 1, SMALL, most=4):
            y += 3.6
            canvas.text(0, y + 0.8, line, size=SMALL, tone="soft")
    return canvas.finish(y + 2, "Least margins", _described(shown))


def _notes(more: int, unread: int, on_a_sheet: bool) -> list[str]:
    told = [] if on_a_sheet else ["One division is what the gauge leaves open."]
    if more > 0:
        told.append(f"{more} more reading{'' if more == 1 else 's'} with a limit, each with more to spare.")
    if unread:
        told.append(f"{unread} reading{'' if unread == 1 else 's'} with a limit not measured.")
    return [" ".join(told)] if told else []


def _head(canvas: Canvas, places: _Places) -> float:
    if not canvas.on_a_sheet:
        return 0.0
    y = 3.4
    for x, words, anchor in ((0.0, "Reading", "start"), (places.measured, "measured", "end"),
                             (places.limit, "limit", "end"), (places.spare, "to spare", "end")):  # fmt: skip
        canvas.text(x, y, words, anchor="end" if anchor == "end" else "start", size=SMALL, bold=True)
    canvas.text(places.zero + 1.2, y, "one division: what the gauge leaves open", size=SMALL, tone="soft")
    canvas.line(0, y + 1.6, canvas.wide, y + 1.6, width=LINE)
    return y + 1.6


def _on_a_sheet(canvas: Canvas, row: MarginRow, places: _Places, division: float, top: float) -> float:
    bold = row.fault is not None
    measured = _fitting(row.measured, places.measured - places.label - 1, bold=bold)
    room = places.measured - text_width(measured[0], measured[1], bold=bold) - 2
    lines = wrapped_lines(row.label, room, SMALL if len(row.label) > 34 else TEXT, bold=bold, most=2)
    high = _ROW + 3.4 * (len(lines) - 1)
    y = top + 3.2
    for number, words in enumerate(lines):
        canvas.text(0, y + 3.4 * number, words, size=SMALL if len(row.label) > 34 else TEXT, bold=bold)
    canvas.text(places.measured, y, measured[0], size=measured[1], anchor="end", bold=bold)
    limit = _fitting(row.limit, places.limit - places.measured - 1)
    canvas.text(places.limit, y, limit[0], size=limit[1], anchor="end", tone="soft")
    canvas.text(places.spare, y, row.spare, anchor="end", bold=bold)
    room = places.spare - text_width(row.spare, TEXT, bold=True) - 2 - places.zero - 1.5
    _bar(canvas, row, places, division, top + 1.0, room)
    canvas.line(0, top + high, canvas.wide, top + high, width=HAIR, tone="soft")
    return top + high


def _fitting(words: str, room: float, *, bold: bool = False) -> tuple[str, float]:
    """A text and the largest size in which it fits; cut in the smallest."""
    size = next((one for one in (TEXT, SMALL, LEAST) if text_width(words, one, bold=bold) <= room), LEAST)
    return shortened(words, room, size, bold=bold), size


def _on_a_phone(canvas: Canvas, row: MarginRow, places: _Places, division: float, top: float) -> float:
    bold = row.fault is not None
    room = canvas.wide - text_width(row.spare, TEXT, bold=True) - 3
    lines = wrapped_lines(row.label, room, SMALL, bold=bold, most=2)
    y = top + 3.6
    for number, words in enumerate(lines):
        canvas.text(0, y + 3.5 * number, words, size=SMALL, bold=bold)
    canvas.text(canvas.wide, y, row.spare, anchor="end", bold=bold)
    y += 3.5 * len(lines) + 0.3
    told = _fitting(f"{row.measured}; must be {row.limit}", places.zero - _FIELD - 2)
    canvas.text(0, y, told[0], size=told[1], tone="ink" if bold else "soft")
    canvas.line(places.zero, y - 3, places.zero, y + 0.6, width=HEAVY)
    _bar(canvas, row, places, division, y - 2.6, canvas.wide - places.zero - 1.5)
    canvas.line(0, y + 1.6, canvas.wide, y + 1.6, width=HAIR, tone="soft")
    return y + 1.6


def _bar(canvas: Canvas, row: MarginRow, places: _Places, division: float, top: float, room: float) -> None:
    """The bar, divided at each step of the gauge; past the limit, the field with the fault's number on the other side
    of the line."""
    zero = places.zero
    if row.fault is not None:
        canvas.box(zero - _FIELD, top - 0.4, _FIELD, _BAR + 0.8, width=0, fill="fault")
        canvas.text(zero - _FIELD / 2, top + 2.2, str(row.fault), size=SMALL, anchor="middle", bold=True, tone="paper")
        words = _fitting(row.against or row.figure.margin_words, room, bold=True)
        canvas.text(zero + 1.5, top + 2.3, words[0], size=words[1], bold=True)
        return
    steps = float(row.figure.steps or 0)
    if steps <= 0:
        words = _fitting(row.against or "at the limit", room)
        canvas.text(zero + 1.5, top + 2.3, words[0], size=words[1])
        return
    long = min(steps * division, places.end - zero)
    canvas.box(zero, top, long, _BAR, width=THIN, fill="middle")
    number = 1
    while number * division < long - 0.2:
        canvas.line(zero + number * division, top, zero + number * division, top + _BAR, width=0.3, tone="paper")
        number += 1
    if steps * division > long + 0.1:
        canvas.shape([(zero + long + 2, top + _BAR / 2), (zero + long, top - 0.4), (zero + long, top + _BAR + 0.4)],
                     width=0, fill="dark")  # fmt: skip


_MOST_TOLD = 3


def _described(rows: Sequence[MarginRow]) -> str:
    told = []
    for row in rows[:_MOST_TOLD]:
        words = row.against or f"{row.spare} to spare"
        number = "" if row.fault is None else f"fault {row.fault}, "
        told.append(f"{number}{row.label}: {row.figure.read}, limit {row.limit}, {words}")
    return f"Readings with their limits, the least margin first. {'; '.join(told)}."
