"""The lift sheet: what it takes to lift one end of the car, from the record and a plan, with its cautions on top.

It is arithmetic for people who lift; it replaces no competent person, licensed crane operator or local rule.
"""

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.quantities import Quantity
from carknocker.workings.formula import Result, inches, result, written
from carknocker.workings.inputs import Input, axles_of_truck, figure, word
from carknocker.workings.lift_statics import (
    CRITICAL_FROM,
    LiftWeights,
    StandingEnd,
    TiltingCar,
    TruckState,
    body_weight,
    crib_capacity,
    crib_height_limit,
    lifted_load,
    rise_needed,
    share_of_rating,
    sling_pull_inwards,
    sling_tension,
    standing_end,
    standing_reaction,
)
from carknocker.workings.model import Missing, OutOfRange, Readings

PointName = Literal["bolster", "end sill", "coupler"]


class LiftPoint(msgspec.Struct, frozen=True):
    """Where the body is lifted. beyond: from the near truck center outwards, inches (0 at the bolster). rating: lb, by
    a competent person; rated_by: who says so."""

    name: PointName
    beyond: Fraction
    rating: Fraction | None = None
    rated_by: str = ""

    @property
    def offset(self) -> Quantity:
        """How far it is beyond the truck center."""
        return Quantity.of("length", self.beyond)


class Sling(msgspec.Struct, frozen=True):
    """legs: of the sling; angle: from the horizontal, degrees; rating: of one leg upright, lb."""

    legs: int
    angle: Fraction
    rating: Fraction

    @property
    def limit(self) -> Quantity:
        """The rating of one leg upright."""
        return Quantity.of("weight", self.rating)

    @property
    def carrying(self) -> int:
        """How many legs are taken to carry: of more than two on a stiff load, two (common practice, no source)."""
        return min(self.legs, 2)


class Crib(msgspec.Struct, frozen=True):
    """timbers: `4×4` or `6×6`; pattern: `2×2` or `3×3` in a layer; base: width, inches; height: inches; how many share
    the load (both sides of the end: 2)."""

    timbers: str
    pattern: str
    base: Fraction
    height: Fraction
    count: int = 2


class LiftRequest(msgspec.Struct, frozen=True):
    """One lift of one end. crane_rating: at the radius of this lift, lb. rigging: weight of hook block, slings and
    spreader, lb. margin: clearance wanted over the truck, inches."""

    end: Literal["A", "B"]
    weights: LiftWeights
    tilting: TiltingCar
    points: tuple[LiftPoint, ...]
    crane_rating: Fraction
    rigging: Fraction
    sling: Sling
    crib: Crib
    margin: Fraction = Fraction(0)

    @property
    def crane_limit(self) -> Quantity:
        """The rating of the crane."""
        return Quantity.of("weight", self.crane_rating)


def check_request(request: LiftRequest) -> None:
    """Raises OutOfRange for gear and points of lifting that make no lift."""
    sling, crib = request.sling, request.crib
    if sling.legs == 1 and sling.angle != 90:
        raise OutOfRange("a single sling leg hangs upright, at 90° from the level")
    if crib.count < 1 or crib.height <= 0:
        raise OutOfRange("at least one crib, higher than 0 in, takes the body")
    if request.rigging < 0 or any(point.beyond < 0 for point in request.points):
        raise OutOfRange("rigging weighs 0 lb or more, and a point of lifting lies at the truck center or beyond it")


CAUTIONS = (
    "Blue-signal protection, or the railroad's own protection of people under the car, comes before all else.",
    "The standing end is held by chocks on both sides of a wheel, and by a hand brake only where one acts on its "
    "truck; never by air: air leaks off.",
    "A coupler and its draft gear is no rated lifting point unless a competent person says so for this lift.",
    "One sling in the middle holds little against rolling: steady the body on both sides.",
    "Nobody is under a suspended load.",
    "Crib the body at once when it is up: it shall be cribbed, blocked or otherwise secured at once "
    "(29 CFR 1910.244(a)(2)(iii)).",
    "A licensed crane operator lifts, and the rules of the railroad and of the place come before this sheet.",
)
"""On top of every lift sheet. Common practice; the crib is published law."""


class LiftCase(msgspec.Struct, frozen=True):
    """One way to lift: at a point, with the truck released or locked on. stops: why it must not be done, in words;
    empty where nothing in the figures forbids it. critical: above 75 % of the crane's rating."""

    point: LiftPoint
    truck: TruckState
    load: Result
    standing: Result
    crane_share: Result
    leg_tension: Result
    leg_share: Result
    pull_inwards: Result
    rise: Result | None  # None with the truck locked on: nothing has to pass under
    far_end: StandingEnd | None
    critical: bool
    stops: tuple[str, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """The worked lines, in the order in which they build on each other."""
        found = [self.load, self.standing, self.crane_share, self.leg_tension, self.leg_share, self.pull_inwards]
        if self.rise is not None:
            found.append(self.rise)
        if self.far_end is not None:
            found.extend((self.far_end.dip, self.far_end.left))
            if self.far_end.over_wheels is not None:
                found.append(self.far_end.over_wheels)
        return tuple(one.line for one in found)


class LiftSheet(msgspec.Struct, frozen=True):
    """All cases of one end, with what is common to them. crib_reach: how high the lowest part stands over the rail that
    the leaving truck passes under; a crib beside the track reaches at least that, its blocking included."""

    end: str
    cautions: tuple[str, ...]
    body: Result
    crib_share: Result
    crib_limit: Result
    crib_reach: Result
    crib_stops: tuple[str, ...]
    cases: tuple[LiftCase, ...]


class LiftRefused(msgspec.Struct, frozen=True):
    """Nothing is computed: a weight or a rating is missing."""

    end: str
    missing: tuple[Missing, ...]
    cautions: tuple[str, ...] = CAUTIONS


def lift_sheet(request: LiftRequest) -> LiftSheet | LiftRefused:
    """The sheet of one lift: every point of lifting, with the truck released and locked on.

    Refused where a point of lifting has no rating, or where nobody is named who gave it. Raises OutOfRange for figures
    that make no lift.
    """
    check_request(request)
    unrated = [point for point in request.points if point.rating is None or not point.rated_by]
    if unrated or not request.points:
        return LiftRefused(request.end, tuple(_unrated(unrated)))
    cases = tuple(_case(request, point, truck) for point in request.points for truck in _STATES)
    heaviest = max((case.load.amount.high for case in cases), default=Fraction(0))
    crib = request.crib
    capacity = crib_capacity(crib.timbers, crib.pattern)
    share = share_of_rating(heaviest / crib.count, capacity, f"crib of {crib.timbers} timbers laid {crib.pattern}")
    limit = crib_height_limit(crib.base)
    stops = []
    if share.amount.high > 1:
        stops.append("the crib carries more than its capacity")
    if crib.height > limit.amount.low:
        stops.append(f"the crib is {inches(crib.height)} high, more than three times its base")
    reach = _reach(request)
    return LiftSheet(request.end, CAUTIONS, body_weight(request.weights), share, limit, reach, tuple(stops), cases)


def _reach(request: LiftRequest) -> Result:
    car = request.tilting
    lowest = max(car.outboard_height, car.truck_height + request.margin)
    numbers = f"max({inches(car.outboard_height)}, {inches(car.truck_height)} + {inches(request.margin)})"
    return result("length", lowest, f"lowest part, raised = max(h, H + m) = {numbers}")


_STATES: tuple[TruckState, ...] = ("released", "locked on")


def _unrated(points: Sequence[LiftPoint]) -> list[Missing]:
    if not points:
        return [Missing("car", "lifting_points", "not on record")]
    found = []
    for point in points:
        attribute = "lifting_point_rating" if point.rating is None else "lifting_points_rated_by"
        found.append(
            Missing(
                "coupler" if point.name == "coupler" else "car",
                attribute,
                f"not on record for lifting at the {point.name}",
            )
        )
    return found


def _case(request: LiftRequest, point: LiftPoint, truck: TruckState) -> LiftCase:
    centers = request.tilting.centers
    distance = centers + point.beyond
    load = lifted_load(request.weights, centers, distance, truck)
    hooked = load.amount + request.rigging
    sling = request.sling
    tension = sling_tension(load.amount.high, sling.carrying, sling.angle)
    crane = share_of_rating(hooked, request.crane_rating, "crane, rigging included")
    leg = share_of_rating(tension.amount, sling.rating, "sling leg")
    rise = rise_needed(request.tilting, distance, request.margin) if truck == "released" else None
    far_end = None if rise is None else standing_end(request.tilting, rise.amount.high, distance)
    stops: list[str] = []
    if crane.amount.high > 1:
        stops.append("the load is more than the crane's rating")
    if leg.amount.high > 1:
        stops.append("a sling leg carries more than its rating")
    if point.rating is not None and load.amount.high > point.rating:
        stops.append(f"the load is more than the {written('weight', point.rating)} that the {point.name} is rated for")
    if far_end is not None and far_end.touches:
        stops.append("the lowest part of the standing end comes down on the rail")
    if far_end is not None and far_end.touches_wheels:
        stops.append("the body comes down on the outer wheels of the standing truck")
    return LiftCase(
        point, truck, load, standing_reaction(request.weights, centers, distance, truck), crane, tension, leg,
        sling_pull_inwards(tension, sling.angle), rise, far_end, crane.amount.high > CRITICAL_FROM, tuple(stops),
    )  # fmt: skip


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
