"""Swing, allowed width and height, and sharpest curve of the legs of a move, from the record and the move."""

from fractions import Fraction

from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure
from carknocker.workings.clearance import PLATES, Outline, Plate, allowed_width, tightest_leg
from carknocker.workings.curves import (
    radius_of_degree,
    swing_in,
    swing_in_approximate,
    swing_out,
    swing_out_approximate,
)
from carknocker.workings.enclosure import Enclosure
from carknocker.workings.inputs import Input, axles_of_truck, derived, figure, figures, word
from carknocker.workings.model import Missing, Readings, Worked
from carknocker.workings.result import Result


def _radius(degree: Fraction) -> Enclosure | None:
    return radius_of_degree(degree).amount if degree else None


def _wheelbases(readings: Readings) -> list[tuple[Fraction, Evidence]] | Missing:
    """Wheelbase of each truck: spaces between its axles times the axle spacing."""
    found: list[tuple[Fraction, Evidence]] = []
    for truck in readings.standing.by_kind.get("truck", ()):
        spacing = figure(readings, truck.key, "axle_spacing")
        if isinstance(spacing, Missing):
            return spacing
        axles = len(axles_of_truck(readings, truck.key))
        found.append((max(axles - 1, 0) * spacing.amount, spacing.evidence))
    return found or Missing("car", "trucks", "none on record")


def leg_swing_in(readings: Readings, part: Part) -> Worked | Missing:
    """Swing-in of the car's middle on the sharpest curve of a leg, the longer wheelbase of its trucks included."""
    found = figures(readings, (part.key, "sharpest_curve"), ("car", "truck_centers"))
    if isinstance(found, Missing):
        return found
    degree, centers = found
    wheelbases = _wheelbases(readings)
    if isinstance(wheelbases, Missing):
        return wheelbases
    longest = max(length for length, _ in wheelbases)
    used: list[Input | Evidence] = [*found, *(evidence for _, evidence in wheelbases)]

    def work() -> Result:
        radius = _radius(degree.amount)
        about = None if radius is None else radius.middle
        exact = swing_in(radius, centers.amount, longest)
        return _beside(exact, swing_in_approximate(about, centers.amount, longest))

    return derived(part.key, "sharpest_curve", used, work)


def leg_swing_out(readings: Readings, part: Part) -> Worked | Missing:
    """Swing-out of the car's end corner on the sharpest curve of a leg, on the safe side: trucks as points, length over
    couplers, and the extreme width up to the corner."""
    found = figures(
        readings,
        (part.key, "sharpest_curve"),
        ("car", "truck_centers"),
        ("car", "length_over_couplers"),
        ("car", "extreme_width"),
    )
    if isinstance(found, Missing):
        return found
    degree, centers, length, width = found

    def work() -> Result:
        radius = _radius(degree.amount)
        about = None if radius is None else radius.middle
        exact = swing_out(radius, centers.amount, length.amount, width.amount)
        return _beside(exact, swing_out_approximate(about, centers.amount, length.amount))

    return derived(part.key, "sharpest_curve", found, work)


def _beside(exact: Result, about: Result) -> Result:
    """The exact figure, with what the rule of thumb gives shown beside it."""
    return exact if exact.exact else Result(exact.dimension, exact.amount, f"{about.line}; exact: {exact.line}")


def _plate(readings: Readings, leg: str) -> tuple[str, Plate, Evidence] | Missing:
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
        plate = _plate(readings, part.key)
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
    plate = _plate(readings, part.key)
    if isinstance(plate, Missing):
        return plate
    height = Quantity.of("length", plate[1].height, "ft")
    return Worked(Figure(height), f"H = {write_quantity(height)} of {plate[0]}", (plate[2],))


def sharpest_curve(readings: Readings, part: Part) -> Worked | Missing:
    """Sharpest curve of the whole move; the worked line names the leg."""
    move = readings.standing.move
    if move is None or not move.legs:
        return Missing("move", "legs", "no legs are given")
    curves: list[tuple[str, Fraction]] = []
    used: list[Input] = []
    for leg in move.legs:
        curve = figure(readings, f"leg {leg.number}", "sharpest_curve")
        if isinstance(curve, Missing):
            return curve
        curves.append((f"leg {leg.number}, {leg.start} to {leg.end}", curve.amount))
        used.append(curve)
    tightest = tightest_leg(curves)
    quantity = max((one.quantity for one in used), key=lambda one: one.amount)
    return Worked(Figure(quantity), tightest.line, tuple(one.evidence for one in used))
