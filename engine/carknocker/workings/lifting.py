"""The lift sheet: what it takes to lift one end of the car, with the cautions that go on top of it.

It is pure arithmetic for people who lift; it replaces no competent person, licensed crane operator or local rule.
"""

from collections.abc import Sequence
from fractions import Fraction

import msgspec

from carknocker.workings.lift_geometry import StandingEnd, rise_needed, standing_end
from carknocker.workings.lift_request import LiftPoint, LiftRequest, check_request
from carknocker.workings.lift_statics import (
    CRITICAL_FROM,
    TruckState,
    body_weight,
    crib_capacity,
    crib_height_limit,
    lifted_load,
    share_of_rating,
    sling_pull_inwards,
    sling_tension,
    standing_reaction,
)
from carknocker.workings.model import Missing
from carknocker.workings.result import Result, inches, result, written

CAUTIONS = (
    "Blue-signal protection, or the railroad's own protection of people under the car, comes before all else.",
    "The standing end is held by hand brake and chocks on both sides of a wheel, never by air alone: air leaks off.",
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

    Refused where a point has no rating or nobody who gives it. Raises OutOfRange for figures that make no lift.
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
        return [Missing("car", "lifting_points", "none on record")]
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
