"""Wheels: differences in size, variation back to back, rim after turning."""

from fractions import Fraction

from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure
from carknocker.workings.model import Missing, Readings, Worked


def _figure(readings: Readings, part: str, attribute: str) -> "tuple[Quantity, Evidence] | Missing":
    evidence = readings.newest(part, attribute)
    if evidence is None:
        return Missing(part, attribute, "not read")
    if not isinstance(evidence.value, Figure):
        return Missing(part, attribute, "not a figure")
    return evidence.value.quantity, evidence


def _both(readings: Readings, wheelset: str, attribute: str) -> "list[tuple[Quantity, Evidence]] | Missing":
    found = []
    for side in ("left", "right"):
        figure = _figure(readings, f"wheel {wheelset.removeprefix('wheelset ')} {side}", attribute)
        if isinstance(figure, Missing):
            return figure
        found.append(figure)
    return found


def mate_difference(readings: Readings, part: Part) -> Worked | Missing:
    """Difference in tape size between the two wheels of a wheelset, in tapes (1 tape = 1/8 in of circumference).

    Only differences of one tape are safe, so both must come from the same tape: the record gives the tape's base
    with each size, and sizes on different bases are not compared.
    """
    found = _both(readings, part.key, "tape_size")
    if isinstance(found, Missing):
        return found
    (left, left_evidence), (right, right_evidence) = found
    if left_evidence.gauge != right_evidence.gauge:
        return Missing(part.key, "tape_size", "the two wheels were not read with the same tape")
    difference = Quantity.of("tapes", abs(left.amount - right.amount))
    line = f"|left - right| = |{write_quantity(left)} - {write_quantity(right)}| = {write_quantity(difference)}"
    return Worked(Figure(difference), line, (left_evidence, right_evidence))


def truck_spread(readings: Readings, part: Part) -> Worked | Missing:
    """Largest less smallest tape size of all wheels of a truck, in tapes."""
    wheels = readings.standing.reach(part.key, "wheel")
    if not wheels:
        return Missing(part.key, "tape_size", "no wheels are fitted")
    sizes: list[Quantity] = []
    used: list[Evidence] = []
    for wheel in wheels:
        figure = _figure(readings, wheel, "tape_size")
        if isinstance(figure, Missing):
            return figure
        sizes.append(figure[0])
        used.append(figure[1])
    if len({evidence.gauge for evidence in used}) > 1:
        return Missing(part.key, "tape_size", "the wheels were not read with the same tape")
    largest, smallest = max(sizes), min(sizes)
    spread = largest.minus(smallest)
    line = f"largest - smallest = {write_quantity(largest)} - {write_quantity(smallest)} = {write_quantity(spread)}"
    return Worked(Figure(spread), line, tuple(used))


def back_to_back_variation(readings: Readings, part: Part) -> Worked | Missing:
    """Largest less smallest of the three places, 120° apart, at which the back-to-back distance was read."""
    found = [_figure(readings, part.key, f"back_to_back_{place}") for place in ("1", "2", "3")]
    for figure in found:
        if isinstance(figure, Missing):
            return figure
    pairs = [figure for figure in found if not isinstance(figure, Missing)]
    sizes = [quantity for quantity, _ in pairs]
    variation = max(sizes).minus(min(sizes))
    most, least = write_quantity(max(sizes)), write_quantity(min(sizes))
    line = f"largest - smallest = {most} - {least} = {write_quantity(variation)}"
    return Worked(Figure(variation), line, tuple(evidence for _, evidence in pairs))


def rim_after_turning(readings: Readings, part: Part) -> Worked | Missing:
    """Rim left after the cut that restores the contour, in inches: rim - t.

    The deeper of the two cuts governs both wheels of an axle (worked example: railroadgage.com, drawing 3, sides
    25/16 and 24/16, fingers 8/16 and 3/16 → 17/16 and 16/16).
    """
    wheelset = part.container or "wheelset " + part.key.removeprefix("wheel ").rsplit(" ", 1)[0]
    rim = _figure(readings, part.key, "rim_thickness")
    if isinstance(rim, Missing):
        return rim
    cuts = _both(readings, wheelset, "turning_allowance")
    if isinstance(cuts, Missing):
        return cuts
    cut = max((quantity for quantity, _ in cuts), key=lambda quantity: quantity.amount)
    left = Quantity.of("length", max(rim[0].amount - cut.amount, Fraction(0)), "in")
    line = f"rim - deeper cut of the axle = {write_quantity(rim[0])} - {write_quantity(cut)} = {write_quantity(left)}"
    return Worked(Figure(left), line, (rim[1], *(evidence for _, evidence in cuts)))
