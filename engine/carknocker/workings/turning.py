"""Turning wheels: the least cuts that restore every contour and match the wheels that run together."""

from collections.abc import Sequence, Set
from fractions import Fraction

import msgspec

from carknocker.record.values import Bound, Figure
from carknocker.workings.enclosure import Enclosure, Number
from carknocker.workings.formula import Result, inches, result
from carknocker.workings.inputs import axles_of_truck, figures, inside, wheelset_at
from carknocker.workings.model import Missing, OutOfRange, Readings, Worked
from carknocker.workings.wheels import wheel_diameter


def rim_after_cut(rim: Fraction, cut: Fraction) -> Result:
    """rim₂ = rim₁ - t, inches; 0 ≤ t ≤ rim₁. Geometry. Raises OutOfRange."""
    if not 0 <= cut <= rim:
        raise OutOfRange("a cut is from 0 in up to the rim")
    return result("length", rim - cut, f"rim₂ = rim₁ - t = {inches(rim)} - {inches(cut)}")


def rims_of_axle_after_turning(rims: Sequence[Fraction], fingers: Sequence[Fraction]) -> tuple[Result, ...]:
    """Rims of the wheels of one axle after turning, where no sizes are known: the deeper cut governs both.

    rims: side scale, fingers: cut that restores each contour, inches. Source: railroadgage.com, drawing 3. Raises
    OutOfRange for a cut deeper than a rim.
    """
    deeper = max(fingers)
    return tuple(rim_after_cut(rim, deeper) for rim in rims)


class WornWheel(msgspec.Struct, frozen=True):
    """A wheel before turning. diameter: inches, None where it is not known; rim: inches; finger: least cut that
    restores its contour, inches."""

    name: str
    truck: str
    axle: str
    diameter: Number | None
    rim: Fraction
    finger: Fraction


class Matching(msgspec.Struct, frozen=True):
    """Greatest differences in diameter allowed within an axle, a truck and the car, inches. None: no limit is set.

    They are a host's, a maker's or a rule's figures; none is built in. The one within an axle is for mates that are
    left as they are: mates that are turned come off the lathe alike (TR0655, matching wheels and axles: same
    circumference).
    """

    axle: Fraction
    truck: Fraction | None = None
    car: Fraction | None = None


class Turned(msgspec.Struct, frozen=True):
    """One wheel of a plan. governs: the wheel whose contour or size makes this cut as deep as it is. diameter: left,
    None where it is not known. works: whether the rim left is at least the least rim."""

    wheel: WornWheel
    cut: Enclosure
    diameter: Enclosure | None
    rim: Enclosure
    governs: str
    works: bool
    line: str


class TurningPlan(msgspec.Struct, frozen=True):
    """The least cuts for all wheels together. works: whether every rim that is left is enough."""

    wheels: tuple[Turned, ...]

    @property
    def works(self) -> bool:
        """Whether every wheel keeps its rim."""
        return all(wheel.works for wheel in self.wheels)


def turning_plan(wheels: Sequence[WornWheel], matching: Matching, least_rim: Fraction) -> TurningPlan:
    """The least cuts that restore every contour and bring sizes within the matching limits.

    A wheel's diameter after turning is at most U = D - 2·finger, and at most that of any wheel it must match plus
    the limit between them. The greatest diameters that satisfy all of it are Fᵢ = min over j of (Uⱼ + limit(i, j)):
    no other cuts leave more on any wheel. Mates of which one is cut are turned to one size, so that between them the
    limit is 0 and, of wheels that were alike, the deeper cut governs both (railroadgage.com, drawing 3); which axles go
    on the lathe is found by repeating this until no further axle is cut. Where a size is not known the mates are taken
    as alike. least_rim: inches; what is left must be at least that (a host's or a rule's figure). Raises OutOfRange
    without wheels, for limits below 0, for a finger deeper than the rim, or for unknown sizes on more than one axle.
    """
    if not wheels:
        raise OutOfRange("a turning plan wants at least one wheel")
    if any(limit is not None and limit < 0 for limit in (matching.axle, matching.truck, matching.car)):
        raise OutOfRange("a limit between sizes is 0 in or more")
    if any(not 0 <= wheel.finger <= wheel.rim for wheel in wheels):
        raise OutOfRange("the cut that restores a contour lies between 0 in and the rim")
    if any(wheel.diameter is None for wheel in wheels):
        return _without_sizes(wheels, least_rim)
    lathe = {_place(wheel) for wheel in wheels if wheel.finger}
    while True:
        turned = tuple(_turned(wheel, wheels, matching, lathe, least_rim) for wheel in wheels)
        more = {_place(one.wheel) for one in turned if one.cut.high > 0} - lathe
        if not more:
            return TurningPlan(turned)
        lathe |= more


def _without_sizes(wheels: Sequence[WornWheel], least_rim: Fraction) -> TurningPlan:
    if len({_place(wheel) for wheel in wheels}) > 1:
        raise OutOfRange("wheels of different axles are matched by their sizes, and a size is not known")
    deepest = max(wheels, key=lambda wheel: wheel.finger)
    rims = rims_of_axle_after_turning([one.rim for one in wheels], [deepest.finger])
    return TurningPlan(
        tuple(
            Turned(
                wheel, Enclosure.of(deepest.finger), None, rim.amount, deepest.name, rim.amount.low >= least_rim,
                f"{wheel.name}: cut {inches(deepest.finger)} (governed by {deepest.name}), {rim.line}",
            )
            for wheel, rim in zip(wheels, rims, strict=True)
        )
    )  # fmt: skip


Place = tuple[str, str]
"""A truck and one of its axles."""


def _place(wheel: WornWheel) -> Place:
    return wheel.truck, wheel.axle


def _limit(one: WornWheel, other: WornWheel, matching: Matching, lathe: Set[Place]) -> Fraction | None:
    limits = [matching.car]
    if one.truck == other.truck:
        limits.append(matching.truck)
        if one.axle == other.axle:
            limits.append(Fraction(0) if _place(one) in lathe else matching.axle)
    set_ = [limit for limit in limits if limit is not None]
    return min(set_) if set_ else None


def _turned(
    wheel: WornWheel, wheels: Sequence[WornWheel], matching: Matching, lathe: Set[Place], least_rim: Fraction
) -> Turned:
    before = _size(wheel)
    largest = before - 2 * wheel.finger
    governs = wheel.name
    for other in wheels:
        limit = _limit(wheel, other, matching, lathe)
        if other is wheel or limit is None:
            continue
        reach = _size(other) - 2 * other.finger + limit
        if reach.middle < largest.middle:
            governs = other.name
        largest = Enclosure(min(largest.low, reach.low), min(largest.high, reach.high))
    cut = (before - largest) / 2 if governs != wheel.name else Enclosure.of(wheel.finger)
    rim = Enclosure.of(wheel.rim) - cut
    line = (
        f"{wheel.name}: cut {inches(cut)} (governed by {governs}), rim {inches(wheel.rim)} - {inches(cut)} = "
        f"{inches(rim)}, diameter {inches(largest)}"
    )
    return Turned(wheel, cut, largest, rim, governs, rim.low >= least_rim, line)


def _size(wheel: WornWheel) -> Enclosure:
    if wheel.diameter is None:
        raise OutOfRange(f"the size of {wheel.name} is not known")
    return Enclosure.of(wheel.diameter)


def worn_wheels(readings: Readings, container: str, *, sized: bool = True) -> list[WornWheel] | Missing:
    """The fitted wheels inside a truck (`truck B`), under the car (`car`) or of a wheelset, for a turning plan. Not
    sized: their diameters are left out, known or not."""
    parts = readings.standing.parts
    places = {
        wheelset: (truck.key, axle)
        for truck in readings.standing.by_kind.get("truck", ())
        for axle in axles_of_truck(readings, truck.key)
        if (wheelset := wheelset_at(readings, axle)) is not None
    }
    found: list[WornWheel] = []
    for key in inside(readings, container, "wheel"):
        truck, axle = places.get(parts[key].container or "", ("", parts[key].container or ""))
        diameter = wheel_diameter(readings, parts[key]) if sized else None
        if isinstance(diameter, Missing):
            return diameter
        read = figures(readings, (key, "rim_thickness"), (key, "turning_allowance"))
        if isinstance(read, Missing):
            return read
        rim, finger = read
        size = None if diameter is None else _enclosed(diameter)
        found.append(WornWheel(parts[key].label, truck, axle, size, rim.amount, finger.amount))
    return found or Missing(container, "wheels", "none is fitted")


def _enclosed(diameter: Worked) -> Enclosure:
    value = diameter.value
    if isinstance(value, Figure):
        return Enclosure.of(value.quantity.amount)
    if not isinstance(value, Bound) or value.low is None or value.high is None:
        raise OutOfRange("a diameter without both ends")
    return Enclosure(value.low.amount, value.high.amount)
