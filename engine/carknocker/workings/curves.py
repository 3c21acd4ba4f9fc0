"""Curves: degree and radius by the chord definition, how far a car swings in at its middle and out at its end corner,
and the curves of a move."""

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache

import msgspec

from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure
from carknocker.workings.enclosure import Enclosure, Number, root, sine_of_degrees
from carknocker.workings.formula import Result, inches, result, written
from carknocker.workings.inputs import Input, axles_of_truck, derived, figure, figures
from carknocker.workings.model import Missing, OutOfRange, Readings, Worked

SHARPEST = 60
"""Degrees of the sharpest curve that is worked out; no car of this kind goes round a sharper one."""
_CHORD = 1200  # 100 ft, inches


def radius_of_degree(degree: Fraction) -> Result:
    """R = 50 ft/sin(D/2): radius of a curve by the chord definition, in inches. D: degrees, over 0, up to 60.

    Source: practice (717 ft = 8°, 410 ft = 14°, 350 ft = 16° 26'). Raises OutOfRange; a straight track has no radius.
    """
    if not 0 < degree <= SHARPEST:
        raise OutOfRange(f"a curve has more than 0° and at most {SHARPEST}°")
    return result("length", _radius(degree), f"R = 50 ft/sin(D/2) = 50 ft/sin({written('degree of curve', degree)}/2)")


@lru_cache(maxsize=256)
def _radius(degree: Fraction) -> Enclosure:
    return Enclosure.of(Fraction(_CHORD, 2)) / sine_of_degrees(degree / 2)


def _checked(radius: Number | None, centers: Fraction, wheelbase: Fraction) -> Enclosure | None:
    if centers <= 0 or wheelbase < 0:
        raise OutOfRange("truck centers are more than 0 in apart, and a truck's wheelbase is 0 in or more")
    if radius is None:
        return None
    enclosed = Enclosure.of(radius)
    if enclosed.low <= (centers + wheelbase) / 2:
        raise OutOfRange("the curve is sharper than the car is long")
    return enclosed


def _middle_radius(radius: Enclosure, centers: Fraction, wheelbase: Fraction) -> Enclosure:
    """Radius of the circle that the car's middle runs on: √(R² - (b/2)² - (L/2)²)."""
    return root(radius * radius - (wheelbase * wheelbase + centers * centers) / 4)


def swing_in(radius: Number | None, centers: Fraction, wheelbase: Fraction = Fraction(0)) -> Result:
    """M = R - √(R² - (b/2)² - (L/2)²): how far the car's middle lies inside the track's center line, inches.

    R: radius, inches, None on straight track (0 in); L: truck centers; b: wheelbase of a truck, whose center lies
    inside the line as well (0: as if trucks were points). Geometry; worked figures for b = 0 in practice. Raises
    OutOfRange for a radius within the car's half length.
    """
    curve = _checked(radius, centers, wheelbase)
    if curve is None:
        return result("length", 0, "M, straight track")
    swing = curve - _middle_radius(curve, centers, wheelbase)
    r, b, length = inches(curve), inches(wheelbase), inches(centers)
    numbers = f"{r} - √(({r})² - ({b}/2)² - ({length}/2)²)"
    return result("length", swing, f"M = R - √(R² - (b/2)² - (L/2)²) = {numbers}")


def swing_in_approximate(radius: Fraction | None, centers: Fraction, wheelbase: Fraction = Fraction(0)) -> Result:
    """M ≈ (L² + b²)/8R, inches: the rule of thumb, a little less than the exact figure. Same inputs as `swing_in`."""
    if _checked(radius, centers, wheelbase) is None or radius is None:
        return result("length", 0, "M, straight track")
    numbers = f"(({inches(centers)})² + ({inches(wheelbase)})²)/(8 × {inches(radius)})"
    return result("length", (centers**2 + wheelbase**2) / (8 * radius), f"M ≈ (L² + b²)/8R = {numbers}")


def swing_out(
    radius: Number | None, centers: Fraction, length: Fraction, width: Fraction, wheelbase: Fraction = Fraction(0)
) -> Result:
    """E = √((R - M + w/2)² + (C/2)²) - R - w/2: how far the outer end corner swings out beyond its place on straight
    track, inches; below 0 where the short overhang stays inside.

    C: length of the car, w: width at the corner, inches; others as in `swing_in`. Geometry; worked figures for b = 0 in
    practice. Raises OutOfRange.
    """
    if length < centers or width < 0:
        raise OutOfRange("a car is at least as long as its truck centers, and 0 in wide or more")
    curve = _checked(radius, centers, wheelbase)
    if curve is None:
        return result("length", 0, "E, straight track")
    side = _middle_radius(curve, centers, wheelbase) + width / 2
    swing = root(side * side + length * length / 4) - curve - width / 2
    r, w = inches(curve), f"{inches(width)}/2"
    middle = inches(curve - _middle_radius(curve, centers, wheelbase))
    numbers = f"√(({r} - {middle} + {w})² + ({inches(length)}/2)²) - {r} - {w}"
    return result("length", swing, f"E = √((R - M + w/2)² + (C/2)²) - R - w/2 = {numbers}")


def swing_out_approximate(
    radius: Fraction | None, centers: Fraction, length: Fraction, wheelbase: Fraction = Fraction(0)
) -> Result:
    """E ≈ (C² - L² - b²)/8R, inches: the rule of thumb, by the same parabola as `swing_in_approximate`; the car's width
    does not enter it. Same inputs as `swing_out`. Computed. Raises OutOfRange."""
    if length < centers:
        raise OutOfRange("a car is at least as long as its truck centers")
    if _checked(radius, centers, wheelbase) is None or radius is None:
        return result("length", 0, "E, straight track")
    numbers = f"(({inches(length)})² - ({inches(centers)})² - ({inches(wheelbase)})²)/(8 × {inches(radius)})"
    swing = (length**2 - centers**2 - wheelbase**2) / (8 * radius)
    return result("length", swing, f"E ≈ (C² - L² - b²)/8R = {numbers}")


def _radius_or_straight(degree: Fraction) -> Enclosure | None:
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
    return found or Missing("car", "trucks", "not on record")


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
        radius = _radius_or_straight(degree.amount)
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
        radius = _radius_or_straight(degree.amount)
        about = None if radius is None else radius.middle
        exact = swing_out(radius, centers.amount, length.amount, width.amount)
        return _beside(exact, swing_out_approximate(about, centers.amount, length.amount))

    return derived(part.key, "sharpest_curve", found, work)


def _beside(exact: Result, about: Result) -> Result:
    """The exact figure, with what the rule of thumb gives shown beside it."""
    return exact if exact.exact else Result(exact.dimension, exact.amount, f"{about.line}; exact: {exact.line}")


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
