"""The car from the side, B end on the left: a plain outline, to scale from the lengths on record."""

from fractions import Fraction

from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.canvas import WIDTH, Canvas, across, upright
from carknocker.page.drawings.figures import Lengths, figure_amount, inch_words, length_words, lengths_of
from carknocker.page.drawings.text_width import SMALL, text_width, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.vocabulary.program_names import (
    AXLE_SPACING,
    COUPLER,
    COUPLER_HEIGHT,
    HIGHEST_THING,
    LOWEST_PART,
    WHEEL,
    WIDEST_THING,
)

_LEFT, _ROOM = 4.0, 352.0
_TOP = 40.0
_LINE = 14.0
_WHEEL = Fraction(36)  # inches; assumed for a wheel whose diameter is not shown, which is drawn dashed


def car_side(index: JudgementIndex) -> Drawing | None:
    """The side of the car; None where neither its length nor its truck centers are on record."""
    lengths = lengths_of(index)
    if lengths.whole <= 0:
        return None
    canvas = Canvas("car-side")
    scale = _ROOM / float(lengths.whole)
    rail = _TOP + float(lengths.height or 168) * scale
    _outline(canvas, lengths, scale, rail)
    y = _trucks(canvas, index, lengths, scale, rail)
    for words in _notes(index, lengths):
        for line in wrapped_lines(words, WIDTH - 2, SMALL, most=3):
            canvas.text(0, y, line, size=SMALL)
            y += _LINE
    return canvas.finish(
        y - 4, "The car from the side, to scale from the lengths on record", _described(index, lengths)
    )


def _outline(canvas: Canvas, lengths: Lengths, scale: float, rail: float) -> None:
    middle = _LEFT + _ROOM / 2
    half = float(lengths.length or lengths.centers or 0) * scale / 2
    left, right = middle - half, middle + half
    top = rail - float(lengths.height or 168) * scale
    bottom = rail - float(lengths.lowest or 0) * scale
    known = lengths.length is not None and lengths.height is not None
    canvas.text(0, 12, "B end", bold=True)
    canvas.text(WIDTH, 12, "A end", anchor="end", bold=True)
    canvas.box(left, top, right - left, bottom - top, width=1.4 if known else 1, dashes="" if known else "4 3",
               fill="tint" if known else "none", round_by=3)  # fmt: skip
    canvas.line(0, rail, WIDTH, rail, width=1.6)
    if lengths.length is not None:
        across(canvas, left, right, 26, f"{length_words(lengths.length)} over couplers")
    if lengths.height is not None:
        words = f"{length_words(lengths.height)} over rail"
        upright(canvas, left + 22, top, rail)
        canvas.text(left + 28, (top + rail) / 2 - 2, words, size=SMALL)
    else:
        canvas.text(middle, (top + rail) / 2 - 2, "height over rail: not shown", anchor="middle", size=SMALL)


def _trucks(canvas: Canvas, index: JudgementIndex, lengths: Lengths, scale: float, rail: float) -> float:
    """Draws the wheels where the record has them, the truck centers, and the weights below the trucks. Returns the y
    where the notes begin."""
    middle = _LEFT + _ROOM / 2
    trucks = index.trucks()
    if lengths.centers is None or len(trucks) != 2:
        canvas.text(middle, rail + 18, "truck centers: not shown", anchor="middle", size=SMALL)
        return rail + 40
    half = float(lengths.centers) * scale / 2
    for truck, at in zip(trucks, (middle - half, middle + half), strict=True):
        _truck(canvas, index, truck, at, scale, rail)
    across(canvas, middle - half, middle + half, rail + 62, f"{length_words(lengths.centers)} truck centers")
    return rail + 86


def _truck(canvas: Canvas, index: JudgementIndex, truck: Part, at: float, scale: float, rail: float) -> None:
    canvas.line(at, rail - float(_WHEEL) * scale - 8, at, rail + 6, dashes="6 2 1 2")
    spacing = figure_amount(index, truck.key, AXLE_SPACING)
    axles = index.axles(truck)
    if spacing is None:
        wide = 40.0
        canvas.box(at - wide / 2, rail - float(_WHEEL) * scale, wide, float(_WHEEL) * scale, dashes="4 3", kind="open")
    else:
        for number, axle in enumerate(axles):
            x = at + (number - (len(axles) - 1) / 2) * float(spacing) * scale
            _wheel(canvas, index, axle, x, scale, rail)
    weight = figure_amount(index, "car", f"weight_on_truck_{truck.position}")
    words = "not shown" if weight is None else write_quantity(Quantity.of("weight", weight))
    half = text_width(words, SMALL) / 2 + 4
    anchor_x = min(max(at, half), WIDTH - half)
    canvas.text(anchor_x, rail + 20, truck.label, anchor="middle", size=SMALL, bold=True)
    canvas.text(anchor_x, rail + 34, words, anchor="middle", size=SMALL)
    if weight is None:
        canvas.box(anchor_x - half, rail + 23, 2 * half, 15, dashes="4 3", kind="open")
    canvas.text(anchor_x, rail + 48, f"{len(axles)} axles", anchor="middle", size=SMALL)


def _wheel(canvas: Canvas, index: JudgementIndex, axle: Part, x: float, scale: float, rail: float) -> None:
    wheelset = index.wheelset_at(axle)
    wheel = None if wheelset is None else index.on_side(wheelset, WHEEL, "L")
    diameter = None if wheel is None else figure_amount(index, wheel.key, "diameter")
    radius = float(diameter or _WHEEL) * scale / 2
    canvas.circle(x, rail - radius, radius, width=1.2, dashes="" if diameter is not None else "3 2")


def _notes(index: JudgementIndex, lengths: Lengths) -> list[str]:
    told = ["Length over couplers: not shown; drawn from truck center to truck center."] if not lengths.length else []
    told.append(_named("Extreme width", lengths.width, index, WIDEST_THING))
    if lengths.height is not None and index.value("car", HIGHEST_THING) is not None:
        told.append(_named("Highest", lengths.height, index, HIGHEST_THING))
    low = index.value("body", LOWEST_PART)
    thing = "" if low is None else f" ({value_words(low)})"
    told.append(f"Lowest over the rail: {_or_open(lengths.lowest)}{thing}.")
    heights = [f"{one.position} {_or_open(figure_amount(index, one.key, COUPLER_HEIGHT))}" for one in _couplers(index)]
    if heights:
        told.append(f"Coupler height: {', '.join(heights)}.")
    if lengths.centers is not None:
        told.append("Drawn with both ends overhanging alike.")
    spacings = {truck.label: figure_amount(index, truck.key, AXLE_SPACING) for truck in index.trucks()}
    if any(one is None for one in spacings.values()):
        told.append("Axle spacing: not shown; a dashed box stands for the axles.")
    else:
        told.append(f"Axle spacing: {', '.join(f'{name} {_or_open(one)}' for name, one in spacings.items())}.")
    return told


def _named(label: str, amount: Fraction | None, index: JudgementIndex, attribute: str) -> str:
    thing = index.value("car", attribute)
    return f"{label}: {'not shown' if amount is None else length_words(amount)}" + (
        f" ({value_words(thing)})." if thing is not None else "."
    )


def _or_open(amount: Fraction | None) -> str:
    return "not shown" if amount is None else inch_words(amount)


def _couplers(index: JudgementIndex) -> list[Part]:
    found = (one for one in index.standing.by_kind.get(COUPLER, ()) if one.fitted)
    return sorted(found, key=lambda one: one.position != "B")


def _described(index: JudgementIndex, lengths: Lengths) -> str:
    told = ["The car from the side, the B end on the left."]
    for label, amount in (("Length over couplers", lengths.length), ("Truck centers", lengths.centers),
                          ("Height over rail", lengths.height)):  # fmt: skip
        told.append(f"{label}: {'not shown' if amount is None else length_words(amount)}.")
    for truck in index.trucks():
        weight = figure_amount(index, "car", f"weight_on_truck_{truck.position}")
        words = "not shown" if weight is None else write_quantity(Quantity.of("weight", weight))
        told.append(f"{truck.label}: {len(index.axles(truck))} axles, weight on it {words}.")
    return " ".join((*told, *_notes(index, lengths)))
