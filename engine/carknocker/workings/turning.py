"""Turning wheels: what a cut takes, and the least cuts that restore the contour and match wheels that run together."""

from collections.abc import Sequence
from fractions import Fraction

import msgspec

from carknocker.workings.enclosure import PI, Enclosure, Number
from carknocker.workings.model import OutOfRange
from carknocker.workings.result import Result, inches, result


def diameter_after_cut(diameter: Number, cut: Fraction) -> Result:
    """D₂ = D₁ - 2t. D₁: diameter before, t: depth of the cut, inches; 0 ≤ t < D₁/2. Geometry. Raises OutOfRange."""
    before = Enclosure.of(diameter)
    if cut < 0 or 2 * cut >= before.low:
        raise OutOfRange("a cut is from 0 in up to less than half the diameter")
    return result("length", before - 2 * cut, f"D₂ = D₁ - 2t = {inches(before)} - 2 × {inches(cut)}")


def rim_after_cut(rim: Fraction, cut: Fraction) -> Result:
    """rim₂ = rim₁ - t, inches; 0 ≤ t ≤ rim₁. Geometry. Raises OutOfRange."""
    if not 0 <= cut <= rim:
        raise OutOfRange("a cut is from 0 in up to the rim")
    return result("length", rim - cut, f"rim₂ = rim₁ - t = {inches(rim)} - {inches(cut)}")


def tapes_of_cut(cut: Fraction) -> Result:
    """n = 2πt/(1/8 in): tape sizes that a cut of depth t (inches, 0 or more) takes off. Raises OutOfRange."""
    if cut < 0:
        raise OutOfRange("a cut is from 0 in up")
    return result("tapes", PI * 16 * cut, f"n = 2πt/(1/8 in) = 2π × {inches(cut)}/(1/8 in)")


def rims_of_axle_after_turning(rims: Sequence[Fraction], fingers: Sequence[Fraction]) -> tuple[Result, ...]:
    """Rims of the wheels of one axle after turning, where no sizes are known: the deeper cut governs both.

    rims: side scale, fingers: cut that restores each contour, inches. Source: railroadgage.com, drawing 3. Raises
    OutOfRange for a cut deeper than a rim.
    """
    deeper = max(fingers)
    return tuple(rim_after_cut(rim, deeper) for rim in rims)


class WornWheel(msgspec.Struct, frozen=True):
    """A wheel before turning. diameter: inches; rim: inches; finger: least cut that restores its contour, inches."""

    name: str
    truck: str
    axle: str
    diameter: Number
    rim: Fraction
    finger: Fraction


class Matching(msgspec.Struct, frozen=True):
    """Greatest differences in diameter allowed within an axle, a truck and the car, inches. None: no limit is set.

    They are a host's, a maker's or a rule's figures; none is built in.
    """

    axle: Fraction
    truck: Fraction | None = None
    car: Fraction | None = None


class Turned(msgspec.Struct, frozen=True):
    """One wheel of a plan. governs: the wheel whose contour or size makes this cut as deep as it is.
    works: whether the rim left is at least the least rim."""

    wheel: WornWheel
    cut: Enclosure
    diameter: Enclosure
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
    no other cuts leave more on any wheel. least_rim: inches; what is left must be at least that (a host's or a
    rule's figure). Raises OutOfRange without wheels, for limits below 0, or for a finger deeper than the rim.
    """
    if not wheels:
        raise OutOfRange("a turning plan wants at least one wheel")
    if any(limit is not None and limit < 0 for limit in (matching.axle, matching.truck, matching.car)):
        raise OutOfRange("a limit between sizes is 0 in or more")
    if any(not 0 <= wheel.finger <= wheel.rim for wheel in wheels):
        raise OutOfRange("the cut that restores a contour lies between 0 in and the rim")
    return TurningPlan(tuple(_turned(wheel, wheels, matching, least_rim) for wheel in wheels))


def _limit(one: WornWheel, other: WornWheel, matching: Matching) -> Fraction | None:
    limits = [matching.car]
    if one.truck == other.truck:
        limits.append(matching.truck)
        if one.axle == other.axle:
            limits.append(matching.axle)
    set_ = [limit for limit in limits if limit is not None]
    return min(set_) if set_ else None


def _turned(wheel: WornWheel, wheels: Sequence[WornWheel], matching: Matching, least_rim: Fraction) -> Turned:
    largest = Enclosure.of(wheel.diameter) - 2 * wheel.finger
    governs = wheel.name
    for other in wheels:
        limit = _limit(wheel, other, matching)
        if other is wheel or limit is None:
            continue
        reach = Enclosure.of(other.diameter) - 2 * other.finger + limit
        if reach.middle < largest.middle:
            governs = other.name
        largest = Enclosure(min(largest.low, reach.low), min(largest.high, reach.high))
    cut = (Enclosure.of(wheel.diameter) - largest) / 2 if governs != wheel.name else Enclosure.of(wheel.finger)
    rim = Enclosure.of(wheel.rim) - cut
    line = (
        f"{wheel.name}: cut {inches(cut)} (governed by {governs}), rim {inches(wheel.rim)} - {inches(cut)} = "
        f"{inches(rim)}, diameter {inches(largest)}"
    )
    return Turned(wheel, cut, largest, rim, governs, rim.low >= least_rim, line)
