"""The axle plan of a truck: seen from above, B end on the left, so that L is up and R is down. Readings and findings
are written at their wheel."""

from collections.abc import Iterator, Sequence

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.canvas_in_units import WIDTH, Canvas
from carknocker.page.drawings.figures import deciding_attribute, figure_amount, mark_on, marks_on, short_figure
from carknocker.page.drawings.marks import NO_MARK, NOT_SHOWN, OPEN, Mark, frame, worst_mark
from carknocker.page.drawings.width_in_units import SMALL, TEXT, shortened, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import AXLE, BACK_TO_BACK, BEARING, BOX, TAPE_SIZE, WHEEL, WHEELSET

LINE = 13.0
"""From one line of text to the next."""

_BEARING_CLASS = "class"
_MOST_FINDINGS = 3


class Cell(msgspec.Struct, frozen=True):
    """Lines of text in one frame. The mark gives the frame's line; the mark's word is written below the lines."""

    lines: tuple[str, ...]
    mark: Mark = NO_MARK

    @property
    def all_lines(self) -> tuple[str, ...]:
        """The lines, then the word of the mark, unless the lines say it already."""
        return self.lines if self.mark.word in ("", *self.lines) else (*self.lines, self.mark.word)

    @property
    def height(self) -> float:
        """How high the field is."""
        return len(self.all_lines) * LINE + 5 if self.lines else 0.0


def wheel_rows() -> Iterator[tuple[str, tuple[str, ...]]]:
    """The rows of a wheel's readings: label, and the attributes it may show. The first attribute that is known is
    shown."""
    for label, lines in load_vocabulary().sheets.get("axle plan", {}).items():
        yield label, tuple(line.attribute for line in lines if line.kind == WHEEL)


def shown_in_rows(kind: str) -> frozenset[str]:
    """The attributes of a kind of part that have a row or a place of their own in the plan."""
    if kind == WHEEL:
        return frozenset(name for _, names in wheel_rows() for name in names)
    return frozenset({_BEARING_CLASS} if kind == BEARING else {BACK_TO_BACK} if kind == WHEELSET else ())


def wheel_cell(index: JudgementIndex, wheel: Part | None, names: Sequence[str], room: float) -> Cell:
    """One reading of a wheel."""
    if wheel is None:
        return Cell((NOT_SHOWN,), OPEN)
    mark = worst_mark([mark_on(index, wheel.key, name) for name in names])
    for name in names:
        value = index.value(wheel.key, name)
        text = "" if value is None else short_figure(value)
        if text:
            return Cell(tuple(wrapped_lines(text, room, most=2)), mark)
    return Cell((NOT_SHOWN,), OPEN if mark.line == "none" else mark)


def bearing_cell(index: JudgementIndex, bearing: Part | None, room: float) -> Cell:
    """The class of a bearing."""
    if bearing is None:
        return Cell((NOT_SHOWN,), OPEN)
    mark = mark_on(index, bearing.key, _BEARING_CLASS)
    value = index.value(bearing.key, _BEARING_CLASS)
    if value is None:
        return Cell((NOT_SHOWN,), OPEN if mark.line == "none" else mark)
    return Cell(tuple(wrapped_lines(value_words(value), room, SMALL, most=3)), mark)


def other_cells(index: JudgementIndex, parts: Sequence[Part | None], room: float) -> list[Cell]:
    """The other findings, worst first: each by its title; all that are not shown as one count."""
    open_ones = 0
    told: dict[tuple[str, Mark], None] = {}
    for title, mark in _others(index, parts):
        if mark == OPEN:
            open_ones += 1
        else:
            told[title, mark] = None
    ordered = sorted(told, key=lambda one: worst_mark([one[1], Mark("", "aside")]) != one[1])
    cells = [Cell(tuple(wrapped_lines(title, room, SMALL, most=3)), mark) for title, mark in ordered[:_MOST_FINDINGS]]
    if len(ordered) > _MOST_FINDINGS:
        cells.append(Cell((f"and {len(ordered) - _MOST_FINDINGS} more",)))
    if open_ones:
        cells.append(Cell((f"{open_ones} more", NOT_SHOWN), OPEN))
    return cells


def _others(index: JudgementIndex, parts: Sequence[Part | None]) -> Iterator[tuple[str, Mark]]:
    for part in filter(None, parts):
        for finding, mark in marks_on(index, part.key):
            if deciding_attribute(index, finding) not in shown_in_rows(part.kind):
                yield finding.criterion.title, mark


def draw_cell(canvas: Canvas, middle: float, top: float, wide: float, cell: Cell) -> None:
    """Draws a cell centered on `middle`, with its upper edge at `top`."""
    if not cell.lines:
        return
    frame(canvas, middle - wide / 2, top + 1, wide, cell.height - 2, cell.mark)
    lines = cell.all_lines
    for number, words in enumerate(lines):
        told = number == len(lines) - 1 and cell.mark.word == words
        size = SMALL if told or len(cell.lines) > 1 else TEXT
        y = top + LINE * (number + 1) - 0.5
        canvas.text(middle, y, words, anchor="middle", size=size, bold=told and cell.mark != OPEN)


_WHEEL = (44.0, 9.0)
_FREE = 28.0  # height of a strip with nothing written on it
_EDGE = 12.0


class AxleNotes(msgspec.Struct, frozen=True):
    """What is written on an axle. apart: the distance back to back of its wheels; others: findings on its wheelset and
    axle."""

    label: str
    serial: str
    apart: Cell
    others: tuple[Cell, ...]
    fitted: bool

    @property
    def height(self) -> float:
        """How high it is."""
        return 2 * LINE + sum(cell.height for cell in (*self._apart, *self.others)) + (LINE + 2 if self.fitted else 0)

    @property
    def _apart(self) -> tuple[Cell, ...]:
        return (self.apart,) if self.fitted else ()

    @property
    def in_words(self) -> str:
        """The same in words."""
        if not self.fitted:
            return self.serial
        words = [f"{self.serial}, back to back {' '.join(self.apart.all_lines)}"]
        return ", ".join((*words, *(" ".join(cell.all_lines) for cell in self.others)))

    def draw(self, canvas: Canvas, middle: float, top: float, wide: float) -> None:
        """Draws it centered on `middle`, with its upper edge at `top`."""
        canvas.text(middle, top + LINE, self.label, anchor="middle", bold=True)
        canvas.text(middle, top + 2 * LINE, self.serial, anchor="middle", size=SMALL)
        y = top + 2 * LINE
        if self.fitted:
            canvas.text(middle, y + LINE, "back to back", anchor="middle", size=SMALL)
            y += LINE + 2
        for cell in (*self._apart, *self.others):
            draw_cell(canvas, middle, y, wide, cell)
            y += cell.height


def axle_notes(index: JudgementIndex, axle: Part, room: float) -> AxleNotes:
    """What is written on an axle, no wider than the room."""
    label = shortened(axle.label, room, TEXT, bold=True)
    wheelset = index.wheelset_at(axle)
    if wheelset is None:
        others = other_cells(index, (axle,), room - 10)
        return AxleNotes(label, "no wheelset", Cell((NOT_SHOWN,), OPEN), tuple(others), False)
    mark = mark_on(index, wheelset.key, BACK_TO_BACK)
    value = index.value(wheelset.key, BACK_TO_BACK)
    text = "" if value is None else shortened(short_figure(value), room)
    apart = Cell((text,), mark) if text else Cell((NOT_SHOWN,), OPEN if mark == NO_MARK else mark)
    steel = next(iter(index.of_kind(wheelset.key, AXLE)), None)
    others = other_cells(index, (wheelset, steel, axle), room - 10)
    return AxleNotes(label, shortened(wheelset.position, room, SMALL), apart, tuple(others), True)


def draw_strip(canvas: Canvas, strip: list[AxleNotes], middles: list[float], wide: float, top: float) -> float:
    """Draws the strip between the wheels, B end on the left. Returns its lower edge."""
    high = max(one.height for one in strip) + 2 * _FREE
    rails = (top + _EDGE, top + _EDGE + high)
    for y in rails:
        canvas.line(0, y, WIDTH, y, width=1.6)
    canvas.text(0, rails[0] + _FREE + 2 * LINE, "wheelset", size=SMALL)
    for one, middle in zip(strip, middles, strict=True):
        upper = rails[0] + _FREE
        for y in rails:
            canvas.box(middle - _WHEEL[0] / 2, y - _WHEEL[1] / 2, *_WHEEL, fill="ink" if one.fitted else "none",
                       dashes="" if one.fitted else "4 3", round_by=2)  # fmt: skip
        for begin, end in ((rails[0] + 4.5, upper), (upper + one.height + 4, rails[1] - 4.5)):
            canvas.line(middle - 2, begin, middle - 2, end)
            canvas.line(middle + 2, begin, middle + 2, end)
        one.draw(canvas, middle, upper, wide)
    return rails[1] + _EDGE


_GUTTER = 84.0
_GAP = 5.0
_HEAD = 20.0
_MOST_AXLES = 4


class _Side(msgspec.Struct, frozen=True):
    """One row of wheels, L or R: the bearings, the rows of readings, and the other findings."""

    letter: str
    bearings: tuple[Cell, ...]
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]
    others: tuple[tuple[Cell, ...], ...]

    @property
    def height(self) -> float:
        rows = sum(_high(cells) for _, cells in self.rows)
        return _high(self.bearings) + rows + max((_stack(cells) for cells in self.others), default=0.0) + LINE + 6


def _high(cells: tuple[Cell, ...]) -> float:
    return max((cell.height for cell in cells), default=0.0)


def _stack(cells: tuple[Cell, ...]) -> float:
    return sum(cell.height for cell in cells)


def axle_plans(index: JudgementIndex) -> tuple[Drawing, ...]:
    """A plan of each truck that has axles."""
    return tuple(drawing for truck in index.trucks() if (drawing := axle_plan(index, truck)) is not None)


def axle_plan(index: JudgementIndex, truck: Part) -> Drawing | None:
    """The plan of one truck; None for one without axles."""
    axles = index.axles(truck)[:_MOST_AXLES]
    if not axles:
        return None
    canvas = Canvas(f"axle-plan-{truck.position.lower()}")
    wide = (WIDTH - _GUTTER - 1) / len(axles)
    sides = {letter: _side(index, axles, letter, wide - _GAP - 4) for letter in "LR"}
    middles = [_GUTTER + wide * (number + 0.5) for number in range(len(axles))]
    _ends(canvas, index, truck)
    upper = _draw_side(canvas, sides["L"], axles, middles, wide - _GAP, _HEAD)
    strip = [axle_notes(index, axle, wide - _GAP) for axle in axles]
    upper = draw_strip(canvas, strip, middles, wide - _GAP, upper)
    lower = _draw_side(canvas, sides["R"], axles, middles, wide - _GAP, upper)
    title = f"Axle plan, {truck.label}, seen from above (lengths in inches)"
    return canvas.finish(lower, title, _described(truck, axles, strip, sides))


def _side(index: JudgementIndex, axles: list[Part], letter: str, room: float) -> _Side:
    sets = [index.wheelset_at(axle) for axle in axles]
    wheels = [None if one is None else index.on_side(one, WHEEL, letter) for one in sets]
    bearings = [None if one is None else index.on_side(one, BEARING, letter) for one in sets]
    boxes = [
        next((one for one in index.of_kind(axle.key, BOX) if one.position.startswith(letter)), None) for axle in axles
    ]
    taped = any(wheel is not None and figure_amount(index, wheel.key, TAPE_SIZE) is not None for wheel in wheels)
    rows = tuple(
        (label, tuple(wheel_cell(index, wheel, names, room) for wheel in wheels))
        for label, names in wheel_rows()
        if TAPE_SIZE not in names or taped
    )
    places = zip(wheels, bearings, boxes, strict=True)
    others = tuple(tuple(other_cells(index, place, room - 6)) for place in places)
    return _Side(letter, tuple(bearing_cell(index, one, room - 6) for one in bearings), rows, others)


def _ends(canvas: Canvas, index: JudgementIndex, truck: Part) -> None:
    trucks = [one.key for one in index.trucks()]
    canvas.text(0, 13, truck.label, bold=True)
    if truck.key == trucks[0]:
        canvas.arrow(_GUTTER + 26, 9, _GUTTER + 2, 9)
        canvas.text(_GUTTER + 32, 13, "B end")
    if truck.key == trucks[-1] and len(trucks) > 1:
        canvas.text(WIDTH - 32, 13, "A end", anchor="end")
        canvas.arrow(WIDTH - 26, 9, WIDTH - 2, 9)


def _draw_side(canvas: Canvas, side: _Side, axles: list[Part], middles: list[float], wide: float, top: float) -> float:
    """Draws the wheels of one side, mirrored about the center of the track: the bearings outside, the wheel's name at
    the wheel. Returns the lower edge."""
    left = side.letter == "L"
    y = top
    if left:
        y = _draw_row(canvas, "bearing", side.bearings, middles, wide, y)
        y = _draw_rows(canvas, side, middles, wide, y)
    else:
        y = _names(canvas, side.letter, axles, middles, y)
        y = _draw_rows(canvas, side, middles, wide, y)
        y = _draw_row(canvas, "bearing", side.bearings, middles, wide, y)
    return _names(canvas, side.letter, axles, middles, y) if left else y + 2


def _draw_rows(canvas: Canvas, side: _Side, middles: list[float], wide: float, y: float) -> float:
    for label, cells in side.rows:
        y = _draw_row(canvas, label, cells, middles, wide, y)
    tallest = max((_stack(cells) for cells in side.others), default=0.0)
    if tallest:
        canvas.text(0, y + LINE, "found besides", size=SMALL)
    for middle, cells in zip(middles, side.others, strict=True):
        at = y
        for cell in cells:
            draw_cell(canvas, middle, at, wide, cell)
            at += cell.height
    return y + tallest


def _draw_row(
    canvas: Canvas, label: str, cells: tuple[Cell, ...], middles: list[float], wide: float, y: float
) -> float:
    canvas.line(0, y, WIDTH, y, width=0.4)
    canvas.text(0, y + LINE, label, size=SMALL)
    for middle, cell in zip(middles, cells, strict=True):
        draw_cell(canvas, middle, y, wide, cell)
    return y + _high(cells)


def _names(canvas: Canvas, letter: str, axles: list[Part], middles: list[float], y: float) -> float:
    canvas.line(0, y, WIDTH, y, width=0.4)
    canvas.text(0, y + LINE, f"wheel, side {letter}", size=SMALL)
    for axle, middle in zip(axles, middles, strict=True):
        canvas.text(middle, y + LINE, f"{letter}{axle.position}", anchor="middle", bold=True)
    return y + LINE + 5


def _described(truck: Part, axles: list[Part], strip: list[AxleNotes], sides: dict[str, _Side]) -> str:
    told = [f"{truck.label}, {len(axles)} axles, the axle nearest the B end first."]
    for number, axle in enumerate(axles):
        told.append(f"{axle.label}: {strip[number].in_words}.")
        for letter, side in sides.items():
            readings = [f"{label} {' '.join(cells[number].all_lines)}" for label, cells in side.rows]
            readings.append(f"bearing {' '.join(side.bearings[number].all_lines)}")
            readings.extend(" ".join(cell.all_lines) for cell in side.others[number])
            told.append(f"Wheel {letter}{axle.position}: {', '.join(readings)}.")
    return " ".join(told)
