"""Wheel diameters along each truck, with the step of the middle axle. Widths are to scale; differences between wheels
are enlarged by a factor that is stated."""

from collections.abc import Iterator
from fractions import Fraction

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.canvas_in_units import WIDTH, Canvas, Fill
from carknocker.page.drawings.figures import figure_amount, inch_words, mark_on
from carknocker.page.drawings.marks import tag
from carknocker.page.drawings.width_in_units import SMALL, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.quantities.writing import write_inches
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.vocabulary.program_names import MATE_DIFFERENCE, MIDDLE_AXLE_STEP, TAPE_SIZE, WHEEL
from carknocker.workings.wheels import diameter_of_tapes

_MOST_AXLES = 4


class WheelSize(msgspec.Struct, frozen=True):
    """One wheel. over: diameter in inches; if only tape sizes are known, the part of the diameter above tape size 0;
    None if not shown. words: as read."""

    label: str
    axle: str
    over: Fraction | None
    words: str


class TruckSizes(msgspec.Struct, frozen=True):
    """The wheels of a truck, axle by axle, L before R."""

    truck: Part
    axles: tuple[tuple[WheelSize, ...], ...]

    @property
    def step(self) -> Fraction | None:
        """The mean of the middle axle less the mean of the end axles, inches; None unless all three axles are known."""
        over = [[one.over for one in axle if one.over is not None] for axle in self.axles]
        if len(over) != 3 or any(len(one) != 2 for one in over):
            return None
        return sum(over[1], Fraction(0)) / 2 - sum(over[0] + over[2], Fraction(0)) / 4

    @property
    def spread(self) -> Fraction | None:
        """The largest less the smallest, inches; None unless all wheels are known."""
        over = [one.over for axle in self.axles for one in axle]
        known = [one for one in over if one is not None]
        return max(known) - min(known) if known and len(known) == len(over) else None


def wheel_sizes(index: JudgementIndex) -> tuple[list[TruckSizes], bool]:
    """The trucks, B end first; and whether only tape sizes are known."""
    by_tape = not any(_known(index, "diameter"))
    return [_sizes(index, truck, by_tape) for truck in index.trucks()], by_tape


def _known(index: JudgementIndex, attribute: str) -> Iterator[Part]:
    for wheel in index.standing.by_kind.get(WHEEL, ()):
        if wheel.fitted and figure_amount(index, wheel.key, attribute) is not None:
            yield wheel


def _sizes(index: JudgementIndex, truck: Part, by_tape: bool) -> TruckSizes:
    axles = []
    for axle in index.axles(truck)[:_MOST_AXLES]:
        wheelset = index.wheelset_at(axle)
        wheels = [None if wheelset is None else index.on_side(wheelset, WHEEL, letter) for letter in "LR"]
        pairs = zip("LR", wheels, strict=True)
        axles.append(tuple(_size(index, wheel, f"{letter}{axle.position}", axle, by_tape) for letter, wheel in pairs))
    return TruckSizes(truck, tuple(axles))


def _size(index: JudgementIndex, wheel: Part | None, label: str, axle: Part, by_tape: bool) -> WheelSize:
    if wheel is None:
        return WheelSize(label, axle.label, None, "not shown")
    tapes = figure_amount(index, wheel.key, TAPE_SIZE)
    if by_tape:
        over = None if tapes is None else diameter_of_tapes(tapes).amount.middle
        return WheelSize(label, axle.label, over, "not shown" if tapes is None else f"tape {value_of(tapes)}")
    amount = figure_amount(index, wheel.key, "diameter")
    return WheelSize(label, axle.label, amount, "not shown" if amount is None else write_inches(amount))


def value_of(amount: Fraction) -> str:
    """A figure in tapes."""
    return str(amount.numerator) if amount.denominator == 1 else str(float(amount))


FACTORS = (2, 5, 10, 20, 50, 100, 200)
"""By how many times differences may be enlarged."""

_PER_INCH = Fraction(9, 10)  # widths: units per inch of diameter
_USUAL = Fraction(33)  # inches; the width that is drawn where only tapes are known
_TALLEST = 84.0
_BASE = 26.0  # height of the smallest wheel
_LINE = 14.0
_SMALL_WHEEL = Fraction(12)  # inches; a size under it is a difference, as tapes give
_STEP, _SPREAD, _MATES = MIDDLE_AXLE_STEP, "spread", MATE_DIFFERENCE


def diameters(index: JudgementIndex) -> Drawing | None:
    """The drawing; None if no wheel has a diameter or tape size."""
    trucks, by_tape = wheel_sizes(index)
    over = [one.over for truck in trucks for axle in truck.axles for one in axle if one.over is not None]
    if not over:
        return None
    smallest, largest = min(over), max(over)
    factor = factor_for(largest - smallest)
    canvas = Canvas("wheel-diameters")
    y = 0.0
    for truck in trucks:
        y = _draw(canvas, index, truck, y, smallest, factor)
    told = _scale_words(smallest, factor, by_tape)
    for line in wrapped_lines(told, WIDTH - 2, SMALL, most=4):
        canvas.text(0, y + 8, line, size=SMALL)
        y += _LINE
    return canvas.finish(y + 2, "Wheel diameters along each truck (inches)", _described(index, trucks, told))


def factor_for(difference: Fraction) -> int:
    """The largest factor at which the difference, inches, still fits."""
    room = Fraction(_TALLEST - _BASE)
    return max((one for one in FACTORS if difference * _PER_INCH * one <= room), default=1)


def _draw(
    canvas: Canvas, index: JudgementIndex, sizes: TruckSizes, top: float, smallest: Fraction, factor: int
) -> float:
    rail = top + 20 + _TALLEST + 6
    canvas.text(0, top + 12, sizes.truck.label, bold=True)
    wide = WIDTH / max(len(sizes.axles), 1)
    for number, axle in enumerate(sizes.axles):
        for place, wheel in enumerate(axle):
            x = wide * number + wide * (0.26 + 0.48 * place)
            _wheel(canvas, wheel, x, rail, smallest, factor, wide * 0.46)
        canvas.text(wide * (number + 0.5), rail + 56, axle[0].axle, anchor="middle", size=SMALL)
    canvas.line(0, rail, WIDTH, rail, width=1.6)
    _draw_step(canvas, sizes, rail, smallest, factor)
    y = rail + 78
    for words, attribute, key in _difference_rows(index, sizes):
        mark = mark_on(index, key, attribute)
        for line in wrapped_lines(words, WIDTH - (112 if mark.word else 2), SMALL, most=2):
            canvas.text(0, y, line, size=SMALL)
            y += _LINE
        if mark.word:
            tag(canvas, WIDTH - 1, y - _LINE, mark, anchor="end")
        y += 4
    return y + 2


def _height(over: Fraction, smallest: Fraction, factor: int) -> float:
    return _BASE + float((over - smallest) * _PER_INCH * factor)


def _wheel(
    canvas: Canvas, wheel: WheelSize, x: float, rail: float, smallest: Fraction, factor: int, room: float
) -> None:
    canvas.text(x, rail + 15, wheel.label, anchor="middle", bold=True)
    for number, words in enumerate(wrapped_lines(wheel.words, room, SMALL, most=2)):
        canvas.text(x, rail + 28 + 13 * number, words, anchor="middle", size=SMALL)
    if wheel.over is None:
        canvas.box(x - 15, rail - _BASE, 30, _BASE, dashes="4 3", kind="open")
        return
    high = _height(wheel.over, smallest, factor)
    half = float((wheel.over if wheel.over > _SMALL_WHEEL else _USUAL) * _PER_INCH) / 2
    fill: Fill = "tint" if wheel.label.startswith("L") else "hatching"
    canvas.box(x - half, rail - high, 2 * half, high, width=1.4, fill=fill, round_by=3)


def _draw_step(canvas: Canvas, sizes: TruckSizes, rail: float, smallest: Fraction, factor: int) -> None:
    """Draws the mean of the end axles as a dashed line across the truck, and the mean of the middle axle as a heavy
    line."""
    if sizes.step is None:
        return
    middle = sum((one.over for one in sizes.axles[1] if one.over is not None), Fraction(0)) / 2
    ends = middle - sizes.step
    y = rail - _height(ends, smallest, factor)
    canvas.line(0, y, WIDTH, y, dashes="6 3")
    y = rail - _height(middle, smallest, factor)
    canvas.line(WIDTH / 3 + 6, y, WIDTH * 2 / 3 - 6, y, width=2.4)


def _difference_rows(index: JudgementIndex, sizes: TruckSizes) -> Iterator[tuple[str, str, str]]:
    key = sizes.truck.key
    if len(sizes.axles) == 3:
        yield _difference_row(index, "Middle axle less the end axles", key, _STEP, sizes.step), _STEP, key
    yield _difference_row(index, "Largest less smallest in the truck", key, _SPREAD, sizes.spread), _SPREAD, key


def _difference_row(index: JudgementIndex, label: str, key: str, attribute: str, drawn: Fraction | None) -> str:
    """A figure in tapes, which rules ask for, if known; and in inches of diameter, as drawn."""
    tapes = index.value(key, attribute)
    words = [] if tapes is None else [value_words(tapes)]
    words.extend([] if drawn is None else [inch_words(drawn)])
    return f"{label}: {', '.join(words) or 'not shown'}"


def _scale_words(smallest: Fraction, factor: int, by_tape: bool) -> str:
    if by_tape:
        widths, least = "Only tape sizes are known; widths as of 33 in wheels.", ""
    else:
        widths, least = "Widths to scale.", f", {inch_words(smallest)},"
    return (
        f"{widths} What a wheel has over the smallest{least} is drawn {factor} times as large. L tinted, R hatched. "
        "Of three axles: dashed line, mean of the end axles; heavy line, mean of the middle axle."
    )


def _described(index: JudgementIndex, trucks: list[TruckSizes], told: str) -> str:
    words = []
    for sizes in trucks:
        wheels = ", ".join(f"{one.label} {one.words}" for axle in sizes.axles for one in axle)
        words.append(f"{sizes.truck.label}: {wheels}.")
        words.extend(f"{said}." for said, _, _ in _difference_rows(index, sizes))
    return " ".join((*words, told))
