"""Wheels and wheelsets: variation back to back, rim after turning, diameter."""

from collections.abc import Sequence
from fractions import Fraction
from functools import partial

from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Part
from carknocker.record.values import Figure
from carknocker.workings.inputs import SIDES, Input, figure, figures, wheel_of, wheelset_of
from carknocker.workings.model import Candidate, Missing, Readings, Share, Worked
from carknocker.workings.uncertainty import candidates_of_largest


def back_to_back_variation(readings: Readings, part: Part) -> Worked | Missing:
    """Largest less smallest of the three places, 120° apart, at which the distance back to back was read, in inches.

    Source of the three places: NAVFAC P-301.
    """
    found = figures(readings, (part.key, "back_to_back"), (part.key, "back_to_back_largest"))
    if isinstance(found, Missing):
        return found
    smallest, largest = found
    if largest.quantity < smallest.quantity:
        return Missing(part.key, "back_to_back_largest", "less than the smallest place: one of the two is wrong")
    variation = largest.quantity.minus(smallest.quantity)
    most, least = write_quantity(largest.quantity), write_quantity(smallest.quantity)
    line = f"largest - smallest = {most} - {least} = {write_quantity(variation)}"
    return Worked(Figure(variation), line, (smallest.evidence, largest.evidence))


def rim_after_turning(readings: Readings, part: Part) -> Worked | Missing:
    """Rim left after the cut that restores the contour, in inches: rim - t.

    The deeper of the two cuts governs both wheels of an axle. Source: railroadgage.com, drawing 3, worked example
    (sides 25/16 and 24/16, fingers 8/16 and 3/16 → 17/16 and 16/16).
    """
    wheelset = wheelset_of(readings, part.key)
    if wheelset is None:
        return Missing(part.key, "wheelset", "not known")
    rim = figure(readings, part.key, "rim_thickness")
    if isinstance(rim, Missing):
        return rim
    cuts = figures(readings, *((wheel_of(wheelset, side), "turning_allowance") for side in SIDES))
    if isinstance(cuts, Missing):
        return cuts
    cut = max(cuts, key=lambda one: one.amount)
    left = Quantity.of("length", max(rim.amount - cut.amount, Fraction(0)), "in")
    numbers = f"{write_quantity(rim.quantity)} - {write_quantity(cut.quantity)}"
    none = ": the cut is deeper than the rim, nothing is left" if cut.amount > rim.amount else ""
    line = f"rim - deeper cut of the axle = {numbers}{none or f' = {write_quantity(left)}'}"
    evidence = (rim.evidence, *(one.evidence for one in cuts))
    return Worked(Figure(left), line, evidence, partial(_cuts_that_may_govern, rim, cuts))


def _cuts_that_may_govern(rim: Input, cuts: Sequence[Input]) -> tuple[Candidate, ...]:
    return candidates_of_largest(
        (cut.amount, (Share(rim.evidence), Share(cut.evidence, Fraction(-1)))) for cut in cuts
    )  # fmt: skip
