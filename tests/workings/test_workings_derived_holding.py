"""Hand-brake holding on the steepest grade, and the step of a middle axle by kind of truck, from the record."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_worlds import NOWHERE
from workings_world import World, lacking, world, yielded

from carknocker.record.model import Part
from carknocker.workings import Missing, Worked
from carknocker.workings.middle_axle import EQUALIZED, UNEQUALIZED, StepOfTruck, step_of_truck

BRAKE = Part("hand brake B", "hand brake", "B", "hand brake B", "end B", True, NOWHERE)
LEGS = [
    {"miles": "100 miles", "steepest_grade": "1 %"},
    {"miles": "50 miles", "steepest_grade": "2 %"},
]


def braked(force: str = "40,000 lb", legs: list[dict[str, str]] | None = None, **more: str) -> World:
    readings = {
        "hand brake B": {"shoe_force": force, "shoe_friction": "12 %"},
        "car": {"gross_weight": more.get("gross", "160,000 lb")},
    }
    return world(readings, legs=LEGS if legs is None else legs, more_parts=[BRAKE])


def test_it_holds_by_what_the_steepest_grade_asks() -> None:
    found = braked().work_out("hand brake B", "holding")
    assert yielded(found) == Fraction(4_800, 3_200)  # 0.12 × 40,000 lb against 160,000 lb × 2 %
    assert isinstance(found, Worked)
    assert found.line.endswith("h = R/G = 4,800 lb/3,200 lb = 150 %")
    assert len(found.used) == 4


@given(st.integers(1, 100_000), st.integers(1, 1_000))
def test_more_force_holds_more_and_a_heavier_car_less(force: int, more: int) -> None:
    here = yielded(braked(f"{force} lb").work_out("hand brake B", "holding"))
    assert yielded(braked(f"{force + more} lb").work_out("hand brake B", "holding")) > here
    assert yielded(braked(f"{force} lb", gross=f"{160_000 + more} lb").work_out("hand brake B", "holding")) < here


@pytest.mark.parametrize(
    ("legs", "attribute"),
    [
        ([], "legs"),
        ([{"miles": "10 miles"}], "steepest_grade"),
        ([{"miles": "10 miles", "steepest_grade": "0 %"}], "legs"),
        ([{"miles": "10 miles", "steepest_grade": "30 %"}], "shoe_friction"),
    ],
)
def test_a_route_without_a_grade_asks_for_one(legs: list[dict[str, str]], attribute: str) -> None:
    assert lacking(braked(legs=legs).work_out("hand brake B", "holding"))[1] == attribute


def test_no_friction_is_taken_for_granted() -> None:
    here = world({"hand brake B": {"shoe_force": "40,000 lb"}}, legs=LEGS, more_parts=[BRAKE])
    assert lacking(here.work_out("hand brake B", "holding")) == ("hand brake B", "shoe_friction")


def truck(middle: int = 12, **truck_facts: str) -> World:
    """Three axles under truck B, end wheels of 20 tapes."""
    readings: dict[str, dict[str, Any]] = {"car": {"weight_on_truck_B": "84,000 lb"}, "truck B": dict(truck_facts)}
    for axle in (1, 2, 3):
        for side in ("left", "right"):
            size = middle if axle == 2 else 20
            readings[f"wheel W-{axle} {side}"] = {"tape_size": f"{size} tapes", "tape_id": "T-1"}
    return world(readings, axles=6)


def step(here: World) -> StepOfTruck | Missing:
    return step_of_truck(here, here.standing.parts["truck B"])


def test_in_an_equalized_truck_lever_arms_share_the_load_and_clearance_is_used() -> None:
    facts = {"equalized": "yes", "axle_spacing": "66 in", "equalizer_seat_from_end_axle": "22 in"}
    found = step(truck(**facts))
    assert isinstance(found, StepOfTruck)
    assert found.taken == EQUALIZED
    assert any("end = W/2" in line and "28,000 lb" in line for line in found.lines)
    # 8 tapes smaller: 1 in of circumference, so 1/(2π) in lower; the frame takes a third of that
    assert "change at the end boxes = -h × x/s = -(0.159 in) × 22 in/66 in = -0.053 in" in found.lines
    assert "change at the middle box = h - h × x/s = 0.159 in - (0.159 in) × 22 in/66 in = 0.106 in" in found.lines
    same = step(truck(middle=20, **facts))
    assert isinstance(same, StepOfTruck)
    assert any(line.endswith("= 0 in") for line in same.lines)


def test_in_an_unequalized_truck_a_smaller_middle_wheel_carries_less() -> None:
    facts = {"equalized": "no", "axle_spacing": "66 in", "axle_springs_per_inch": "20,000 lb"}
    found = step(truck(**facts))
    assert isinstance(found, StepOfTruck)
    assert found.taken == UNEQUALIZED
    # 8 tapes smaller, so its center 1/(2π) in lower; z = (84,000/20,000 + 1/(2π))/3 in, each spring 20,000 lb an inch
    first, second, third = found.lines[-1].rpartition(": ")[2].split("; ")
    assert first == third == "20,000 lb/in × (1.453 in + 0 in + 0 in) = 29,061.03 lb"
    assert second == "20,000 lb/in × (1.453 in + 0 in + -0.159 in) = 25,877.93 lb"


def test_no_answer_for_a_truck_whose_kind_is_unknown() -> None:
    found = step(truck(axle_spacing="66 in", equalizer_seat_from_end_axle="22 in"))
    assert isinstance(found, Missing)
    assert (found.part, found.attribute) == ("truck B", "equalized")


@pytest.mark.parametrize(
    ("facts", "attribute"),
    [
        ({"equalized": "yes", "axle_spacing": "66 in"}, "equalizer_seat_from_end_axle"),
        ({"equalized": "no", "axle_spacing": "66 in"}, "axle_springs_per_inch"),
        ({"equalized": "yes", "equalizer_seat_from_end_axle": "22 in"}, "axle_spacing"),
        (
            {"equalized": "yes", "axle_spacing": "66 in", "equalizer_seat_from_end_axle": "70 in"},
            "equalizer_seat_from_end_axle",
        ),
    ],
)
def test_what_its_model_needs_is_named(facts: dict[str, str], attribute: str) -> None:
    found = step(truck(**facts))
    assert isinstance(found, Missing)
    assert found.attribute == attribute
