"""The lift sheet: all cases, what stops a lift, and what it refuses."""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from random_worlds import NOWHERE
from workings_world import World, world

from carknocker.record.model import Part
from carknocker.workings import OutOfRange
from carknocker.workings.lift_sheet import (
    CAUTIONS,
    Crib,
    LiftPlan,
    LiftPoint,
    LiftRefused,
    LiftRequest,
    LiftSheet,
    Sling,
    lift_request,
    lift_sheet,
)
from carknocker.workings.lift_statics import (
    LiftWeights,
    TiltingCar,
    crib_capacity,
    crib_height_limit,
    lifted_load,
    rise_needed,
    share_of_rating,
    sling_pull_inwards,
    sling_tension,
    standing_end,
)

WEIGHTS = LiftWeights(Fraction(160_000), Fraction(23_000), Fraction(23_000))
CAR = TiltingCar(Fraction(714), Fraction(30), Fraction(42), Fraction(153), Fraction(20))
BOLSTER = LiftPoint("bolster", Fraction(0), Fraction(90_000), "an engineer")
COUPLER = LiftPoint("coupler", Fraction(153), Fraction(70_000), "an engineer")
REQUEST = LiftRequest(
    "B", WEIGHTS, CAR, (BOLSTER, COUPLER), Fraction(100_000), Fraction(2_000),
    Sling(2, Fraction(60), Fraction(50_000)), Crib("6×6", "2×2", Fraction(36), Fraction(48)), Fraction(3),
)  # fmt: skip


def sheet(request: LiftRequest = REQUEST) -> LiftSheet:
    found = lift_sheet(request)
    assert isinstance(found, LiftSheet), found
    return found


def test_a_sheet_has_every_case_under_its_cautions() -> None:
    found = sheet()
    assert found.cautions == CAUTIONS
    assert [(case.point.name, case.truck) for case in found.cases] == [
        ("bolster", "released"), ("bolster", "locked on"), ("coupler", "released"), ("coupler", "locked on"),
    ]  # fmt: skip
    assert [round(case.load.amount.low) for case in found.cases] == [57_000, 80_000, 46_941, 69_941]
    assert [case.critical for case in found.cases] == [False, True, False, False]
    assert found.body.amount.low == 114_000
    for case in found.cases:
        assert (case.rise is None) == (case.truck == "locked on")
        assert all(" = " in line for line in case.lines)
    assert not found.crib_stops


def test_rise_and_dip_of_the_case() -> None:
    released = sheet().cases[0]
    assert released.rise is not None
    assert released.rise.amount.low == 15  # 42 + 3 - 30
    assert released.far_end is not None
    assert released.far_end.dip.amount.low == Fraction(15 * 153, 714)
    assert not released.far_end.touches


@pytest.mark.parametrize(
    ("change", "stop"),
    [
        ({"crane_rating": Fraction(40_000)}, "crane's rating"),
        ({"sling": Sling(2, Fraction(60), Fraction(10_000))}, "sling leg"),
        ({"points": (LiftPoint("coupler", Fraction(153), Fraction(1_000), "an engineer"),)}, "rated for"),
        (
            {"tilting": TiltingCar(Fraction(714), Fraction(30), Fraction(42), Fraction(153), Fraction(2))},
            "down on the rail",
        ),
    ],
)
def test_what_stops_a_lift(change: dict[str, Any], stop: str) -> None:
    found = sheet(replace(REQUEST, **change))
    assert any(stop in words for case in found.cases for words in case.stops)


def test_nothing_stops_the_first_case() -> None:
    assert sheet().cases[0].stops == ()


@pytest.mark.parametrize(
    ("crib", "stop"),
    [
        (Crib("4×4", "2×2", Fraction(36), Fraction(48)), "capacity"),
        (Crib("6×6", "2×2", Fraction(36), Fraction(109)), "three times its base"),
    ],
)
def test_what_stops_a_crib(crib: Crib, stop: str) -> None:
    assert any(stop in words for words in sheet(replace(REQUEST, crib=crib)).crib_stops)


@pytest.mark.parametrize(
    ("point", "attribute"),
    [
        (LiftPoint("coupler", Fraction(153)), "lifting_point_rating"),
        (LiftPoint("coupler", Fraction(153), Fraction(70_000)), "lifting_points_rated_by"),
    ],
)
def test_an_unrated_point_refuses_the_sheet(point: LiftPoint, attribute: str) -> None:
    found = lift_sheet(replace(REQUEST, points=(BOLSTER, point)))
    assert isinstance(found, LiftRefused)
    assert [one.attribute for one in found.missing] == [attribute]
    assert "coupler" in found.missing[0].reason
    assert found.cautions == CAUTIONS
    assert isinstance(lift_sheet(replace(REQUEST, points=())), LiftRefused)


loads = st.integers(1_000, 90_000).map(Fraction)


@given(loads, loads, st.integers(300, 900).map(Fraction), st.integers(0, 200).map(Fraction))
def test_the_further_out_the_less(body: Fraction, truck: Fraction, centers: Fraction, out: Fraction) -> None:
    weights = LiftWeights(2 * body + 2 * truck, truck, truck)
    at_bolster = lifted_load(weights, centers, centers, "released").amount.low
    assert at_bolster == weights.gross / 2 - truck == body
    further = lifted_load(weights, centers, centers + out, "released").amount.low
    assert (further < at_bolster) == (out > 0)
    assert lifted_load(weights, centers, centers + out, "locked on").amount.low == further + truck
    even = LiftWeights(weights.gross, truck, truck, weights.gross / 2)
    assert lifted_load(even, centers, centers + out, "released").amount == lifted_load(
        weights, centers, centers + out, "released"
    ).amount  # fmt: skip


@given(loads, st.integers(1, 4), st.fractions(min_value=30, max_value=89, max_denominator=4))
def test_flatter_legs_pull_harder(load: Fraction, legs: int, angle: Fraction) -> None:
    flat, steep = sling_tension(load, legs, angle), sling_tension(load, legs, angle + 1)
    assert flat.amount.low > steep.amount.high
    assert sling_tension(load, legs, Fraction(90)).amount.low == load / legs
    assert sling_pull_inwards(flat, angle).amount.low > sling_pull_inwards(steep, angle + 1).amount.high


@given(st.integers(0, 60).map(Fraction), st.integers(714, 900).map(Fraction))
def test_dip_grows_with_rise_and_no_rise_dips_nothing(rise: Fraction, distance: Fraction) -> None:
    assert standing_end(CAR, Fraction(0), distance).dip.amount.low == 0
    more = standing_end(CAR, rise + 1, distance).dip.amount.low
    assert more > standing_end(CAR, rise, distance).dip.amount.low


def test_a_part_further_out_asks_for_less_rise() -> None:
    known = replace(CAR, outboard_part=Fraction(800))
    assert (
        rise_needed(known, Fraction(714), Fraction(3)).amount.low
        < rise_needed(CAR, Fraction(714), Fraction(3)).amount.low
    )
    high = replace(CAR, outboard_height=Fraction(60))
    assert rise_needed(high, Fraction(714), Fraction(3)).amount.low == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: LiftWeights(Fraction(1), Fraction(1), Fraction(1)),
        lambda: LiftWeights(Fraction(9), Fraction(1), Fraction(1), Fraction(9)),
        lambda: lifted_load(WEIGHTS, Fraction(0), Fraction(1), "released"),
        lambda: sling_tension(Fraction(-1), 2, Fraction(60)),
        lambda: sling_tension(Fraction(1), 0, Fraction(60)),
        lambda: sling_tension(Fraction(1), 2, Fraction(91)),
        lambda: share_of_rating(Fraction(1), Fraction(0), "crane"),
        lambda: crib_capacity("6×6", "3×3"),
        lambda: crib_height_limit(Fraction(0)),
        lambda: rise_needed(CAR, Fraction(714), Fraction(-1)),
        lambda: rise_needed(CAR, Fraction(714), Fraction(100)),
        lambda: standing_end(CAR, Fraction(-1), Fraction(714)),
        lambda: TiltingCar(Fraction(0), Fraction(1), Fraction(1), Fraction(1), Fraction(1)),
        lambda: replace(CAR, outboard_part=Fraction(1)),
    ],
)
def test_figures_that_make_no_lift_are_refused(call: Callable[[], Any]) -> None:
    with pytest.raises(OutOfRange):
        call()


PLAN = LiftPlan(Fraction(2_000), 2, Fraction(60), REQUEST.crib, Fraction(3))
RECORD = {
    "car": {
        "gross_weight": "160,000 lb",
        "weight_on_truck_B": "80,000 lb",
        "truck_centers": "59 ft 6 in",
        "length_over_couplers": "85 ft",
        "lowest_part_outboard_height": "30 in",
        "truck_height_over_rail": "42 in",
        "overhang_at_far_end": "12 ft 9 in",
        "far_end_lowest_part": "20 in",
        "lifting_point_from_truck_center": "0 in",
        "lifting_point_rating": "90,000 lb",
        "lifting_points_rated_by": "an engineer",
    },
    "truck B": {"truck_weight": "23,000 lb"},
    "truck A": {"truck_weight": "23,000 lb"},
    "lifting gear crane": {"gear_kind": "crane", "rating": "100,000 lb"},
    "lifting gear sling": {"gear_kind": "sling", "rating": "50,000 lb"},
}


def recorded(without: str = "") -> World:
    part, _, attribute = without.partition("/")
    readings = {
        key: {name: text for name, text in own.items() if not (key == part and name == attribute)}
        for key, own in RECORD.items()
    }
    gear = [
        Part(f"lifting gear {name}", "lifting gear", name, f"lifting gear {name}", "car", True, NOWHERE)
        for name in ("crane", "sling")
    ]
    return world(readings, more_parts=gear)


def test_a_lift_from_the_record() -> None:
    request = lift_request(recorded(), "B", PLAN)
    assert isinstance(request, LiftRequest)
    assert (request.crane_rating, request.sling.rating) == (100_000, 50_000)
    first = sheet(request).cases[0]
    assert (first.point.name, first.load.amount.low) == ("bolster", 57_000)
    assert "taken as equal" not in first.load.line


def test_the_coupler_only_where_a_competent_person_rates_it_for_this_lift() -> None:
    request = lift_request(
        recorded(), "B", replace(PLAN, coupler_rating=Fraction(70_000), coupler_rated_by="an engineer")
    )
    assert isinstance(request, LiftRequest)
    assert request.points[1] == LiftPoint("coupler", Fraction(153), Fraction(70_000), "an engineer")
    half = lift_request(recorded(), "B", replace(PLAN, coupler_rated_by="an engineer"))
    assert isinstance(half, LiftRequest)
    assert isinstance(lift_sheet(half), LiftRefused)


@pytest.mark.parametrize(
    "without",
    [
        "car/gross_weight", "car/weight_on_truck_B", "truck B/truck_weight", "truck A/truck_weight",
        "car/lifting_point_rating", "car/lifting_points_rated_by", "lifting gear crane/rating",
        "lifting gear sling/rating", "car/truck_centers", "car/far_end_lowest_part",
    ],
)  # fmt: skip
def test_a_missing_weight_rating_or_length_refuses_and_is_named(without: str) -> None:
    refused = lift_request(recorded(without), "B", PLAN)
    assert isinstance(refused, LiftRefused)
    assert [f"{one.part}/{one.attribute}" for one in refused.missing] == [without]


def test_halves_are_equal_only_where_somebody_says_so() -> None:
    request = lift_request(recorded("car/weight_on_truck_B"), "B", replace(PLAN, halves_equal=True))
    assert isinstance(request, LiftRequest)
    assert "taken as equal" in sheet(request).cases[0].load.line
