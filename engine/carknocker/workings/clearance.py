"""Clearance: the width and height that a leg leaves a car, by its plate or its own figures. A plate's width is narrowed
for long truck centers and overhang, on the curve that plates are based on."""

from collections.abc import Mapping
from fractions import Fraction

import msgspec

from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure
from carknocker.workings.curves import (
    swing_in,
    swing_out,
)
from carknocker.workings.enclosure import Enclosure
from carknocker.workings.formula import Result, inches, result
from carknocker.workings.inputs import Input, derived, figure, figures, word
from carknocker.workings.model import Missing, OutOfRange, Readings, Worked

PLATE_RADIUS = Fraction(12 * 441 + 8) + Fraction(3, 8)
"""Radius of the curve that clearance plates are based on, inches: 441 ft 8-3/8 in, a curve of 13° (published)."""


class Plate(msgspec.Struct, frozen=True):
    """Width and height over rail of a clearance plate, inches."""

    width: Fraction
    height: Fraction


def _plate(feet: int, inches_over: int) -> Plate:
    return Plate(Fraction(128), Fraction(12 * feet + inches_over))


PLATES: Mapping[str, Plate] = {
    "plate B": _plate(15, 1),
    "plate C": _plate(15, 6),
    "plate E": _plate(15, 9),
    "plate F": _plate(17, 0),
}
"""AAR plates, all 10 ft 8 in wide. Read in a secondary source only: the diagram of the line decides."""


class Outline(msgspec.Struct, frozen=True):
    """A car seen from above, inches: truck centers, length, extreme width."""

    centers: Fraction
    length: Fraction
    width: Fraction


def allowed_width(plate_width: Fraction, plate_centers: Fraction, car: Outline) -> Result:
    """W₁ = W - 2·max(0, M - M₀, E - M₀): width that a plate leaves a car, inches.

    W: width of the plate; M₀: swing-in, on the plate's curve, of a car with the truck centers that the plate is drawn
    for; M, E: swing-in and swing-out of this car there. Where this car swings further than the plate's own car, its
    width is less by as much on either side. Computed from that definition; the truck centers of a plate are the route's
    figure and not built in. Raises OutOfRange.
    """
    if plate_width <= 0:
        raise OutOfRange("a plate is wider than 0 in")
    own_in = swing_in(PLATE_RADIUS, car.centers).amount
    own_out = swing_out(PLATE_RADIUS, car.centers, car.length, car.width).amount
    base = swing_in(PLATE_RADIUS, plate_centers).amount
    more = [Enclosure.of(0), own_out - base]
    if car.centers > plate_centers:  # a shorter car swings in less than the plate's own
        more.append(own_in - base)
    excess = Enclosure(max(one.low for one in more), max(one.high for one in more))
    numbers = (
        f"{inches(plate_width)} - 2 × max(0, {inches(own_in)} - {inches(base)}, {inches(own_out)} - {inches(base)})"
    )
    return result("length", Enclosure.of(plate_width) - excess * 2, f"W₁ = W - 2 × max(0, M - M₀, E - M₀) = {numbers}")


def _plate_of_leg(readings: Readings, leg: str) -> tuple[str, Plate, Evidence] | Missing:
    plate = word(readings, leg, "clearance")
    if isinstance(plate, Missing):
        return plate
    if plate[0] not in PLATES:
        return Missing(leg, "clearance", f"`{plate[0]}` has no figures")
    return plate[0], PLATES[plate[0]], plate[1]


def leg_allowed_width(readings: Readings, part: Part) -> Worked | Missing:
    """Width that a leg leaves this car: the leg's own clearance width, else the plate's, narrowed for the car's truck
    centers and overhang against the truck centers that the plate is drawn for (the leg's figure)."""
    found = figures(
        readings,
        ("car", "truck_centers"),
        ("car", "length_over_couplers"),
        ("car", "extreme_width"),
        (part.key, "clearance_truck_centers"),
    )
    if isinstance(found, Missing):
        return found
    centers, length, width, base = found
    used: list[Input | Evidence] = list(found)
    own = figure(readings, part.key, "clearance_width")
    if isinstance(own, Input):
        limit = own.amount
        used.append(own)
    else:
        plate = _plate_of_leg(readings, part.key)
        if isinstance(plate, Missing):
            return plate
        limit = plate[1].width
        used.append(plate[2])
    outline = Outline(centers.amount, length.amount, width.amount)
    return derived(part.key, "clearance_truck_centers", used, lambda: allowed_width(limit, base.amount, outline))


def leg_allowed_height(readings: Readings, part: Part) -> Worked | Missing:
    """Height over rail that a leg leaves any car: the leg's own clearance height, else the plate's."""
    own = figure(readings, part.key, "clearance_height")
    if isinstance(own, Input):
        return Worked(Figure(own.quantity), f"H = {write_quantity(own.quantity)}, the leg's own", (own.evidence,))
    plate = _plate_of_leg(readings, part.key)
    if isinstance(plate, Missing):
        return plate
    height = Quantity.of("length", plate[1].height, "ft")
    return Worked(Figure(height), f"H = {write_quantity(height)} of {plate[0]}", (plate[2],))
