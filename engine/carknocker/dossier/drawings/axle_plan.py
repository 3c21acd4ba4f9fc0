"""The axle plan of a truck: from above, B end on the left, so that L is up and R is down; what was read at each wheel
and what was found there stands where the wheel is."""

import msgspec

from carknocker.dossier.drawings.axle_cells import (
    LINE,
    TAPE,
    WHEEL_ROWS,
    Cell,
    bearing_cell,
    draw_cell,
    other_cells,
    wheel_cell,
)
from carknocker.dossier.drawings.axle_strip import OnAxle, draw_strip, on_axle
from carknocker.dossier.drawings.canvas import WIDTH, Canvas
from carknocker.dossier.drawings.measuring import SMALL
from carknocker.dossier.drawings.seen import Seen
from carknocker.dossier.writing.page import Drawing
from carknocker.record.model import Part

_GUTTER = 84.0
_GAP = 5.0
_HEAD = 20.0
_MOST_AXLES = 4


class _Side(msgspec.Struct, frozen=True):
    """One row of wheels, L or R: its bearings, then the readings row by row, then what else was found."""

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


def axle_plans(seen: Seen) -> tuple[Drawing, ...]:
    """A plan of each truck that has axles."""
    return tuple(drawing for truck in seen.trucks() if (drawing := axle_plan(seen, truck)) is not None)


def axle_plan(seen: Seen, truck: Part) -> Drawing | None:
    """The plan of one truck; None for one without axles."""
    axles = seen.axles(truck)[:_MOST_AXLES]
    if not axles:
        return None
    canvas = Canvas(f"axle-plan-{truck.position.lower()}")
    wide = (WIDTH - _GUTTER - 1) / len(axles)
    sides = {letter: _side(seen, axles, letter, wide - _GAP - 4) for letter in "LR"}
    middles = [_GUTTER + wide * (number + 0.5) for number in range(len(axles))]
    _ends(canvas, seen, truck)
    upper = _draw_side(canvas, sides["L"], axles, middles, wide - _GAP, _HEAD)
    strip = [on_axle(seen, axle, wide - _GAP) for axle in axles]
    upper = draw_strip(canvas, strip, middles, wide - _GAP, upper)
    lower = _draw_side(canvas, sides["R"], axles, middles, wide - _GAP, upper)
    title = f"Axle plan, {truck.label}, seen from above (lengths in inches)"
    return canvas.finish(lower, title, _described(truck, axles, strip, sides))


def _side(seen: Seen, axles: list[Part], letter: str, room: float) -> _Side:
    sets = [seen.wheelset(axle) for axle in axles]
    wheels = [None if one is None else seen.side(one, "wheel", letter) for one in sets]
    bearings = [None if one is None else seen.side(one, "bearing", letter) for one in sets]
    boxes = [
        next((one for one in seen.of_kind(axle.key, "box") if one.position.startswith(letter)), None) for axle in axles
    ]
    taped = any(wheel is not None and seen.amount(wheel.key, "tape_size") is not None for wheel in wheels)
    rows = tuple(
        (label, tuple(wheel_cell(seen, wheel, names, room) for wheel in wheels))
        for label, names in WHEEL_ROWS
        if label != TAPE or taped
    )
    places = zip(wheels, bearings, boxes, strict=True)
    others = tuple(tuple(other_cells(seen, place, room - 6)) for place in places)
    return _Side(letter, tuple(bearing_cell(seen, one, room - 6) for one in bearings), rows, others)


def _ends(canvas: Canvas, seen: Seen, truck: Part) -> None:
    trucks = [one.key for one in seen.trucks()]
    canvas.text(0, 13, truck.label, bold=True)
    if truck.key == trucks[0]:
        canvas.arrow(_GUTTER + 26, 9, _GUTTER + 2, 9)
        canvas.text(_GUTTER + 32, 13, "B end")
    if truck.key == trucks[-1] and len(trucks) > 1:
        canvas.text(WIDTH - 32, 13, "A end", anchor="end")
        canvas.arrow(WIDTH - 26, 9, WIDTH - 2, 9)


def _draw_side(canvas: Canvas, side: _Side, axles: list[Part], middles: list[float], wide: float, top: float) -> float:
    """The row of one side, mirrored about the track: bearings outside, the wheel's name at the wheel. Returns its lower
    edge."""
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


def _described(truck: Part, axles: list[Part], strip: list[OnAxle], sides: dict[str, _Side]) -> str:
    told = [f"{truck.label}, {len(axles)} axles, the axle nearest the B end first."]
    for number, axle in enumerate(axles):
        told.append(f"{axle.label}: {strip[number].told}.")
        for letter, side in sides.items():
            readings = [f"{label} {' '.join(cells[number].all_lines)}" for label, cells in side.rows]
            readings.append(f"bearing {' '.join(side.bearings[number].all_lines)}")
            readings.extend(" ".join(cell.all_lines) for cell in side.others[number])
            told.append(f"Wheel {letter}{axle.position}: {', '.join(readings)}.")
    return " ".join(told)
