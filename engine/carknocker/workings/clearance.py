"""The car's outline against a clearance plate, narrowed for long truck centers and overhang on the plate's curve."""

from collections.abc import Mapping, Sequence
from fractions import Fraction

import msgspec

from carknocker.workings.curves import swing_in, swing_out
from carknocker.workings.enclosure import Enclosure
from carknocker.workings.model import OutOfRange
from carknocker.workings.result import Result, inches, result, written

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
"""AAR plates, all 10 ft 8 in wide. Read in a secondary source only: confirm before using one as a limit."""


class Outline(msgspec.Struct, frozen=True):
    """A car seen from above, inches: truck centers, length, extreme width."""

    centers: Fraction
    length: Fraction
    width: Fraction


def allowed_width(plate_width: Fraction, plate_centers: Fraction, car: Outline) -> Result:
    """W₁ = W - 2·max(0, M - M₀, E - M₀): width that a plate leaves a car, inches.

    W: width of the plate; M₀: swing-in, on the plate's curve, of a car with the truck centers that the plate is drawn
    for; M, E: swing-in and swing-out of this car there. What the longer car swings more than the plate's own car, on
    either side, its width gives up. Computed from that definition; the truck centers of a plate are the route's figure
    and not built in. Raises OutOfRange.
    """
    if plate_width <= 0:
        raise OutOfRange("a plate is wider than 0 in")
    own_in = swing_in(PLATE_RADIUS, car.centers).amount
    own_out = swing_out(PLATE_RADIUS, car.centers, car.length, car.width).amount
    base = swing_in(PLATE_RADIUS, plate_centers).amount
    more = [Enclosure.of(0), own_out - base]
    if car.centers > plate_centers:  # else it swings in no more than the plate's own car, surely
        more.append(own_in - base)
    excess = Enclosure(max(one.low for one in more), max(one.high for one in more))
    numbers = (
        f"{inches(plate_width)} - 2 × max(0, {inches(own_in)} - {inches(base)}, {inches(own_out)} - {inches(base)})"
    )
    return result("length", Enclosure.of(plate_width) - excess * 2, f"W₁ = W - 2 × max(0, M - M₀, E - M₀) = {numbers}")


class TightestLeg(msgspec.Struct, frozen=True):
    """The leg with the sharpest curve of a route."""

    name: str
    degree: Fraction
    line: str


def tightest_leg(legs: Sequence[tuple[str, Fraction]]) -> TightestLeg:
    """The leg with the sharpest curve: (name, degree of its sharpest curve) each. Of equals the first. Raises
    OutOfRange for a route without legs."""
    if not legs:
        raise OutOfRange("a route has at least one leg")
    name, degree = max(legs, key=lambda leg: leg[1])
    degrees = ", ".join(written("degree of curve", one) for _, one in legs)
    return TightestLeg(name, degree, f"D = max({degrees}) = {written('degree of curve', degree)}: {name}")
