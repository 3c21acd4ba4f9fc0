"""Lifting one end of a car: loads by moments about the far truck center, the rise that its truck needs, slings, crane,
cribs."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.workings.enclosure import Enclosure, cosine_of_degrees, sine_of_degrees
from carknocker.workings.formula import Result, inches, number, result, written
from carknocker.workings.model import OutOfRange

TruckState = Literal["released", "locked on"]


class LiftWeights(msgspec.Struct, frozen=True):
    """Weights of a lift, lb. near, far: the trucks at the lifted and at the standing end. on_near: what the near truck
    puts on the rail, by scale; None: body halves are taken as equal, which the worked line then says."""

    gross: Fraction
    near: Fraction
    far: Fraction
    on_near: Fraction | None = None

    def __post_init__(self) -> None:
        if self.near <= 0 or self.far <= 0 or self.gross <= self.near + self.far:
            raise OutOfRange("trucks weigh more than 0 lb, and the car more than its trucks")
        if self.on_near is not None and not self.near < self.on_near < self.gross - self.far:
            raise OutOfRange("the near truck carries more than its own weight, and the far one as well")

    @property
    def body(self) -> Fraction:
        """Weight of the body: gross less both trucks."""
        return self.gross - self.near - self.far

    @property
    def body_on_near(self) -> Fraction:
        """What the body puts on the near center plate."""
        return self.body / 2 if self.on_near is None else self.on_near - self.near


def body_weight(weights: LiftWeights) -> Result:
    """body = gross - both trucks, lb."""
    numbers = " - ".join(written("weight", one) for one in (weights.gross, weights.near, weights.far))
    return result("weight", weights.body, f"body = gross - trucks = {numbers}")


def lifted_load(weights: LiftWeights, centers: Fraction, distance: Fraction, truck: TruckState) -> Result:
    """F = B·L/x, and with the truck locked on its whole weight besides; lb.

    B: what the body puts on the near center plate (half the body where the halves are equal); L: truck centers; x: from
    the far truck center to the point of lifting, inches, over 0: L at the bolster, more at the end sill or coupler,
    where it takes less. Moments about the far truck center, the far end standing on its truck (common practice;
    computed example in practice). By moments the locked-on truck weighs T·L/x at the hook; T in whole is on the safe
    side beyond the bolster. Raises OutOfRange.
    """
    if centers <= 0 or distance <= 0:
        raise OutOfRange("truck centers and the distance to the point of lifting are more than 0 in")
    own = weights.body_on_near
    load = own * centers / distance
    shared = " (body halves taken as equal)" if weights.on_near is None else ""
    numbers = f"{written('weight', own)} × {inches(centers)}/{inches(distance)}"
    if truck == "released":
        found = result("weight", load, f"F = B × L/x = {numbers}")
    else:
        found = result(
            "weight", load + weights.near, f"F = B × L/x + T = {numbers} + {written('weight', weights.near)}"
        )
    return Result(found.dimension, found.amount, found.line + shared)


def standing_reaction(weights: LiftWeights, centers: Fraction, distance: Fraction, truck: TruckState) -> Result:
    """S = body + T₂ (+ T₁ locked on) - F by moments: what the standing truck puts on the rail during the lift, lb.

    T₁, T₂: near and far truck; others as in `lifted_load`, with the locked-on truck at its place. Raises OutOfRange.
    """
    if centers <= 0 or distance <= 0:
        raise OutOfRange("truck centers and the distance to the point of lifting are more than 0 in")
    hung = weights.near if truck == "locked on" else Fraction(0)
    at_hook = (weights.body_on_near + hung) * centers / distance
    total = weights.body + weights.far + hung
    numbers = f"{written('weight', total)} - {written('weight', at_hook)}"
    return result("weight", total - at_hook, f"S = body + trucks that hang or stand with it - F by moments = {numbers}")


LEAST_SLING_ANGLE = 30
"""Degrees from the horizontal; less is not recommended (sling makers' tables, a secondary source)."""


def sling_tension(load: Fraction, legs: int, angle: Fraction) -> Result:
    """T = (load/legs)/sin a: tension in each leg, lb. load: lb, 0 or more; legs: how many share it, 1 or more (of
    four on a stiff load count two); a: from the horizontal, 30° to 90°. Source: sling makers' tables (secondary).
    Raises OutOfRange."""
    if load < 0 or legs < 1:
        raise OutOfRange("a sling has at least one leg, and a load is 0 lb or more")
    if not LEAST_SLING_ANGLE <= angle <= 90:
        raise OutOfRange(
            f"a sling leg stands from {LEAST_SLING_ANGLE}° to 90° from the horizontal; flatter is not safe"
        )
    numbers = f"({written('weight', load)}/{legs})/sin {number(angle)}°"
    return result("weight", Enclosure.of(load / legs) / _sine(angle), f"T = (load/legs)/sin a = {numbers}")


def _sine(angle: Fraction) -> Enclosure:
    exact = {Fraction(30): Fraction(1, 2), Fraction(90): Fraction(1)}.get(angle)
    return Enclosure.of(exact) if exact is not None else sine_of_degrees(angle)


def sling_pull_inwards(tension: Result, angle: Fraction) -> Result:
    """H = T·cos a: how hard a leg pulls its point of lifting inwards, lb. Same range as `sling_tension`."""
    return result(
        "weight",
        tension.amount * cosine_of_degrees(angle),
        f"H = T × cos a = {written('weight', tension.amount)} × cos {number(angle)}°",
    )


CRITICAL_FROM = Fraction(3, 4)
"""Share of its rating above which a crane's lift is treated as critical: 75 to 85 % (a secondary source); the lower."""


def share_of_rating(load: Enclosure | Fraction, rating: Fraction, of: str) -> Result:
    """s = load/rating: share of the rating of a crane, sling or point of lifting. rating: lb, over 0. OutOfRange."""
    if rating <= 0:
        raise OutOfRange(f"the rating of the {of} is more than 0 lb")
    share = Enclosure.of(load) / rating
    return result(
        "ratio", share, f"s = load/rating of the {of} = {written('weight', load)}/{written('weight', rating)}"
    )


_CRIBS: Mapping[tuple[str, str], int] = {("4×4", "2×2"): 24_000, ("4×4", "3×3"): 54_000, ("6×6", "2×2"): 60_000}
CRIB_HEIGHT_PER_BASE = 3


def crib_capacity(timbers: str, pattern: str) -> Fraction:
    """What a crib carries, lb: `4×4` or `6×6` timbers, `2×2` or `3×3` in each layer. Source: secondary (practice).
    Raises OutOfRange for a crib without a figure."""
    capacity = _CRIBS.get((timbers, pattern))
    if capacity is None:
        raise OutOfRange(f"no capacity is known for a crib of {timbers} timbers laid {pattern}")
    return Fraction(capacity)


def crib_height_limit(base: Fraction) -> Result:
    """h = 3·b: greatest height of a crib on a base of width b, inches, over 0. Source: secondary (practice). Raises
    OutOfRange."""
    if base <= 0:
        raise OutOfRange("a crib's base is wider than 0 in")
    return result("length", CRIB_HEIGHT_PER_BASE * base, f"h = 3 × base = 3 × {inches(base)}")


class TiltingCar(msgspec.Struct, frozen=True):
    """Lengths and heights of a car whose one end is lifted, inches.

    outboard_part: from the far truck center to the lowest part that the leaving truck passes under; where that place is
    not measured, the near truck center, which asks for the highest lift. overhang: of the far end beyond its truck
    center. outer_wheels: of the standing truck, from its center outwards; over_wheels: clearance of the body there;
    None where it is not measured.
    """

    centers: Fraction
    outboard_height: Fraction
    truck_height: Fraction
    overhang: Fraction
    far_end_height: Fraction
    outboard_part: Fraction | None = None
    outer_wheels: Fraction | None = None
    over_wheels: Fraction | None = None

    def __post_init__(self) -> None:
        if self.centers <= 0 or self.overhang < 0 or min(self.outboard_height, self.truck_height) <= 0:
            raise OutOfRange("truck centers and heights are more than 0 in, an overhang is 0 in or more")
        if self.outboard_part is not None and self.outboard_part < self.centers:
            raise OutOfRange("a part outboard of the near truck is at least the truck centers from the far truck")

    @property
    def part_distance(self) -> Fraction:
        """From the far truck center to the part that must be cleared."""
        return self.centers if self.outboard_part is None else self.outboard_part


def rise_needed(car: TiltingCar, distance: Fraction, margin: Fraction) -> Result:
    """r = (H + m - h)·x/xₚ: rise of the point of lifting for the truck to pass, inches; 0 where it passes already.

    H: height of the truck over rail; h: height of the part outboard of it; m: clearance wanted, 0 or more; x: from the
    far truck center to the point of lifting, over 0; xₚ: to the part. Similar triangles. Raises OutOfRange, also for a
    tilt of more than one in ten, where the model does not hold.
    """
    if margin < 0 or distance <= 0:
        raise OutOfRange("the clearance wanted is 0 in or more, the distance to the point of lifting more than 0 in")
    at_part = max(car.truck_height + margin - car.outboard_height, Fraction(0))
    _flat(at_part, car.part_distance)
    numbers = f"({inches(car.truck_height)} + {inches(margin)} - {inches(car.outboard_height)})"
    return result(
        "length",
        at_part * distance / car.part_distance,
        f"r = (H + m - h) × x/xₚ = {numbers} × {inches(distance)}/{inches(car.part_distance)}",
    )


class StandingEnd(msgspec.Struct, frozen=True):
    """What the standing end does. dip: how far its end goes down; left: its height over rail then; over_wheels: the
    clearance then left between the body and the outer wheels of the standing truck, None where it is not known; inches.
    """

    dip: Result
    left: Result
    over_wheels: Result | None = None

    @property
    def touches(self) -> bool:
        """Whether the lowest part of the standing end comes down on the rail."""
        return self.left.amount.low <= 0

    @property
    def known_to_touch_wheels(self) -> bool | None:
        """The same, None where it is not known how near the body comes to them."""
        return None if self.over_wheels is None else self.touches_wheels

    @property
    def touches_wheels(self) -> bool:
        """Whether the body comes down on the outer wheels of the standing truck."""
        return self.over_wheels is not None and self.over_wheels.amount.low <= 0


def standing_end(car: TiltingCar, rise: Fraction, distance: Fraction) -> StandingEnd:
    """d = r·o/x: dip of the far end, o its overhang; at the lifted end, x = L + o, it is r·o/(L + o) (common practice).
    Over the outer wheels of the standing truck, w outside its center, r·w/x. Inches; rise 0 or more, x over 0. Raises
    OutOfRange."""
    if rise < 0 or distance <= 0:
        raise OutOfRange("a rise is 0 in or more, the distance to the point of lifting more than 0 in")
    _flat(rise, distance)
    dip = rise * car.overhang / distance
    return StandingEnd(
        result("length", dip, f"d = r × o/x = {inches(rise)} × {inches(car.overhang)}/{inches(distance)}"),
        result("length", car.far_end_height - dip, f"left = h - d = {inches(car.far_end_height)} - {inches(dip)}"),
        _over_wheels(car, rise, distance),
    )


def _over_wheels(car: TiltingCar, rise: Fraction, distance: Fraction) -> Result | None:
    if car.outer_wheels is None or car.over_wheels is None:
        return None
    numbers = f"{inches(car.over_wheels)} - {inches(rise)} × {inches(car.outer_wheels)}/{inches(distance)}"
    left = car.over_wheels - rise * car.outer_wheels / distance
    return result("length", left, f"left over the outer wheels = c - r × w/x = {numbers}")


def _flat(rise: Fraction, distance: Fraction) -> None:
    if rise * 10 > distance:
        raise OutOfRange("the car would tilt more than one in ten, where this model does not hold")
