"""`not known`: a description or a fact that says nothing, and takes nothing over from what is said of all."""

import pytest
from record_samples import MOVE, car, changed, move, problem_at_mark

from carknocker.record.values import Word


def said(old: str, new: str) -> dict[tuple[str, str], object]:
    return {
        (one.part, one.attribute): one.value for one in car(changed(old, new)).evidence if one.sort == "description"
    }


def test_it_is_as_if_left_out() -> None:
    found = said("brake_system: {control_valve: UC}", "brake_system: {control_valve: not known}")
    assert found == said("brake_system: {control_valve: UC}", "brake_system: {}")


@pytest.mark.parametrize("order", ["all: {coupler_type: type H}, B: {coupler_type: not known}",
                                   "B: {coupler_type: not known}, all: {coupler_type: type H}"])  # fmt: skip
def test_what_is_said_of_all_is_not_said_of_the_one_that_is_not_known(order: str) -> None:
    found = said("couplers:\n  all: {coupler_type: type H}\n", f"couplers: {{{order}}}\n")
    assert ("coupler B", "coupler_type") not in found
    assert found["coupler A", "coupler_type"] == Word("type H")


def test_what_is_not_known_of_all_may_be_said_of_one() -> None:
    new = "couplers: {all: {coupler_type: not known}, B: {coupler_type: type E}}\n"
    found = said("couplers:\n  all: {coupler_type: type H}\n", new)
    assert found["coupler B", "coupler_type"] == Word("type E")
    assert ("coupler A", "coupler_type") not in found


def test_a_wheelset_may_say_it_of_both_sides_and_of_one() -> None:
    old = "W-1: {axle_class: D, bearings: {class: plain}, right_bearing: {class: cartridge plain}}"
    found = said(old, "W-1: {axle_class: not known, bearings: {class: plain}, right_bearing: {class: not known}}")
    assert ("wheelset W-1", "axle_class") not in found
    assert ("bearing W-1 right", "class") not in found
    assert found["bearing W-1 left", "class"] == Word("plain")


def test_one_part_of_which_two_entries_say_different_things_is_refused() -> None:
    new = 'couplers: {B: {coupler_type: type H}, "B, A": {coupler_type: «not known}}\n'
    problem = problem_at_mark("couplers:\n  all: {coupler_type: type H}\n", new)
    assert problem.found == "`coupler_type` of coupler B not known, unlike line 10"


def test_a_reading_can_not_be_not_known() -> None:
    problem = problem_at_mark("{body_camber: -1/4 in}", "{center_sill_condition: «not known}")
    assert problem.remedy == "leave it out, or say `not accessible (why)`"


def test_a_fact_of_the_move_may_be_not_known() -> None:
    assert "wheel_text" not in move(MOVE.replace("rides: passengers", "rides: passengers, wheel_text: not known")).facts
