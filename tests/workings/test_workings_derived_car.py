"""Derived figures of car, trucks, brakes, bearings and route: what they yield, and what they lack."""

from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from random_worlds import NOWHERE
from workings_world import bound, lacking, reading_of, value_of, world, yielded

from carknocker.record.model import Part
from carknocker.record.values import Bound, Figure, Interval, Word
from carknocker.workings import Missing, Worked


def test_weight_per_foot_share_and_axle_load() -> None:
    car = world(
        {
            "car": {
                "gross_weight": "165,000 lb",
                "length_over_couplers": "82 ft 6 in",
                "weight_on_truck_B": "84,000 lb",
                "weight_on_truck_A": "81,000 lb",
            }
        }
    )
    assert yielded(car.work_out("car", "weight_per_foot")) == 2000
    assert yielded(car.work_out("truck B", "share_of_gross")) == Fraction(84, 165)
    assert yielded(car.work_out("truck B", "axle_load")) == 42_000
    assert yielded(car.work_out("car", "greatest_axle_load")) == 42_000
    uneven = world({"car": {"gross_weight": "165,000 lb"}})
    assert lacking(uneven.work_out("truck B", "axle_load")) == ("car", "weight_on_truck_B")
    assert lacking(uneven.work_out("car", "weight_per_foot")) == ("car", "length_over_couplers")


def test_journal_utilisation_by_class_speed_and_train() -> None:
    readings = {"car": {"weight_on_truck_B": "64,000 lb"}, "wheelset W-1": {"axle_class": "D"}}
    at = {"speed": value_of("train", "speed", "90 mph")}
    assert yielded(world(readings, train_facts=at).work_out("wheelset W-1", "journal_utilisation")) == 1
    freight = world(readings, train_facts=at, train="freight")
    assert yielded(freight.work_out("wheelset W-1", "journal_utilisation")) == Fraction(32_000 * 4, 169_000)
    other = {**readings, "wheelset W-1": {"axle_class": "C"}}
    assert lacking(world(other, train_facts=at).work_out("wheelset W-1", "journal_utilisation")) == (
        "wheelset W-1",
        "axle_class",
    )
    assert lacking(world(readings).work_out("wheelset W-1", "journal_utilisation")) == ("train", "speed")


@pytest.mark.parametrize(
    ("left", "right", "expected"),
    [
        ("1/4 in", "3/8 in", Figure(value_of("side bearing", "clearance", "5/8 in").quantity)),  # type: ignore[union-attr]
        (bound(high="1/4 in", high_open=True), "3/8 in", bound(high="5/8 in", high_open=True)),
        (bound(low="1/2 in"), bound(low="1/2 in", low_open=True), bound(low="1 in", low_open=True)),
    ],
)
def test_side_bearing_clearance_adds_figures_and_bounds(left: Any, right: Any, expected: Any) -> None:
    car = world({"side bearing BL": {"clearance": left}, "side bearing BR": {"clearance": right}})
    found = car.work_out("truck B", "side_bearing_total_clearance")
    assert isinstance(found, Worked)
    assert found.value == expected
    assert lacking(car.work_out("truck A", "side_bearing_total_clearance")) == ("side bearing AL", "clearance")


def test_share_of_springs_broken() -> None:
    read = {"springs_broken": "1", "springs_in_nest": "4"}
    assert yielded(world({"side bearing BL": read}).work_out("side bearing BL", "share_of_springs_broken")) == Fraction(
        1, 4
    )
    wrong = {"springs_broken": "5", "springs_in_nest": "4"}
    found = world({"side bearing BL": wrong}).work_out("side bearing BL", "share_of_springs_broken")
    assert lacking(found) == ("side bearing BL", "springs_broken")


def test_middle_of_three() -> None:
    car = world({"truck B": {"truck_kind": "three-axle"}, "truck A": {"truck_kind": "two-axle"}}, axles=6)
    answers = [car.work_out(f"axle position {number}", "middle_of_three") for number in (1, 2, 3, 5)]
    assert [found.value for found in answers if isinstance(found, Worked)] == [
        Word(a) for a in ("no", "yes", "no", "no")
    ]
    unknown = world({}, axles=6).work_out("axle position 2", "middle_of_three")
    assert lacking(unknown) == ("truck B", "truck_kind")


def test_heat_of_bearings() -> None:
    car = world(
        {
            "bearing W-1 left": {"running_temperature": "140 °F", "ambient_temperature": "68 °F"},
            "bearing W-1 right": {"running_temperature": "35 °C"},
        }
    )
    assert yielded(car.work_out("bearing W-1 left", "temperature_above_ambient")) == 72
    assert yielded(car.work_out("wheelset W-1", "temperature_across_axle")) == 45
    assert lacking(car.work_out("bearing W-1 right", "temperature_above_ambient")) == (
        "bearing W-1 right",
        "ambient_temperature",
    )
    old = reading_of(
        "bearing W-2 left", "bearing", "ambient_temperature", value_of("bearing", "ambient_temperature", "68 °F"),
        date(2029, 1, 1),
    )  # fmt: skip
    apart = world({"bearing W-2 left": {"running_temperature": "140 °F"}}, more_evidence=[old])
    assert lacking(apart.work_out("bearing W-2 left", "temperature_above_ambient")) == (
        "bearing W-2 left",
        "ambient_temperature",
    )


def cylinder(number: int) -> Part:
    key = f"brake cylinder {number}"
    return Part(key, "brake cylinder", str(number), key, "brake system", True, NOWHERE)


def test_nominal_braking_ratio_names_pressure_and_weight() -> None:
    readings = {
        "car": {"light_weight": "100,000 lb"},
        "brake system": {"lever_ratio": "8"},
        "brake cylinder 1": {"diameter": "12 in"},
        "brake cylinder 2": {"diameter": "12 in"},
    }
    car = world(readings, more_parts=[cylinder(1), cylinder(2)])
    found = car.work_out("brake system", "nominal_ratio_at_50_psi")
    assert isinstance(found, Worked)
    assert isinstance(found.value, Bound)
    assert found.line.startswith(
        "k = F/W = 90,477.87 lb/100,000 lb = 90.48 % (nominal, 50 psi in the cylinder, light weight)"
    )
    assert lacking(world(readings | {"car": {}}, more_parts=[cylinder(1), cylinder(2)]).work_out(
        "brake system", "nominal_ratio_at_60_psi"
    )) == ("car", "light_weight")  # fmt: skip
    assert lacking(world({}).work_out("brake system", "nominal_ratio_at_60_psi")) == ("brake system", "brake_cylinders")


def test_operative_brakes_by_axles() -> None:
    readings = {f"axle position {n}": {"braked": "yes", "brake_applies": "yes" if n < 4 else "no"} for n in range(1, 5)}
    assert yielded(world(readings).work_out("brake system", "operative_by_axles")) == Fraction(3, 4)
    cut_out = world({**readings, "brake system": {"cut_out": "yes"}})
    assert yielded(cut_out.work_out("brake system", "operative_by_axles")) == 0
    unread = {**readings, "axle position 2": {"braked": "yes"}}
    assert lacking(world(unread).work_out("brake system", "operative_by_axles")) == ("axle position 2", "brake_applies")


LEGS = [
    {"miles": "100 mi", "sharpest_curve": "8°", "clearance": "plate B"},
    {"miles": "50 mi", "sharpest_curve": "13°", "clearance": "plate B", "clearance_truck_centers": "41 ft"},
]
CAR = {
    "car": {"truck_centers": "59 ft 6 in", "length_over_couplers": "85 ft", "extreme_width": "10 ft"},
    "truck B": {"axle_spacing": "5 ft 6 in"},
    "truck A": {"axle_spacing": "5 ft 6 in"},
}


def test_route_figures_by_leg() -> None:
    car = world(CAR, axles=6, legs=LEGS)
    degree = car.work_out("move", "sharpest_curve")
    assert yielded(degree) == 13
    assert isinstance(degree, Worked)
    assert degree.line.endswith("leg 2, Place 2 to Place 3")
    assert yielded(car.work_out("move", "miles")) == 150
    swung = car.work_out("leg 2", "swing_in")
    assert isinstance(swung, Worked)
    assert swung.line.endswith("L = 59 ft 6 in, b = 132 in = 12.449 in")
    out = car.work_out("leg 2", "swing_out")
    assert isinstance(out, Worked)
    assert out.line.endswith("= 12.225 in")
    width = car.work_out("leg 2", "allowed_width")
    assert isinstance(width, Worked)
    assert isinstance(width.value, Bound)
    assert lacking(car.work_out("leg 1", "allowed_width")) == ("leg 1", "clearance_truck_centers")
    bare = {**CAR, "truck A": {}}
    assert lacking(world(bare, axles=6, legs=LEGS).work_out("leg 2", "swing_in")) == ("truck A", "axle_spacing")


def test_days_and_ages() -> None:
    car = world({"car": {"built_on": "1927"}, "truck B": {"built_on": "1931"}})
    days = car.work_out("move", "days")
    assert isinstance(days, Worked)
    assert isinstance(days.value, Interval)
    assert days.value.period.days == 11
    for part, written in (("car", "1927"), ("truck B", "1931")):
        age = car.work_out(part, "age")
        assert isinstance(age, Worked)
        assert written in age.line
    assert lacking(car.work_out("truck A", "age")) == ("truck A", "built_on")
    assert lacking(car.work_out("move", "notice_days")) == ("move", "requested_on")
    asked = world({}, facts={"requested_on": value_of("move", "requested_on", "2030-05-16")})
    notice = asked.work_out("move", "notice_days")
    assert isinstance(notice, Worked)
    assert isinstance(notice.value, Interval)
    assert notice.value.period.days == 30


def test_coupler_swing_against_the_neighbours_named_in_the_train() -> None:
    lengths = {"truck_centers": "59 ft 6 in", "length_over_couplers": "85 ft", "coupler_length": "36 in"}
    neighbour = {name: value_of("car", name, text) for name, text in lengths.items()}
    short = neighbour | {
        "truck_centers": value_of("car", "truck_centers", "30 ft"),
        "length_over_couplers": value_of("car", "length_over_couplers", "45 ft"),
    }
    own = {"car": lengths}
    alike = world(own, legs=LEGS, neighbours={"ahead": neighbour}).work_out("coupler B", "swing_needed")
    worse = world(own, legs=LEGS, neighbours={"ahead": neighbour, "behind": short}).work_out(
        "coupler B", "swing_needed"
    )
    for found in (alike, worse):
        assert isinstance(found, Worked)
        assert isinstance(found.value, Bound)
    assert isinstance(alike, Worked)
    assert isinstance(worse, Worked)
    assert "this car with the car ahead" in alike.line
    assert "this car with the car behind" in worse.line
    assert lacking(world(own, legs=LEGS).work_out("coupler B", "swing_needed")) == ("train", "neighbours")
    del neighbour["coupler_length"]
    found = world(own, legs=LEGS, neighbours={"ahead": neighbour}).work_out("coupler B", "swing_needed")
    assert isinstance(found, Missing)
    assert found.reason == "coupler length of the neighbour ahead is not given"
