"""The trucks from above, the B end on the left, so that L is up and R is down as in the drawing of the R side. Readings
mirror about the axle: the flange is nearest to its wheel, the bearing outermost. What is alike on every wheel, and what
nobody measured, is one sentence each."""

from collections.abc import Sequence

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.canvas import HAIR, HEAVY, LINE, SHEET, THIN, Canvas
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.running_gear import AxleInPlace, AxleSide, axles_of, numbers_on
from carknocker.page.drawings.text_width import LEAST, SMALL, TEXT, shortened, text_width, wrapped_lines
from carknocker.page.drawings.truck_readings import NOT_MEASURED, Cell, Row, TruckReadings, truck_readings
from carknocker.page.model import Drawing
from carknocker.record.model import Part
from carknocker.wording.faults import fault_of_findings

_LABELS = {True: 40.0, False: 25.0}  # millimeters for the labels of the rows
_LEAST_COLUMN = {True: 19.0, False: 9.0}
_BETWEEN_TRUCKS = 4.0
_ROW, _MORE = 4.4, 3.3  # height of a row, and of each further line in it
_NUMBER = 4.4  # width of the field with the number of a fault
_WHEEL, _WHEEL_LONG, _BEAM, _BOX = 2.2, 15.0, 1.6, 2.6
_MOST_AXLES = 12


class _Block(msgspec.Struct, frozen=True):
    """Some trucks beside each other. columns: the middle of each axle's column. wide: of a column."""

    trucks: tuple[Part, ...]
    axles: tuple[AxleInPlace, ...]
    starts: tuple[int, ...]
    columns: tuple[float, ...]
    wide: float
    labels: float


def trucks_above(index: JudgementIndex, faults: FaultNumbers, wide: float = SHEET) -> Drawing | None:
    """The trucks with the readings; None for a car without axles."""
    trucks = [(truck, axles_of(index, truck)[:_MOST_AXLES]) for truck in index.trucks()]
    trucks = [(truck, axles) for truck, axles in trucks if axles]
    if not trucks:
        return None
    canvas = Canvas("trucks-above", wide)
    every = [axle for _, axles in trucks for axle in axles]
    whole = truck_readings(index, faults, every)
    y = 0.0
    first = 0
    for group in _groups(trucks, canvas):
        block = _block(group, canvas)
        y = _draw(canvas, index, faults, block, _part_of(whole, first, len(block.axles)), y) + 3
        first += len(block.axles)
    y += 0.6
    for sentence in _sentences(whole):
        for line in wrapped_lines(sentence, wide - 1, SMALL, most=10):
            canvas.text(0, y, line, size=SMALL)
            y += 3.4
    return canvas.finish(y - 2, "Trucks from above, with the readings", _described(whole, every))


def _sentences(whole: TruckReadings) -> list[str]:
    cells = list(whole.all_cells)
    lines = {cell.line for cell in cells if cell.fault is None}
    frames = [words for line, words in (("aside", "Thin frame: restricts, or is advice."),
                                        ("near", "Dashed frame: within what the gauge reads to of the limit."))
              if line in lines]  # fmt: skip
    below = " ".join(filter(None, (whole.unmeasured, *frames, whole.read)))
    return [one for one in (whole.alike, whole.differences, below) if one]


def _groups(
    trucks: Sequence[tuple[Part, tuple[AxleInPlace, ...]]], canvas: Canvas
) -> list[list[tuple[Part, tuple[AxleInPlace, ...]]]]:
    """The trucks that stand beside each other: all on a sheet that is wide enough, else each by itself."""
    count = sum(len(axles) for _, axles in trucks)
    room = canvas.wide - _LABELS[canvas.on_a_sheet] - _BETWEEN_TRUCKS * (len(trucks) - 1)
    if canvas.on_a_sheet and room / count >= _LEAST_COLUMN[True]:
        return [list(trucks)]
    return [[one] for one in trucks]


def _block(group: Sequence[tuple[Part, tuple[AxleInPlace, ...]]], canvas: Canvas) -> _Block:
    count = sum(len(axles) for _, axles in group)
    labels = _LABELS[canvas.on_a_sheet]
    if (canvas.wide - labels) / count < _LEAST_COLUMN[canvas.on_a_sheet]:
        labels = 18.0
    wide = min((canvas.wide - labels - _BETWEEN_TRUCKS * (len(group) - 1)) / count, 36.0)
    columns: list[float] = []
    starts: list[int] = []
    x = labels
    for number, (_, axles) in enumerate(group):
        x += _BETWEEN_TRUCKS * (number > 0)
        starts.append(len(columns))
        for _ in axles:
            columns.append(x + wide / 2)
            x += wide
    axles = tuple(axle for _, own in group for axle in own)
    return _Block(tuple(truck for truck, _ in group), axles, tuple(starts), tuple(columns), wide, labels)


def _part_of(whole: TruckReadings, first: int, count: int) -> TruckReadings:
    """The readings of some of the axles."""
    part = slice(first, first + count)

    def cut(rows: tuple[Row, ...]) -> tuple[Row, ...]:
        return tuple(msgspec.structs.replace(row, cells=row.cells[part]) for row in rows)

    return msgspec.structs.replace(
        whole,
        rows={letter: cut(rows) for letter, rows in whole.rows.items()},
        between=cut(whole.between),
        besides={letter: cells[part] for letter, cells in whole.besides.items()},
    )


def _draw(
    canvas: Canvas, index: JudgementIndex, faults: FaultNumbers, block: _Block, readings: TruckReadings, top: float
) -> float:
    y = _head(canvas, index, faults, block, top)
    y = _besides(canvas, block, readings.besides["L"], y)
    for row in reversed(readings.rows["L"]):
        y = _row(canvas, block, row, y)
    y = _wheels(canvas, index, faults, block, "L", y)
    y = _besides(canvas, block, readings.besides[""], y)
    for row in readings.between:
        y = _row(canvas, block, row, y, ruled=False)
    y = _wheels(canvas, index, faults, block, "R", y)
    for row in readings.rows["R"]:
        y = _row(canvas, block, row, y)
    y = _besides(canvas, block, readings.besides["R"], y)
    _rule(canvas, y)
    return y


def _rule(canvas: Canvas, y: float) -> None:
    canvas.line(0, y, canvas.wide, y, width=HAIR, tone="soft")


def _head(canvas: Canvas, index: JudgementIndex, faults: FaultNumbers, block: _Block, top: float) -> float:
    """The names of trucks, axles and wheelsets; after a truck's name, the faults of the truck itself."""
    y = top + 3.4
    deep = y
    for number, (truck, start) in enumerate(zip(block.trucks, block.starts, strict=True)):
        end = block.starts[number + 1] if number + 1 < len(block.starts) else len(block.columns)
        x = block.columns[start] - block.wide / 2
        room = (end - start) * block.wide
        x += canvas.text(x, y, truck.label, bold=True) + 2
        left = x
        for fault in faults.on(index, truck):
            words = shortened(_fault_words(index, faults, truck, fault), room - 6, SMALL)
            if x > left and x + 6 + text_width(words, SMALL) > block.columns[start] - block.wide / 2 + room:
                x = block.columns[start] - block.wide / 2
                deep += 4.8
            canvas.number(x + 2, deep - 1.1, fault)
            room_here = block.columns[start] - block.wide / 2 + room - x - 5
            x += 5 + canvas.text(x + 5, deep, shortened(words, room_here, SMALL), size=SMALL) + 2
    y = deep + 4.2
    canvas.text(0, y, "inches", size=SMALL, tone="soft")
    if canvas.on_a_sheet:
        canvas.text(block.labels - 2, y, "limit", size=SMALL, anchor="end", tone="soft")
    for axle, x in zip(block.axles, block.columns, strict=True):
        room = block.wide - 1
        bold = bool(numbers_on(faults, index, tuple(axle.parts)))
        canvas.text(x, y, shortened(axle.place.label, room, bold=bold), anchor="middle", bold=bold)
        serial = "no wheelset" if axle.wheelset is None else axle.wheelset.position or "not on record"
        size = SMALL if text_width(serial, SMALL) <= room else LEAST
        canvas.text(x, y + 3.3, shortened(serial, room, size), anchor="middle", size=size, tone="soft")
    return y + 4.7


def _fault_words(index: JudgementIndex, faults: FaultNumbers, part: Part, fault: int) -> str:
    for finding in index.findings_on(part.key):
        if faults.of_finding(finding) == fault:
            return fault_of_findings((finding,), index).said
    return ""


def _row(canvas: Canvas, block: _Block, row: Row, top: float, *, ruled: bool = True) -> float:
    """A row of readings. Returns its lower edge."""
    lines = [_lines_of(cell, block.wide) for cell in row.cells]
    two = bool(row.limit) and not _on_one_line(canvas, block, row)
    count = max(*(len(one) for one in lines), 2 if two else 1, 1)
    high = _ROW + _MORE * (count - 1)
    if ruled:
        _rule(canvas, top)
    y = top + 3.2
    room = block.labels - 1.5
    canvas.text(0, y, shortened(row.label, room, SMALL), size=SMALL)
    if row.limit:
        size = SMALL if text_width(row.limit, SMALL) <= room else LEAST
        if two:
            canvas.text(0, y + _MORE, shortened(row.limit, room, size), size=size, tone="soft")
        else:
            canvas.text(block.labels - 2, y, row.limit, size=size, anchor="end", tone="soft")
    for cell, x, words in zip(row.cells, block.columns, lines, strict=True):
        _cell(canvas, cell, words, x, block.wide, top, high)
    return top + high


def _on_one_line(canvas: Canvas, block: _Block, row: Row) -> bool:
    wide = text_width(row.label, SMALL) + text_width(row.limit, SMALL) + 4
    return canvas.on_a_sheet and wide <= block.labels


def _lines_of(cell: Cell, wide: float) -> list[str]:
    room = wide - 2.4 - (_NUMBER if cell.fault is not None else 0.0)
    return wrapped_lines(cell.words, room, _size(cell, room), bold=cell.fault is not None, most=3) if cell.words else []


def _size(cell: Cell, room: float) -> float:
    """The largest size in which a reading takes one line; of one that takes more, the smallest."""
    if cell.words == NOT_MEASURED:
        return LEAST
    bold = cell.fault is not None
    return next((one for one in (TEXT, SMALL) if text_width(cell.words, one, bold=bold) <= room), LEAST)


def _cell(canvas: Canvas, cell: Cell, lines: list[str], x: float, wide: float, top: float, high: float) -> None:
    left, right = x - wide / 2 + 0.6, x + wide / 2 - 0.6
    room = wide - 2.4 - (_NUMBER if cell.fault is not None else 0.0)
    size = _size(cell, room)
    middle = x
    if cell.fault is not None:
        canvas.box(left, top + 0.3, right - left, high - 0.6, width=HEAVY, tone="fault")
        canvas.box(left, top + 0.3, _NUMBER, high - 0.6, width=0, fill="fault")
        canvas.text(left + _NUMBER / 2, top + high / 2 + 1, str(cell.fault), size=SMALL, anchor="middle", bold=True,
                    tone="paper")  # fmt: skip
        middle = x + _NUMBER / 2
    elif cell.line == "aside":
        canvas.box(left, top + 0.3, right - left, high - 0.6, width=THIN)
    elif cell.line == "near":
        canvas.box(left, top + 0.3, right - left, high - 0.6, width=THIN, dashes="0.8 0.6")
    y = top + 3.2 + (high - _ROW - _MORE * (len(lines) - 1)) / 2
    for number, words in enumerate(lines):
        canvas.text(middle, y + _MORE * number, words, size=size, anchor="middle", bold=cell.fault is not None,
                    tone="soft" if cell.words == NOT_MEASURED else "ink")  # fmt: skip


def _besides(canvas: Canvas, block: _Block, cells: tuple[tuple[Cell, ...], ...], top: float) -> float:
    """The faults that have no row: below each other, a row for as many as the worst axle has."""
    for number in range(max((len(own) for own in cells), default=0)):
        row = Row("fault", "", tuple(own[number] if number < len(own) else Cell("") for own in cells))
        top = _row(canvas, block, row, top)
    return top


def _wheels(
    canvas: Canvas, index: JudgementIndex, faults: FaultNumbers, block: _Block, letter: str, top: float
) -> float:
    """The wheels of one side on their rail, with the boxes on the truck frame outside of them."""
    down = letter == "R"
    high = 12.0

    def place(y: float) -> float:
        return top + high - y if down else top + y

    if not down:
        _rule(canvas, top)
    beam, rail, name = 2.1, 5.9, 9.9
    canvas.text(0, place(rail) + 1, f"{letter} side", bold=True, size=SMALL)
    ends = [*block.starts[1:], len(block.columns)]
    for start, end in zip(block.starts, ends, strict=True):
        left, right = block.columns[start] - block.wide / 2, block.columns[end - 1] + block.wide / 2
        canvas.line(left, place(rail), right, place(rail), width=THIN, tone="soft")
        inner = block.columns[start] - _long(block) / 2, block.columns[end - 1] + _long(block) / 2
        canvas.box(inner[0], place(beam) - _BEAM / 2, inner[1] - inner[0], _BEAM, width=THIN, fill="tint")
    for axle, x in zip(block.axles, block.columns, strict=True):
        side = axle.side(letter)
        ends_y = sorted((place(beam), place(high)))
        for offset in (-0.7, 0.7):
            canvas.line(x + offset, ends_y[0], x + offset, ends_y[1], width=THIN)
        bad = bool(faults.on(index, side.wheel))
        _wheel(canvas, side, x, place(rail), _long(block), bad, inward=-1 if down else 1)
        broken = bool(numbers_on(faults, index, (side.box, side.bearing)))
        canvas.box(x - _BOX / 2, place(beam) - _BOX / 2, _BOX, _BOX, width=LINE, fill="fault" if broken else "paper")
        canvas.text(x + 1.8, place(name) + (1.4 if down else 1.0), side.label, bold=True, size=SMALL,
                    tone="fault" if bad or broken else "ink")  # fmt: skip
    return top + high


def _long(block: _Block) -> float:
    return min(_WHEEL_LONG, block.wide * 0.66)


def _wheel(canvas: Canvas, side: AxleSide, x: float, y: float, long: float, bad: bool, *, inward: int) -> None:
    """A wheel from above, its flange on the inner side: solid, hatched if it has a fault, an outline if the record has
    none."""
    left = x - long / 2
    if side.wheel is None:
        canvas.box(left, y - _WHEEL / 2, long, _WHEEL, fill="paper", dashes="1 0.7")
        return
    flange = y + inward * _WHEEL / 2 - 0.3
    if bad:
        canvas.box(left, y - _WHEEL / 2, long, _WHEEL, width=0, fill="paper")
        canvas.hatched(left, y - _WHEEL / 2, long, _WHEEL, width=LINE, tone="fault")
        canvas.line(left - 0.7, flange + 0.3, left + long + 0.7, flange + 0.3, width=0.6, tone="fault")
        return
    canvas.box(left, y - _WHEEL / 2, long, _WHEEL, width=0, fill="ink", round_by=0.6)
    canvas.box(left - 0.7, flange, long + 1.4, 0.6, width=0, fill="ink", round_by=0.3)


_MOST_TOLD, _MOST_PLACES = 5, 6


def _described(whole: TruckReadings, axles: Sequence[AxleInPlace]) -> str:
    """The faults with their figures and places."""
    places: dict[tuple[int, str], dict[str, str]] = {}
    for letter in "LR":
        for row in whole.rows[letter]:
            for axle, cell in zip(axles, row.cells, strict=True):
                if cell.fault is not None:
                    places.setdefault((cell.fault, row.label), {})[axle.side(letter).label] = cell.words
    for letter in ("L", "R", ""):
        for axle, cells in zip(axles, whole.besides[letter], strict=True):
            for cell in cells:
                if cell.fault is not None:
                    at = axle.side(letter).label if letter else axle.place.label
                    places.setdefault((cell.fault, cell.words), {})[at] = ""
    told = []
    for (number, label), found in sorted(places.items()):
        figures = set(found.values())
        figure = f" {figures.pop()}" if len(figures) == 1 and figures != {""} else ""
        where = ", ".join(found) if len(found) <= _MOST_PLACES else f"{len(found)} places"
        told.append(f"fault {number}, {label}{figure}, at {where}")
    more = f"; and {len(told) - _MOST_TOLD} more" if len(told) > _MOST_TOLD else ""
    return (
        f"The {len(axles)} axles from above with the readings at their wheels, B end at the left: "
        f"{'; '.join(told[:_MOST_TOLD]) or 'no fault at a wheel'}{more}."
    )
