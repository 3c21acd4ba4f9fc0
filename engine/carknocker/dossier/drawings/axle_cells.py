"""The fields of an axle plan: what is written beside one wheel, row by row, and what else was found there."""

from collections.abc import Iterator, Sequence

import msgspec

from carknocker.dossier.drawings.canvas import Canvas
from carknocker.dossier.drawings.marks import NO_MARK, NOT_SHOWN, OPEN, Mark, frame, worst
from carknocker.dossier.drawings.measuring import SMALL, TEXT, broken
from carknocker.dossier.drawings.seen import Seen, short_figure
from carknocker.record.model import Part
from carknocker.wording.limits import value_words

LINE = 13.0
"""From one line of text to the next."""

TAPE = "tape size"
WHEEL_ROWS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("flange thick", ("flange_thickness",)),
    ("flange high", ("flange_height",)),
    ("rim", ("rim_thickness", "tire_thickness")),
    ("hollow", ("tread_hollow",)),
    ("flat spot", ("flat_spot_length",)),
    ("diameter", ("diameter",)),
    (TAPE, ("tape_size",)),
)
"""Label of a row, and the attributes of a wheel that it may show: the first that is known. Tape sizes have a row only
in a truck where one is known."""

IN_ROWS = frozenset(name for _, names in WHEEL_ROWS for name in names)
_BEARING_CLASS = "class"
_SHOWN = {"wheel": IN_ROWS, "bearing": frozenset({_BEARING_CLASS}), "wheelset": frozenset({"back_to_back"})}
_MOST_FINDINGS = 3


class Cell(msgspec.Struct, frozen=True):
    """Lines of text with the mark round them, the word of the mark below."""

    lines: tuple[str, ...]
    mark: Mark = NO_MARK

    @property
    def all_lines(self) -> tuple[str, ...]:
        """The lines with the word of the mark, unless they say it already."""
        return self.lines if self.mark.word in ("", *self.lines) else (*self.lines, self.mark.word)

    @property
    def height(self) -> float:
        """How high the field is."""
        return len(self.all_lines) * LINE + 5 if self.lines else 0.0


def wheel_cell(seen: Seen, wheel: Part | None, names: Sequence[str], room: float) -> Cell:
    """One reading of a wheel."""
    if wheel is None:
        return Cell((NOT_SHOWN,), OPEN)
    mark = worst([seen.mark(wheel.key, name) for name in names])
    for name in names:
        value = seen.value(wheel.key, name)
        text = "" if value is None else short_figure(value)
        if text:
            return Cell(tuple(broken(text, room, most=2)), mark)
    return Cell((NOT_SHOWN,), OPEN if mark.line == "none" else mark)


def bearing_cell(seen: Seen, bearing: Part | None, room: float) -> Cell:
    """The class of a bearing."""
    if bearing is None:
        return Cell((NOT_SHOWN,), OPEN)
    mark = seen.mark(bearing.key, _BEARING_CLASS)
    value = seen.value(bearing.key, _BEARING_CLASS)
    if value is None:
        return Cell((NOT_SHOWN,), OPEN if mark.line == "none" else mark)
    return Cell(tuple(broken(value_words(value), room, SMALL, most=3)), mark)


def other_cells(seen: Seen, parts: Sequence[Part | None], room: float) -> list[Cell]:
    """What was found besides, worst first: each by its title, all that is not shown as one number."""
    open_ones = 0
    told: dict[tuple[str, Mark], None] = {}
    for title, mark in _others(seen, parts):
        if mark == OPEN:
            open_ones += 1
        else:
            told[title, mark] = None
    ordered = sorted(told, key=lambda one: worst([one[1], Mark("", "aside")]) != one[1])
    cells = [Cell(tuple(broken(title, room, SMALL, most=3)), mark) for title, mark in ordered[:_MOST_FINDINGS]]
    if len(ordered) > _MOST_FINDINGS:
        cells.append(Cell((f"and {len(ordered) - _MOST_FINDINGS} more",)))
    if open_ones:
        cells.append(Cell((f"{open_ones} more", NOT_SHOWN), OPEN))
    return cells


def _others(seen: Seen, parts: Sequence[Part | None]) -> Iterator[tuple[str, Mark]]:
    for part in filter(None, parts):
        for finding, mark in seen.marked(part.key):
            shown = _SHOWN.get(part.kind, frozenset())
            if seen.deciding(finding) not in shown:
                yield finding.criterion.title, mark


def draw_cell(canvas: Canvas, middle: float, top: float, wide: float, cell: Cell) -> None:
    """A field about a middle line, its upper edge at `top`."""
    if not cell.lines:
        return
    frame(canvas, middle - wide / 2, top + 1, wide, cell.height - 2, cell.mark)
    lines = cell.all_lines
    for number, words in enumerate(lines):
        told = number == len(lines) - 1 and cell.mark.word == words
        size = SMALL if told or len(cell.lines) > 1 else TEXT
        y = top + LINE * (number + 1) - 0.5
        canvas.text(middle, y, words, anchor="middle", size=size, bold=told and cell.mark != OPEN)
