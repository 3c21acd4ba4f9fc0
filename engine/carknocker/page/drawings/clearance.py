"""The car on the sharpest curve of the move, and the end of the car inside the clearance outline of that leg, which is
narrowed for a long car."""

from collections.abc import Iterator
from fractions import Fraction
from math import sqrt

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.canvas import LINE, PHONE, THIN, Canvas
from carknocker.page.drawings.figures import Lengths, figure_amount, inch_words, length_words, lengths_of, marks_on
from carknocker.page.drawings.marks import Mark, tag
from carknocker.page.drawings.text_width import SMALL, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.record.model import Leg, Part
from carknocker.record.part_keys import leg_key
from carknocker.record.value_words import value_words
from carknocker.record.values import Word
from carknocker.rulebook.clauses import FromPart
from carknocker.vocabulary.program_names import (
    ALLOWED_WIDTH,
    AXLE_SPACING,
    CLEARANCE_HEIGHT,
    CLEARANCE_WIDTH,
    EXTREME_WIDTH,
    HEIGHT_OVER_RAIL,
    SHARPEST_CURVE,
    SWING_IN,
    SWING_OUT,
)
from carknocker.wording.faults import fault_of_findings
from carknocker.workings import OutOfRange
from carknocker.workings.clearance import PLATES
from carknocker.workings.curves import radius_of_degree

ACROSS = 3
"""How many times larger the scale across the track is than the scale along it."""

_ROOM = 75.0
_POINTS = 24


class OnCurve(msgspec.Struct, frozen=True):
    """The geometry, inches: radius of the track, truck centers, length, width, wheelbase (0: trucks as points)."""

    radius: float
    centers: float
    length: float
    width: float
    wheelbase: float = 0.0

    @classmethod
    def of(cls, degree: Fraction, centers: Fraction, length: Fraction, width: Fraction,
           wheelbase: Fraction) -> "OnCurve":  # fmt: skip
        """The geometry on a curve of so many degrees, above 0."""
        radius = radius_of_degree(degree).amount.middle
        return cls(float(radius), float(centers), float(length), float(width), float(wheelbase))

    @property
    def middle_radius(self) -> float:
        """Radius of the circle on which the car's middle runs."""
        return sqrt(self.radius**2 - (self.wheelbase / 2) ** 2 - (self.centers / 2) ** 2)

    def track(self, along: float, aside: float = 0.0) -> float:
        """How far outside the car's center line the center line of the track is (or a line `aside` of it), at a
        distance along the car from its middle; inches."""
        return sqrt((self.radius + aside) ** 2 - along**2) - self.middle_radius

    @property
    def scale(self) -> float:
        """Millimeters per inch along the car."""
        return _ROOM / self.length


def draw_curve(canvas: Canvas, car: OnCurve, top: float) -> float:
    """Draws the car on the curve from above, the outside of the curve up. Returns the lower edge."""
    high = car.scale * ACROSS
    reach = max(car.track(0, car.width / 2), car.width / 2)
    middle = top + reach * high + 0.9
    half = car.length / 2

    def at(along: float, outside: float) -> tuple[float, float]:
        return PHONE / 2 + along * car.scale, middle - outside * high

    left, upper = at(-half, car.width / 2)
    canvas.box(left, upper, car.length * car.scale, car.width * high, width=LINE, fill="tint")
    canvas.line(*at(-half, 0), *at(half, 0), width=THIN, dashes="2.2 0.7 0.5 0.7")
    places = [-half + car.length * number / _POINTS for number in range(_POINTS + 1)]
    canvas.shape([at(one, car.track(one)) for one in places], closed=False, width=LINE)
    for aside in (car.width / 2, -car.width / 2):
        canvas.shape([at(one, car.track(one, aside)) for one in places], closed=False, dashes="1.1 0.7")
    for along in (-car.centers / 2, car.centers / 2):
        canvas.circle(*at(along, 0), 0.8, width=0, fill="ink")
    x, y = at(0, car.track(0))
    canvas.text(x, y - 1.1, "swing-in", anchor="middle", size=SMALL)
    x, y = at(-half, car.track(half, car.width / 2))
    canvas.text(x + 1.1, y + 3.2, "swing-out", size=SMALL)
    lowest = min(car.track(half, -car.width / 2), -car.width / 2)
    return at(0, lowest)[1] + 0.9


class Passage(msgspec.Struct, frozen=True):
    """A leg with its sharpest curve, degrees, and what passes there, inches; None for what is not stated.

    limit_name: `plate B`, or empty. narrowed: width that is left for this car.
    """

    leg: Leg
    part: Part
    degree: Fraction
    limit_name: str
    width: Fraction | None
    height: Fraction | None
    narrowed: Fraction | None

    @property
    def name(self) -> str:
        return f"leg {self.leg.number}, {self.leg.start} to {self.leg.end}"


def sharpest(index: JudgementIndex) -> Passage | None:
    """The leg with the sharpest curve; among equals, the one that leaves the car the least width."""
    found = [one for leg in index.judgement.move.legs if (one := _passage(index, leg)) is not None]
    return max(found, key=lambda one: (one.degree, -(one.narrowed or one.width or 10**6)), default=None)


def _passage(index: JudgementIndex, leg: Leg) -> Passage | None:
    key = leg_key(leg.number)
    degree = figure_amount(index, key, SHARPEST_CURVE)
    part = index.standing.parts.get(key)
    if degree is None or part is None:
        return None
    plate = index.value(key, "clearance")
    name = plate.text if isinstance(plate, Word) and plate.text in PLATES else ""
    width, height = figure_amount(index, key, CLEARANCE_WIDTH), figure_amount(index, key, CLEARANCE_HEIGHT)
    if name:
        width = PLATES[name].width if width is None else width
        height = PLATES[name].height if height is None else height
    return Passage(leg, part, degree, name, width, height, figure_amount(index, key, ALLOWED_WIDTH))


def on_curve(index: JudgementIndex, passage: Passage, lengths: Lengths) -> OnCurve | None:
    """The car on that curve; None on straight track, and where a length is missing or the lengths contradict each
    other."""
    if lengths.centers is None or lengths.length is None or lengths.width is None or passage.degree <= 0:
        return None
    bases = [_wheelbase(index, truck) for truck in index.trucks()]
    base = max((one for one in bases if one is not None), default=Fraction(0)) if None not in bases else Fraction(0)
    try:
        car = OnCurve.of(passage.degree, lengths.centers, lengths.length, lengths.width, base)
    except OutOfRange:
        return None
    return car if car.radius > car.length > 0 else None


def _wheelbase(index: JudgementIndex, truck: Part) -> Fraction | None:
    spacing = figure_amount(index, truck.key, AXLE_SPACING)
    return None if spacing is None else spacing * max(len(index.axles(truck)) - 1, 0)


_FRONT = 33.0
_LINE = 3.4
"""Millimeters: the height of the car in the view of its end; from line to line of a text."""


def swing_words(amount: Fraction | None) -> str:
    """A swing to the nearest 1/64 in: its formula has a square root."""
    return "not measured" if amount is None else inch_words(_to_64(amount))


def _to_64(amount: Fraction) -> Fraction:
    return Fraction(round(amount * 64), 64)


def front_view(canvas: Canvas, passage: Passage, lengths: Lengths, top: float) -> float:
    """Draws the end of the car and the outline it must fit, both about the center of the track."""
    rows = list(front_rows(passage, lengths))
    tallest = max(passage.height or 0, lengths.height or 0)
    if passage.width is None or not tallest or lengths.width is None:
        for words, _ in rows:
            canvas.text(0, top + 2.6, words, size=SMALL)
            top += _LINE
        return top
    scale, middle, rail = _FRONT / float(tallest), 16.8, top + _FRONT + 1.3
    high = float(passage.height or tallest) * scale
    half = float(passage.width) * scale / 2
    canvas.box(middle - half, rail - high, 2 * half, high, dashes="2.2 0.7 0.5 0.7", width=LINE)
    tall = float(lengths.height or 0) * scale
    if tall:
        half = float(lengths.width) * scale / 2
        canvas.box(middle - half, rail - tall, 2 * half, tall, fill="tint", width=LINE)
    if passage.narrowed is not None:
        left, half = float(passage.narrowed) * scale / 2, float(passage.width) * scale / 2
        for x in (middle - half, middle + left):
            canvas.hatched(x, rail - high, max(half - left, 0), high, width=0)
    canvas.line(0, rail, 33.6, rail, width=LINE)
    y = top + 3.6
    for words, kind in rows:
        _swatch(canvas, 36.5, y, kind)
        for line in wrapped_lines(words, PHONE - 42.5, SMALL, most=4):
            canvas.text(41.8, y, line, size=SMALL)
            y += _LINE
        y += 1.8
    return max(rail + 2.6, y)


def _swatch(canvas: Canvas, x: float, y: float, kind: str) -> None:
    if kind == "car":
        canvas.box(x, y - 2, 3.6, 2.2, fill="tint", width=LINE)
    elif kind == "limit":
        canvas.box(x, y - 2, 3.6, 2.2, dashes="2.2 0.7 0.5 0.7", width=LINE)
    elif kind == "narrowed":
        canvas.hatched(x, y - 2, 3.6, 2.2, width=0)
    else:
        canvas.box(x, y - 2, 3.6, 2.2, dashes="0.9 0.7")


def front_rows(passage: Passage, lengths: Lengths) -> Iterator[tuple[str, str]]:
    """What the view shows, in words, each with the kind of line that it is drawn with."""
    if passage.width is None:
        yield "Clearance of the leg: not on file", "open"
    else:
        named = f" ({passage.limit_name})" if passage.limit_name else ""
        high = "" if passage.height is None else f", {length_words(passage.height)} high"
        yield f"Limit{named}: {length_words(passage.width)} wide{high}", "limit"
    if passage.narrowed is None:
        yield "Width left for a car as long as this: not known", "open"
    else:
        yield f"Given up for swing: {length_words(_to_64(passage.narrowed))} is left for this car", "narrowed"
    wide = "width not measured" if lengths.width is None else f"{length_words(lengths.width)} wide"
    tall = "height not measured" if lengths.height is None else f"{length_words(lengths.height)} high"
    yield f"This car: {wide}, {tall}", "car"


_ABOUT = frozenset({EXTREME_WIDTH, HEIGHT_OVER_RAIL, ALLOWED_WIDTH, "clearance", CLEARANCE_WIDTH, CLEARANCE_HEIGHT})


def clearance(index: JudgementIndex) -> Drawing | None:
    """The drawing; None where no leg states its curve, or the car's length, width or centers are not on record."""
    passage, lengths = sharpest(index), lengths_of(index)
    car = None if passage is None else on_curve(index, passage, lengths)
    if passage is None or car is None:
        return None
    canvas = Canvas("clearance", PHONE)
    y = 0.0
    for line in wrapped_lines(f"{_degrees(index, passage)}: {passage.name}", PHONE - 0.5, bold=True, most=2):
        canvas.text(0, y + 3, line, bold=True)
        y += _LINE + 0.4
    y = draw_curve(canvas, car, y + 1.3) + 1.3
    for words in _curve_words(index, passage, car):
        for line in wrapped_lines(words, PHONE - 0.5, SMALL, most=3):
            canvas.text(0, y + 2.6, line, size=SMALL)
            y += _LINE
    y = front_view(canvas, passage, lengths, y + 3.2)
    for title, mark in _found(index, passage):
        wide = tag(canvas, PHONE - 0.2, y + 3, mark, anchor="end")
        for line in wrapped_lines(title, PHONE - wide - 2.2, SMALL, most=3):
            canvas.text(0, y + 3, line, size=SMALL)
            y += _LINE
        y += 1.4
    title = "The car on the sharpest curve, and the clearance of that leg"
    return canvas.finish(y + 0.6, title, _described(index, passage, lengths, car))


def _degrees(index: JudgementIndex, passage: Passage) -> str:
    value = index.value(passage.part.key, SHARPEST_CURVE)
    return f"Curve of {value_words(value)}" if value is not None else "Curve"


def _curve_words(index: JudgementIndex, passage: Passage, car: OnCurve) -> list[str]:
    swings = {name: figure_amount(index, passage.part.key, name) for name in (SWING_IN, SWING_OUT)}
    told = [
        f"Swing-in at the middle: {swing_words(swings['swing_in'])}. Swing-out at the end corner: "
        f"{swing_words(swings['swing_out'])}.",
        f"Full line: center of the track. Dashed: the car's sides on straight track. Across drawn {ACROSS} times as "
        "large as along; the outside of the curve is up.",
    ]
    if not car.wheelbase:
        told.append("Axle spacing: not measured; drawn with the trucks as points.")
    return told


def _found(index: JudgementIndex, passage: Passage) -> Iterator[tuple[str, Mark]]:
    told: dict[tuple[str, Mark], None] = {}
    for finding, mark in marks_on(index, passage.part.key):
        names = set()
        for leaf in index.compiled(finding.criterion).leaves:
            names.add(leaf.comparison.path.attribute.name)
            if isinstance(leaf.comparison.limit, FromPart):
                names.add(leaf.comparison.limit.path.attribute.name)
        if names & _ABOUT:
            fault = finding.unmet and finding.verdict != "not shown"
            told[fault_of_findings((finding,), index).text if fault else finding.criterion.title, mark] = None
    yield from list(told)[:4]


def _described(index: JudgementIndex, passage: Passage, lengths: Lengths, car: OnCurve) -> str:
    told = [f"{_degrees(index, passage)}: {passage.name}.", *_curve_words(index, passage, car)]
    told.extend(f"{words}." for words, _ in front_rows(passage, lengths))
    told.extend(f"{title}: {mark.word}." for title, mark in _found(index, passage))
    return " ".join(told)
