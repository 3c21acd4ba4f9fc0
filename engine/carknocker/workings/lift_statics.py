"""Lifting one end of a car: the load by moments about the far truck center, slings, crane, crib."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.workings.enclosure import Enclosure, cosine_of_degrees, sine_of_degrees
from carknocker.workings.model import OutOfRange
from carknocker.workings.result import Result, inches, number, result, written

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
