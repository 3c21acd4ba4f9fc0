"""The underside of the car before and after the lift of one end, about the far truck. One scale for both directions."""

import math
from collections.abc import Iterator
from fractions import Fraction
from functools import partial

import msgspec

from carknocker.page.drawings.both_widths import for_both
from carknocker.page.drawings.canvas import LINE, THIN, Canvas
from carknocker.page.drawings.figures import inch_words, length_words
from carknocker.page.drawings.text_width import SMALL, TEXT, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.questions.lift.ask import LiftAnswer
from carknocker.questions.lift.rounding import clearance_words, load_words, travel_words
from carknocker.workings.lift_sheet import LiftCase

_MARGIN = 2.5
_TRUCK = Fraction(84)  # inches; length of a truck in the drawing
_BODY = 7.5  # height of the body in the drawing, millimeters
_LINE = 3.4


class Tilt(msgspec.Struct, frozen=True):
    """Heights of the car's underside above the rail, inches, at distances from the far truck center towards the lifted
    end (below 0: the overhang of the standing end). far: (distance, before, after); part: the part that the truck must
    pass under."""

    far: tuple[Fraction, Fraction, Fraction]
    part: tuple[Fraction, Fraction, Fraction]
    point: tuple[Fraction, Fraction]  # of the lifting point: distance, rise
    centers: Fraction
    truck_height: Fraction


def tilt_of(answer: LiftAnswer, case: LiftCase) -> Tilt | None:
    """The tilt for one way to lift; None if the truck stays locked to the body, since then no truck has to be
    cleared."""
    if case.rise is None or case.far_end is None:
        return None
    car = answer.request.tilting
    rise = case.rise.amount.high
    distance = car.centers + case.point.beyond
    at_part = rise * car.part_distance / distance
    return Tilt(
        (-car.overhang, car.far_end_height, case.far_end.left.amount.low),
        (car.part_distance, car.outboard_height, car.outboard_height + at_part),
        (distance, rise),
        car.centers,
        car.truck_height,
    )


def lift_drawing(answer: LiftAnswer) -> Drawing | None:
    """The drawing for the first way to lift that releases the truck; None if there is none."""
    for case in answer.sheet.cases:
        tilt = tilt_of(answer, case)
        if tilt is not None:
            return for_both(partial(_draw, answer, case, tilt))
    return None


class _Scale:
    """Millimeters per inch, and the x of a distance from the far truck. The B end is always on the left."""

    def __init__(self, tilt: Tilt, end: str, wide: float) -> None:
        longest = max(tilt.part[0], tilt.point[0], tilt.centers + _TRUCK / 2)
        self.inch = (wide - 2 * _MARGIN) / float(longest - min(tilt.far[0], -_TRUCK / 2))
        self.sign = -1 if end == "B" else 1
        self.start = _MARGIN - float(min(tilt.far[0], -_TRUCK / 2)) * self.inch
        if end == "B":
            self.start = wide - self.start

    def at(self, distance: Fraction) -> float:
        return self.start + self.sign * float(distance) * self.inch


def _draw(answer: LiftAnswer, case: LiftCase, tilt: Tilt, wide: float) -> Drawing:
    canvas = Canvas("lift", wide)
    scale = _Scale(tilt, answer.end, wide)
    highest = float(max(tilt.part[2], tilt.part[1], tilt.far[1])) * scale.inch
    rail = 13.5 + highest + _BODY
    canvas.text(0, 3.2, "B end", bold=True)
    canvas.text(wide, 3.2, "A end", anchor="end", bold=True)
    _body(canvas, tilt, scale, rail)
    _trucks(canvas, answer, tilt, scale, rail)
    hook = scale.at(tilt.point[0])
    upper = rail - _height(tilt, tilt.point[0], 2) * scale.inch - _BODY
    canvas.line(hook, upper, hook, upper - 5.8)
    canvas.arrow_head(hook, upper - 5.8, "up")
    y = rail + 8
    for words in _words(answer, case, tilt):
        for line in wrapped_lines(words, wide - 0.5, SMALL, most=3):
            canvas.text(0, y, line, size=SMALL)
            y += _LINE
    title = f"Lifting the {answer.end} end, to scale: dashed before, full line lifted"
    return canvas.finish(y - 2, title, " ".join(_words(answer, case, tilt)))


def _height(tilt: Tilt, distance: Fraction, which: int) -> float:
    """Height of the underside at a distance, before (1) or after (2): on the straight line between the two measured
    places."""
    far, part = tilt.far, tilt.part
    share = (distance - far[0]) / (part[0] - far[0])
    return float(far[which] + (part[which] - far[which]) * share)


def _body(canvas: Canvas, tilt: Tilt, scale: _Scale, rail: float) -> None:
    far, part = scale.at(tilt.far[0]), scale.at(tilt.part[0])
    for which, dashes, width in ((1, "1.1 0.7", THIN), (2, "", LINE)):
        left, right = rail - float(tilt.far[which]) * scale.inch, rail - float(tilt.part[which]) * scale.inch
        points = [(far, left), (part, right), (part, right - _BODY), (far, left - _BODY)]
        canvas.shape(points, dashes=dashes, width=width, fill="none" if dashes else "tint")
    canvas.line(0, rail, canvas.wide, rail, width=LINE)


def _trucks(canvas: Canvas, answer: LiftAnswer, tilt: Tilt, scale: _Scale, rail: float) -> None:
    high = float(tilt.truck_height) * scale.inch
    other = "A" if answer.end == "B" else "B"
    for letter, distance in ((answer.end, tilt.centers), (other, Fraction(0))):
        x = scale.at(distance)
        half = float(_TRUCK) * scale.inch / 2
        if distance == 0:
            canvas.hatched(x - half, rail - high, 2 * half, high, width=LINE)
        else:
            canvas.box(x - half, rail - high, 2 * half, high, width=LINE)
        canvas.text(x, rail + 3.6, f"truck {letter}", anchor="middle", size=TEXT)


def _words(answer: LiftAnswer, case: LiftCase, tilt: Tilt) -> Iterator[str]:
    other = "A" if answer.end == "B" else "B"
    yield (
        f"Lifted at the {case.point.name}, {length_words(tilt.point[0])} from the center of truck {other}, which "
        "stands (hatched); the car tilts about it."
    )
    rise = "not known" if case.rise is None else travel_words(case.rise)
    yield f"Rise at the point of lifting: {rise}. Load at the hook: {load_words(case.load)}."
    yield (
        f"Truck {answer.end}: {inch_words(tilt.truck_height)} high. Lowest part that it passes under: "
        f"{inch_words(tilt.part[1])} before, {_rounded(tilt.part[2])} lifted."
    )
    if case.far_end is not None:
        yield (
            f"The standing end dips by {travel_words(case.far_end.dip)}, from {inch_words(tilt.far[1])} to "
            f"{clearance_words(case.far_end.left)}."
        )
    yield from (f"MUST NOT: {stop}." for stop in case.stops)
    yield "The body is drawn without its height; springs are taken as unmoved."


def _rounded(amount: Fraction) -> str:
    return inch_words(Fraction(math.floor(amount * 16), 16))
