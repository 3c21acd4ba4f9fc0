"""The car from its R side, the B end on the left, to scale. The figures are those of the record; a part without a
figure is drawn as usual for the kind of car, in a plain line, and in place of its figure stands "not measured"."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from math import cos, pi, sin

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.canvas import HEAVY, LINE, SHEET, THIN, Anchor, Canvas, dimension_across
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.figures import Lengths, figure_amount, inch_words, length_words, lengths_of
from carknocker.page.drawings.running_gear import USUAL_WHEEL, AxleInPlace, axles_of, numbers_on, spacing_of
from carknocker.page.drawings.text_width import SMALL, TEXT, shortened, text_width, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.vocabulary.program_names import (
    COUPLER,
    COUPLER_HEIGHT,
    END,
    END_KIND,
    HEIGHT_OVER_RAIL,
    HIGHEST_THING,
    LOWEST_PART,
    LOWEST_PART_OVER_RAIL,
    WHEEL_DIAMETER,
)
from carknocker.wording.parts import named

NOT_MEASURED = "not measured"
_USUAL_LENGTH, _USUAL_CENTERS, _USUAL_HEIGHT = Fraction(1020), Fraction(714), Fraction(162)  # inches: an 85 ft coach
_USUAL_OVERHANG = Fraction(150)  # from a truck center to the coupler's face
_BEYOND_BODY = 20.0  # from the end of the body to the coupler's face
_COUPLER = 34.0  # over the rail, where nobody measured it
_FLOOR, _SILL = 51.0, 40.0  # top of the floor and lower edge of the side sill over the rail
_EAVES = 0.84  # of the height over the rail
_VESTIBULE, _DOOR = 40.0, 26.0
_STEP = 14.0  # lowest step over the rail
_THING = 7.0  # what stands out above the roof
_CUPOLA = 30.0
_BOX, _FRAME = 9.0, 5.0
_QUARTER = [number * pi / 12 for number in range(7)]
_ENDS = {True: 13.0, False: 1.0}  # millimeters beside the car; on a sheet, for the height of a coupler
_TALLEST = {True: 32.0, False: 26.0}
_LEAST_BETWEEN_LABELS = 6.0


class _Side(msgspec.Struct, frozen=True):
    """What is drawn, inches; a length that is not on record is assumed. left: millimeters to the coupler's face at the
    B end; scale: millimeters an inch; rail: its y."""

    lengths: Lengths
    length: float
    centers: float
    height: float
    scale: float
    left: float
    rail: float

    @classmethod
    def of(cls, lengths: Lengths, wide: float, on_a_sheet: bool, top: float) -> "_Side":
        """The side of a car, its highest thing at `top`."""
        centers = lengths.centers or (
            _USUAL_CENTERS if not lengths.length else max(lengths.length - 2 * _USUAL_OVERHANG, lengths.length / 2)
        )
        length = max(lengths.length or centers + 2 * _USUAL_OVERHANG, centers)
        height = lengths.height or _USUAL_HEIGHT
        room = wide - 2 * _ENDS[on_a_sheet]
        scale = min(room / float(length), _TALLEST[on_a_sheet] / float(height))
        left = (wide - float(length) * scale) / 2
        return cls(lengths, float(length), float(centers), float(height), scale, left, top + float(height) * scale)

    @property
    def to_scale(self) -> bool:
        return self.lengths.length is not None

    @property
    def middle(self) -> float:
        return self.left + self.length * self.scale / 2

    @property
    def right(self) -> float:
        return self.left + self.length * self.scale

    def up(self, inches: float) -> float:
        """The y of a height over the rail."""
        return self.rail - inches * self.scale

    def truck(self, number: int) -> float:
        """The x of the center of the truck at the B end (0) or the A end (1)."""
        return self.middle + (number - 0.5) * self.centers * self.scale


def car_side(index: JudgementIndex, faults: FaultNumbers, wide: float = SHEET) -> Drawing:
    """The side of the car."""
    canvas = Canvas("car-side", wide)
    side = _Side.of(lengths_of(index), wide, canvas.on_a_sheet, 13.0)
    _head(canvas, side)
    _body(canvas, index, side)
    _couplers(canvas, index, faults, side)
    trucks = index.trucks()
    _rail(canvas, side)
    y = side.rail + 3.6
    if len(trucks) == 2:
        y = max(_truck(canvas, index, faults, truck, number, side) for number, truck in enumerate(trucks))
    _height(canvas, index, faults, side, _height_line(index, side, trucks))
    notes = [*_lowest(canvas, index, faults, side, trucks), *(() if canvas.on_a_sheet else _told_below(index, side))]
    scale = _scale_words(side, canvas.on_a_sheet)
    if len(trucks) == 2:
        y = _centers(canvas, side, y + 3.5)
        if canvas.on_a_sheet and side.to_scale:
            canvas.text(wide, y + 1, scale, size=SMALL, anchor="end", tone="soft")
            scale = ""
    notes.extend(filter(None, (scale,)))
    y += 4.6 if notes else 4.2
    for words in notes:
        for line in wrapped_lines(words, wide - 1, SMALL, most=3):
            canvas.text(0, y, line, size=SMALL, tone="soft")
            y += 3.6
    return canvas.finish(y - 2, "The car from its R side", _described(index, side.lengths, trucks))


def _head(canvas: Canvas, side: _Side) -> None:
    canvas.text(0, 3.4, "B end", bold=True)
    canvas.text(canvas.wide, 3.4, "A end", anchor="end", bold=True)
    y = 7.0
    for x in (side.left, side.right):
        canvas.line(x, y, x, side.up(_COUPLER), width=0.1)
    words = "over couplers: not measured" if side.lengths.length is None else (
        f"{length_words(side.lengths.length)} over couplers"
    )  # fmt: skip
    dimension_across(canvas, side.left, side.right, y, words, known=side.lengths.length is not None)


def _rail(canvas: Canvas, side: _Side) -> None:
    canvas.line(0, side.rail, canvas.wide, side.rail, width=0.45)


def _body(canvas: Canvas, index: JudgementIndex, side: _Side) -> None:
    """The body: roof, eaves, floor, sill, ends. Its ends are those of the record."""
    begin, end = side.left + _BEYOND_BODY * side.scale, side.right - _BEYOND_BODY * side.scale
    thing = _thing(index)
    roof = side.up(side.height - (_CUPOLA if _has_cupola(index) else _THING if thing else 0.0))
    eaves = side.up(side.height * _EAVES if not _has_cupola(index) else side.height - _CUPOLA - 10)
    floor, sill = side.up(_FLOOR), side.up(_SILL)
    kinds = [_end_kind(index, letter) for letter in "BA"]
    inner = [x + way * _inset(kind) * side.scale for x, way, kind in zip((begin, end), (1, -1), kinds, strict=True)]
    width = LINE if side.lengths.length is not None and side.lengths.height is not None else THIN
    curve = [(1.5 * (eaves - roof) * (1 - cos(turn)), (eaves - roof) * (1 - sin(turn))) for turn in _QUARTER]
    canvas.shape(
        [
            (inner[0], sill),
            (inner[0], eaves),
            *((begin + along, roof + down) for along, down in curve),
            *((end - along, roof + down) for along, down in reversed(curve)),
            (inner[1], eaves),
            (inner[1], sill),
        ],
        width=width,
        fill="tint",
    )
    canvas.line(inner[0], eaves, inner[1], eaves, width=0.1)
    canvas.box(begin, floor, end - begin, sill - floor, width=THIN, fill="middle")
    for x, way, kind in zip((begin, end), (1, -1), kinds, strict=True):
        _end(canvas, side, x, way, kind, eaves)
    if _has_cupola(index):
        half = 60 * side.scale
        canvas.box(
            side.middle - half, side.up(side.height), 2 * half, roof - side.up(side.height), width=width, fill="tint"
        )
    elif thing:
        half = 4 * side.scale
        canvas.box(side.middle - half, side.up(side.height), 2 * half, roof - side.up(side.height), fill="paper")


def _inset(kind: str) -> float:
    return 30.0 if kind == "open platform" else 0.0


def _end(canvas: Canvas, side: _Side, x: float, way: int, kind: str, eaves: float) -> None:
    """One end: diaphragm and door of a vestibule, the railing of a platform, steps."""
    scale, floor, sill = side.scale, side.up(_FLOOR), side.up(_SILL)

    def box(begin: float, wide: float, top: float, bottom: float, fill: str = "none") -> None:
        left = x + way * begin * scale if way > 0 else x - (begin + wide) * scale
        canvas.box(left, top, wide * scale, bottom - top, fill="paper" if fill == "paper" else "none")

    if "vestibule" in kind:
        box(-8.0, 8.0, eaves + 2 * scale, side.up(_SILL + 4))
        box(8.0, _DOOR, side.up(_FLOOR + 80), floor, "paper")
    if kind == "open platform":
        for post in (2.0, 26.0):
            canvas.line(x + way * post * scale, side.up(_FLOOR + 42), x + way * post * scale, floor)
        canvas.line(x + way * 2 * scale, side.up(_FLOOR + 42), x + way * 30 * scale, side.up(_FLOOR + 42))
        canvas.line(x, eaves, x + way * 30 * scale, eaves, width=THIN)
    if kind and kind != "no platform":
        for number in range(3):
            top = _SILL - (number + 1) * (_SILL - _STEP) / 3
            near, far = 10.0 + 2 * number, 32.0 - 2 * number
            canvas.line(x + way * near * scale, side.up(top), x + way * far * scale, side.up(top))
        for edge, lean in ((10.0, 4.0), (32.0, -4.0)):
            canvas.line(x + way * edge * scale, sill, x + way * (edge + lean) * scale, side.up(_STEP), width=0.1)


def _end_kind(index: JudgementIndex, letter: str) -> str:
    end = next((one for one in index.standing.by_kind.get(END, ()) if one.position == letter), None)
    value = None if end is None else index.value(end.key, END_KIND)
    return "" if value is None else value_words(value)


def _has_cupola(index: JudgementIndex) -> bool:
    value = index.value("car", "car_kind")
    return value is not None and value_words(value) in ("caboose", "cabin car", "way car")


def _thing(index: JudgementIndex) -> str:
    """What is highest, in the owner's words; empty if it is the roof itself or nobody says."""
    value = index.value("car", HIGHEST_THING)
    words = "" if value is None else value_words(value)
    return "" if words == "roof" else words


def _couplers(canvas: Canvas, index: JudgementIndex, faults: FaultNumbers, side: _Side) -> None:
    size = SMALL
    for letter, x, way in (("B", side.left, 1), ("A", side.right, -1)):
        coupler = next((one for one in _fitted(index, COUPLER) if one.position == letter), None)
        height = None if coupler is None else figure_amount(index, coupler.key, COUPLER_HEIGHT)
        numbers = faults.on(index, coupler)
        middle = side.up(float(height or _COUPLER))
        half = max(4.0 * side.scale, 0.5)
        long = (_BEYOND_BODY + 8) * side.scale
        canvas.box(min(x, x + way * long), middle - half * 0.6, long, half * 1.2, fill="fault" if numbers else "middle")
        canvas.box(
            min(x, x + way * 2.2 * half), middle - half, 2.2 * half, 2 * half, fill="fault" if numbers else "dark"
        )
        if not canvas.on_a_sheet:
            continue
        anchor: Anchor = "end" if way > 0 else "start"
        anchor_x = x - way
        words = ["coupler", "not", "measured"] if height is None else [_short_inches(height), "coupler"]
        y = middle - 1.6 if height is not None else middle - 4.4
        for number, line in enumerate(words):
            canvas.text(anchor_x, y + 3.4 * number, line, size=size if number == 0 else 7, anchor=anchor,
                        bold=number == 0 and height is not None,
                        tone="ink" if number == 0 and height is not None else "soft")  # fmt: skip
        for number, fault in enumerate(numbers[:2]):
            canvas.number(anchor_x - way * (2.4 + 4.6 * number), y - 5.2, fault)


def _short_inches(amount: Fraction) -> str:
    return inch_words(amount).removesuffix(" in")


def _fitted(index: JudgementIndex, kind: str) -> list[Part]:
    return [one for one in index.standing.by_kind.get(kind, ()) if one.fitted]


def _truck(canvas: Canvas, index: JudgementIndex, faults: FaultNumbers, truck: Part, number: int, side: _Side) -> float:
    """Draws a truck, what its wheels are called, the faults on it and the weight on it. Returns the last base line."""
    axles = axles_of(index, truck)
    spacing = spacing_of(index, truck, len(axles))
    center = side.truck(number)
    places = [center + (place - (len(axles) - 1) / 2) * float(spacing) * side.scale for place in range(len(axles))]
    middle = side.up(float(USUAL_WHEEL) / 2)
    if places:
        first, last = places[0] - 12 * side.scale, places[-1] + 12 * side.scale
        canvas.box(first, middle - _FRAME * side.scale, last - first, 2 * _FRAME * side.scale, width=THIN, fill="tint")
        canvas.line(center, middle, center, side.up(_SILL), width=HEAVY)
    for x, axle in zip(places, axles, strict=True):
        _axle(canvas, index, faults, axle, x, side)
    y = side.rail + 3.8
    apart = places[1] - places[0] if len(places) > 1 else _LEAST_BETWEEN_LABELS
    if apart >= _LEAST_BETWEEN_LABELS:
        for x, axle in zip(places, axles, strict=True):
            found = numbers_on(faults, index, tuple(axle.parts))
            canvas.text(x, y, axle.right.label, anchor="middle", size=SMALL, bold=bool(found),
                        tone="fault" if found else "ink")  # fmt: skip
    elif axles:
        canvas.text(center, y, f"{axles[0].right.label} to {axles[-1].right.label}", anchor="middle", size=SMALL)
    weight = figure_amount(index, "car", f"weight_on_truck_{truck.position}")
    words = NOT_MEASURED if weight is None else write_quantity(Quantity.of("weight", weight))
    told = _faults_told(index, faults, truck, axles)
    if canvas.on_a_sheet and _on_one_line(canvas, told, f"{truck.label}: {words}", center, y + 4.2):
        return y + 4.2
    y = _faults_of_truck(canvas, told, center, y)
    if canvas.on_a_sheet:
        return _centered(canvas, center, y + 4.2, [f"{truck.label}: {words}"])
    return _centered(canvas, center, y + 4.0, [truck.label, words] if weight is None else [f"{truck.label}:", words])


def _centered(canvas: Canvas, x: float, y: float, lines: list[str]) -> float:
    for number, words in enumerate(lines):
        half = text_width(words, TEXT if canvas.on_a_sheet else SMALL) / 2
        at = min(max(x, half), canvas.wide - half)
        canvas.text(at, y + 3.6 * number, words, anchor="middle", size=TEXT if canvas.on_a_sheet else SMALL)
    return y + 3.6 * (len(lines) - 1)


def _axle(
    canvas: Canvas, index: JudgementIndex, faults: FaultNumbers, axle: AxleInPlace, x: float, side: _Side
) -> None:
    """A wheel at its taped diameter with its box, which is filled if it or its bearing has a fault."""
    right = axle.right
    diameter = None if right.wheel is None else figure_amount(index, right.wheel.key, WHEEL_DIAMETER)
    radius = float(diameter or USUAL_WHEEL) * side.scale / 2
    bad = bool(faults.on(index, right.wheel))
    if axle.wheelset is not None:
        canvas.circle(x, side.rail - radius, radius, width=HEAVY if bad else LINE if diameter else THIN, fill="paper",
                      tone="fault" if bad else "ink")  # fmt: skip
    boxed = max(_BOX * side.scale, 1.1)
    broken = bool(numbers_on(faults, index, (right.box, right.bearing)))
    canvas.box(x - boxed / 2, side.rail - radius - boxed / 2, boxed, boxed, fill="fault" if broken else "paper")


def _faults_told(
    index: JudgementIndex, faults: FaultNumbers, truck: Part, axles: tuple[AxleInPlace, ...]
) -> dict[int, str]:
    """The number of each fault of the truck → the parts that it is on."""
    parts: dict[int, dict[str, Part]] = {}
    for part in (truck, *(part for axle in axles for part in axle.parts)):
        for number in faults.on(index, part):
            parts.setdefault(number, {})[part.key] = part
    return {number: named(parts[number].values(), index) for number in sorted(parts)}


def _on_one_line(canvas: Canvas, told: Mapping[int, str], weight: str, center: float, y: float) -> bool:
    """Writes the faults of a truck and the weight on it beside each other, if there is room for them."""
    between = 4.0
    wide = sum(5 + text_width(words, SMALL) + between for words in told.values()) + text_width(weight, TEXT)
    half = min(center, canvas.wide - center, canvas.wide / 4) - 1
    if wide > 2 * half:
        return False
    x = center - wide / 2
    for number, words in told.items():
        canvas.number(x + 2, y - 1.1, number)
        x += 5 + canvas.text(x + 5, y, words, size=SMALL) + between
    canvas.text(x, y, weight)
    return True


def _faults_of_truck(canvas: Canvas, told: Mapping[int, str], center: float, y: float) -> float:
    """Below the wheels: the number of each fault of the truck with the parts that it is on. Returns the last base
    line."""
    room = canvas.wide / 2 - 6 if canvas.on_a_sheet else canvas.wide / 2 - 7
    for number, parts in told.items():
        lines = wrapped_lines(parts, room - 8, SMALL, most=3)
        wide = max(text_width(words, SMALL) for words in lines) + 5
        left = min(max(center - wide / 2, 0.5), canvas.wide - wide - 0.5)
        y += 4.6
        canvas.number(left + 2, y - 1.1, number)
        for place, words in enumerate(lines):
            canvas.text(left + 5, y + 3.5 * place, words, size=SMALL)
        y += 3.5 * (len(lines) - 1)
    return y


def _centers(canvas: Canvas, side: _Side, y: float) -> float:
    """The truck centers as a dimension. Returns its y."""
    y += 1.5
    known = side.lengths.centers is not None
    for number in (0, 1):
        canvas.line(side.truck(number), y - 3, side.truck(number), y, width=0.1)
    words = f"{length_words(side.lengths.centers)} truck centers" if side.lengths.centers is not None else (
        f"truck centers: {NOT_MEASURED}"
    )  # fmt: skip
    return dimension_across(canvas, side.truck(0), side.truck(1), y, words, known=known)


def _truck_of_the_lowest(index: JudgementIndex, trucks: list[Part]) -> int | None:
    """The truck that the lowest part is said to be of, counted from 0."""
    thing = index.value("body", LOWEST_PART)
    name = "" if thing is None else value_words(thing)
    found = next((number for number, one in enumerate(trucks) if one.label in name), None)
    return found if len(trucks) == 2 else None


def _height_line(index: JudgementIndex, side: _Side, trucks: list[Part]) -> float:
    """The x of the dimension of the height: on the side away from the words about the lowest part."""
    way = -1 if _truck_of_the_lowest(index, trucks) == 1 else 1
    return side.middle + way * side.length * side.scale * 0.17


def _height(canvas: Canvas, index: JudgementIndex, faults: FaultNumbers, side: _Side, x: float) -> None:
    """The height over the rail, upright at x, with the thing that is highest."""
    top = side.up(side.height)
    known = side.lengths.height is not None
    thing = _thing(index)
    if known:
        if thing or _has_cupola(index):
            canvas.line(side.middle, top, x + (1.2 if x > side.middle else -1.2), top, width=0.1)
        canvas.line(x, top, x, side.rail)
        canvas.arrow_head(x, top, "up")
        canvas.arrow_head(x, side.rail, "down")
    room = side.truck(1) - x - 8 if side.truck(1) - x > 40 else side.right - x - 8
    size = TEXT if canvas.on_a_sheet else SMALL
    figure = length_words(side.lengths.height) if side.lengths.height is not None else f"height: {NOT_MEASURED}"
    y = (top + side.up(_FLOOR)) / 2
    at = x + 1.6
    if not known:
        at = side.middle - text_width(figure, size, bold=False) / 2
    for number in faults.on(index, _car(index), HEIGHT_OVER_RAIL)[:1]:
        canvas.number(at + 1.6, y - 1.1, number)
        at += 4.6
    canvas.text(
        at, y, shortened(figure, room, size, bold=known), size=size, bold=known, tone="ink" if known else "soft"
    )
    if known and canvas.on_a_sheet:
        words = f"to {thing}" if thing else "over rail"
        canvas.text(x + 1.6, y + 3.8, shortened(words, room, SMALL), size=SMALL, tone="soft")


def _told_below(index: JudgementIndex, side: _Side) -> Iterator[str]:
    """What a drawing on a phone has no room for beside the part."""
    if side.lengths.height is not None and _thing(index):
        yield f"highest: {_thing(index)}"
    yield f"couplers over rail: {_coupler_heights(index)}"


def _coupler_heights(index: JudgementIndex) -> str:
    heights = []
    for letter in "BA":
        coupler = next((one for one in _fitted(index, COUPLER) if one.position == letter), None)
        height = None if coupler is None else figure_amount(index, coupler.key, COUPLER_HEIGHT)
        heights.append(f"{letter} {NOT_MEASURED if height is None else inch_words(height)}")
    return ", ".join(heights)


def _car(index: JudgementIndex) -> Part | None:
    return index.standing.parts.get("car")


def _lowest(
    canvas: Canvas, index: JudgementIndex, faults: FaultNumbers, side: _Side, trucks: list[Part]
) -> Iterator[str]:
    """The lowest part as a bar at its height, with its name and figure between the trucks; yields the words where there
    is no room for them."""
    thing = index.value("body", LOWEST_PART)
    name = "" if thing is None else value_words(thing)
    amount = side.lengths.lowest
    if amount is None:
        yield f"lowest part over the rail: {NOT_MEASURED}"
        return
    words = (
        f"lowest: {name}, {inch_words(amount)} over rail" if name else f"lowest part: {inch_words(amount)} over rail"
    )
    half = 24.0 * side.scale
    at = _truck_of_the_lowest(index, trucks)
    x = side.middle if at is None else side.truck(at)
    y = side.up(float(amount))
    canvas.line(x - half, y, x + half, y, width=0.7)
    begin = side.truck(0) + 90 * side.scale
    room = side.truck(1) - 90 * side.scale - begin
    numbers = faults.on(index, index.standing.parts.get("body"), LOWEST_PART_OVER_RAIL)
    wide = text_width(words, SMALL)
    if wide + 8 > room or (x == side.middle and float(amount) * side.scale > 2.5):
        yield words
        return
    left = begin + 4 + (5 if numbers else 0) if x <= side.middle else begin + room - wide - 4
    upright = _height_line(index, side, trucks)
    if side.lengths.height is not None and x != side.middle and left - (6 if numbers else 1) < upright < left + wide:
        yield words
        return
    if x == side.middle:
        left = min(side.middle - wide / 2, upright - wide - 2)
    text_y = side.rail - 2.6 if x != side.middle else side.up(_SILL) + 3.4
    canvas.text(left, text_y, words, size=SMALL)
    for number in numbers[:1]:
        canvas.number(left - 2.8, text_y - 1.1, number)
    if x < side.middle:
        canvas.line(x + half, y, left - 0.8, text_y - 0.6, width=0.1)
    elif x > side.middle:
        canvas.line(x - half, y, left + wide + 0.8, text_y - 0.6, width=0.1)
    else:
        canvas.line(x, y, x, text_y + 1, width=0.1)


def _scale_words(side: _Side, on_a_sheet: bool) -> str:
    if not side.to_scale:
        return "Not to scale: nobody measured the length. Drawn as usual for a passenger car, both ends alike."
    if on_a_sheet:
        return f"scale 1 : {round(25.4 / side.scale)}, both ends alike"
    return "Seen from the R side, to scale, both ends alike. Parts without a figure are drawn as usual for the kind."


def _described(index: JudgementIndex, lengths: Lengths, trucks: list[Part]) -> str:
    """Two sentences with the figures that decide."""

    def told(amount: Fraction | None) -> str:
        return NOT_MEASURED if amount is None else length_words(amount)

    weights = []
    for truck in trucks:
        weight = figure_amount(index, "car", f"weight_on_truck_{truck.position}")
        words = NOT_MEASURED if weight is None else write_quantity(Quantity.of("weight", weight))
        weights.append(f"{truck.label} {words}")
    low = NOT_MEASURED if lengths.lowest is None else f"{inch_words(lengths.lowest)} over rail"
    return (
        f"The car from its R side, B end at the left: over couplers {told(lengths.length)}, truck centers "
        f"{told(lengths.centers)}, height {told(lengths.height)}, lowest part {low}. "
        f"Couplers: {_coupler_heights(index)}. Weight: {', '.join(weights) or NOT_MEASURED}."
    )
