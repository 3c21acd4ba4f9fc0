"""A lift as the record and a plan for it tell: weights, lengths and ratings of the car and its gear."""

from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.workings.inputs import Input, axles_of_truck, figure, word
from carknocker.workings.lift_geometry import TiltingCar
from carknocker.workings.lift_request import Crib, LiftPoint, LiftRequest, Sling
from carknocker.workings.lift_statics import LiftWeights
from carknocker.workings.lifting import LiftRefused
from carknocker.workings.model import Missing, Readings


class LiftPlan(msgspec.Struct, frozen=True):
    """What the record can't know of a lift. rigging: weight of hook block, slings and spreader, lb; legs of the sling
    and their angle from the horizontal, degrees; margin: clearance wanted over the truck, inches.

    halves_equal: the body's halves may be taken as equal where the trucks were not weighed one by one.
    crane_rating: at the radius of this lift; sling_rating: of one leg upright; lb; None: the least on record.
    coupler_rating, coupler_rated_by: a competent person allows the coupler for this lift, up to that load.
    """

    rigging: Fraction
    sling_legs: int
    sling_angle: Fraction
    crib: Crib
    margin: Fraction = Fraction(0)
    halves_equal: bool = False
    coupler_rating: Fraction | None = None
    coupler_rated_by: str = ""
    crane_rating: Fraction | None = None
    sling_rating: Fraction | None = None


_LENGTHS = (
    "truck_centers", "lowest_part_outboard_height", "truck_height_over_rail", "overhang_at_far_end",
    "far_end_lowest_part", "lifting_point_from_truck_center", "lifting_point_rating",
)  # fmt: skip


def lift_request(readings: Readings, end: Literal["A", "B"], plan: LiftPlan) -> LiftRequest | LiftRefused:
    """The request for the lift sheet of one end. Refused with every weight, length and rating that is missing.

    Raises OutOfRange for figures that make no car.
    """
    missing: list[Missing] = []

    def need(part: str, attribute: str) -> Fraction:
        found = figure(readings, part, attribute)
        if isinstance(found, Input):
            return found.amount
        missing.append(found)
        return Fraction(0)

    other = "A" if end == "B" else "B"
    gross = need("car", "gross_weight")
    near, far = need(f"truck {end}", "truck_weight"), need(f"truck {other}", "truck_weight")
    on_near = figure(readings, "car", f"weight_on_truck_{end}")
    if isinstance(on_near, Missing) and not plan.halves_equal:
        missing.append(on_near)
    centers, outboard, truck_height, overhang, far_height, beyond, rating = (need("car", name) for name in _LENGTHS)
    rated_by = word(readings, "car", "lifting_points_rated_by")
    if isinstance(rated_by, Missing):
        missing.append(rated_by)
    crane = _rating(readings, "crane") if plan.crane_rating is None else plan.crane_rating
    sling = _rating(readings, "sling") if plan.sling_rating is None else plan.sling_rating
    missing.extend(one for one in (crane, sling) if isinstance(one, Missing))
    coupler = None
    if plan.coupler_rating is not None or plan.coupler_rated_by:
        length = need("car", "length_over_couplers")
        coupler = LiftPoint("coupler", (length - centers) / 2, plan.coupler_rating, plan.coupler_rated_by)
    if missing or isinstance(crane, Missing) or isinstance(sling, Missing) or isinstance(rated_by, Missing):
        return LiftRefused(end, tuple(missing))
    wheels, over = _outer_wheels(readings, other)
    own = LiftPoint("end sill" if beyond else "bolster", beyond, rating, rated_by[0])
    return LiftRequest(
        end,
        LiftWeights(gross, near, far, None if isinstance(on_near, Missing) else on_near.amount),
        TiltingCar(centers, outboard, truck_height, overhang, far_height, outer_wheels=wheels, over_wheels=over),
        (own,) if coupler is None else (own, coupler),
        crane,
        plan.rigging,
        Sling(plan.sling_legs, plan.sling_angle, sling),
        plan.crib,
        plan.margin,
    )


def _outer_wheels(readings: Readings, standing: str) -> tuple[Fraction, Fraction] | tuple[None, None]:
    """From the center of the standing truck to its outer axle, and the clearance of the body there; None for both where
    one is not on record: it is no weight or rating, so that the sheet does without and says so."""
    truck = f"truck {standing}"
    spacing = figure(readings, truck, "axle_spacing")
    clearance = figure(readings, "car", "clearance_over_outer_wheels")
    axles = len(axles_of_truck(readings, truck))
    if isinstance(spacing, Missing) or isinstance(clearance, Missing) or axles < 2:
        return None, None
    return spacing.amount * (axles - 1) / 2, clearance.amount


def _rating(readings: Readings, kind: str) -> Fraction | Missing:
    """The least rating of the gear of a kind on record."""
    ratings: list[Fraction] = []
    for part in readings.standing.by_kind.get("lifting gear", ()):
        gear = word(readings, part.key, "gear_kind")
        if isinstance(gear, Missing) or gear[0] != kind:
            continue
        rating = figure(readings, part.key, "rating")
        if isinstance(rating, Missing):
            return rating
        ratings.append(rating.amount)
    return min(ratings) if ratings else Missing("car", "lifting_gear", f"no {kind} with its rating on record")
