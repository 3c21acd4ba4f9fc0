"""Derived figures of car, trucks, brakes, bearings and route: what they yield, and what they lack."""

from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from random_worlds import NOWHERE
from workings_world import bound, lacking, reading_of, value_of, world, yielded

from carknocker.quantities import Quantity
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
    greatest = car.work_out("car", "greatest_axle_load")
    assert yielded(greatest) == 42_000
    assert {one.attribute for one in greatest.used} == {"weight_on_truck_B", "weight_on_truck_A"}
    assert yielded(car.work_out("truck B", "wheel_load")) == 21_000
    assert lacking(world({}).work_out("truck B", "wheel_load")) == ("car", "weight_on_truck_B")
    uneven = world({"car": {"gross_weight": "165,000 lb"}})
    assert lacking(uneven.work_out("truck B", "axle_load")) == ("car", "weight_on_truck_B")
    assert lacking(uneven.work_out("car", "weight_per_foot")) == ("car", "length_over_couplers")


LIMITS = {
    "miles": "9 mi", "gross_limit": "220,000 lb", "axle_load_limit": "40,000 lb", "weight_per_foot_limit": "2,500 lb",
}  # fmt: skip


def test_loads_against_the_limits_of_a_leg() -> None:
    """The heavier truck is over the leg's axle load, though the car is within its gross weight."""
    weights = {
        "gross_weight": "165,000 lb", "length_over_couplers": "82 ft 6 in", "weight_on_truck_B": "84,000 lb",
        "weight_on_truck_A": "81,000 lb",
    }  # fmt: skip
    car = world({"car": weights}, legs=[LIMITS, {"miles": "9 mi"}])
    assert yielded(car.work_out("leg 1", "share_of_gross_limit")) == Fraction(165, 220)
    over = car.work_out("leg 1", "share_of_axle_load_limit")
    assert yielded(over) == Fraction(42, 40)
    assert isinstance(over, Worked)
    assert over.line.endswith("= 42,000 lb; s = W/W₀ = 42,000 lb/40,000 lb = 105 %: OVER THE LIMIT")
    assert yielded(car.work_out("leg 1", "share_of_weight_per_foot_limit")) == Fraction(2000, 2500)
    for name in ("gross_limit", "axle_load_limit", "weight_per_foot_limit"):
        assert lacking(car.work_out("leg 2", f"share_of_{name}")) == ("leg 2", name)
    assert lacking(world({}, legs=[LIMITS]).work_out("leg 1", "share_of_gross_limit")) == ("car", "gross_weight")


def test_journal_utilisation_by_class_speed_and_train() -> None:
    readings = {"car": {"weight_on_truck_B": "64,000 lb"}, "wheelset W-1": {"axle_class": "D"}}
    at = {"speed": value_of("train", "speed", "90 mph")}
    assert yielded(world(readings, train_facts=at).work_out("wheelset W-1", "journal_utilisation")) == 1
    heavy = {**readings, "car": {"weight_on_truck_B": "64,002 lb"}}
    over = world(heavy, train_facts=at).work_out("wheelset W-1", "journal_utilisation")
    assert yielded(over) == Fraction(32_001, 32_000)
    assert isinstance(over, Worked)
    assert over.line.endswith("MORE THAN IT TAKES")
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


def test_side_bearing_clearance_of_the_worse_diagonal() -> None:
    """49 CFR 215.119(c)(4): BL with AR, BR with AL; the larger sum counts."""
    read = {"BL": "1/8 in", "BR": "1/4 in", "AL": "3/8 in", "AR": "1/8 in"}
    car = world({f"side bearing {corner}": {"clearance": value} for corner, value in read.items()})
    found = car.work_out("car", "side_bearing_diagonal_clearance")
    assert isinstance(found, Worked)
    assert yielded(found) == Fraction(5, 8)
    assert found.line == "c = c₁ + c₂ = 1/4 in + 3/8 in = 5/8 in; the other diagonal 1/4 in"
    del read["AL"]
    some = world({f"side bearing {corner}": {"clearance": value} for corner, value in read.items()})
    assert lacking(some.work_out("car", "side_bearing_diagonal_clearance")) == ("side bearing AL", "clearance")
    gauged = Bound(Quantity.of("length", 0, "in"), False, Quantity.of("length", 1, "in"), False)
    by_gauge = world({f"side bearing {corner}": {"clearance": gauged} for corner in ("BL", "BR", "AL", "AR")})
    assert lacking(by_gauge.work_out("car", "side_bearing_diagonal_clearance")) == ("side bearing BL", "clearance")


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


def test_the_end_that_the_record_calls_b() -> None:
    answers = [world({}).work_out(f"end {name}", "called_b") for name in ("B", "A")]
    assert [found.value for found in answers if isinstance(found, Worked)] == [Word("yes"), Word("no")]


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


BRAKED = {f"axle position {number}": {"braked": "yes"} for number in range(1, 5)}


def test_nominal_braking_ratio_names_pressure_and_weight() -> None:
    readings = {
        **BRAKED,
        "car": {"light_weight": "100,000 lb", "brake_cylinders": "2"},
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
    unweighed = world(readings | {"car": {"brake_cylinders": "2"}}, more_parts=[cylinder(1), cylinder(2)])
    assert lacking(unweighed.work_out("brake system", "nominal_ratio_at_60_psi")) == ("car", "light_weight")
    # nobody says how many cylinders there are, or which axles are braked: one that is not on record stands for them
    not_on_record = ("brake cylinder not on record, brake cylinders of car", "diameter")
    assert lacking(world(BRAKED).work_out("brake system", "nominal_ratio_at_60_psi")) == not_on_record
    assert lacking(world({}).work_out("brake system", "nominal_ratio_at_60_psi")) == not_on_record


def test_a_car_none_of_whose_axles_is_braked_has_no_nominal_braking_ratio() -> None:
    unbraked = {axle: {"braked": "no"} for axle in BRAKED} | {"car": {"light_weight": "100,000 lb"}}
    found = world(unbraked).work_out("brake system", "nominal_ratio_at_60_psi")
    assert lacking(found) == ("brake system", "brake_cylinders")
    one = unbraked | {"axle position 4": {"braked": "yes"}}
    assert lacking(world(one).work_out("brake system", "nominal_ratio_at_60_psi")) == (
        "brake cylinder not on record, brake cylinders of car",
        "diameter",
    )


def lever(number: int) -> Part:
    key = f"brake lever {number}"
    return Part(key, "brake lever", str(number), key, "brake system", True, NOWHERE)


ARMS = {
    **BRAKED,
    "brake system": {"brake_beams": "4"},
    "brake lever 1": {"effort_arm": "8 in", "load_arm": "24 in"},
    "brake lever 2": {"effort_arm": "24 in", "load_arm": "6 in"},
    "brake cylinder 1": {"diameter": "10 in"},
    "car": {"light_weight": "90,000 lb", "brake_cylinders": "1"},
}


def test_compound_rigging_by_its_arms() -> None:
    parts = [cylinder(1), lever(1), lever(2)]
    car = world(ARMS, more_parts=parts)
    found = car.work_out("brake system", "lever_ratio_by_arms")
    assert yielded(found) == Fraction(16, 3)  # 4 × 8/24 × 24/6
    assert isinstance(found, Worked)
    assert found.line == "r = b × Π(e/l) = 4 × 8 in/24 in × 24 in/6 in = 5.3333"
    ratio = car.work_out("brake system", "nominal_ratio_at_50_psi")
    assert isinstance(ratio, Worked)
    for said in (
        "F = n × π/4 × d² × p = 1 × π/4 × (10 in)² × 50 psi = 3,926.99 lb",
        found.line,
        "k = F/W = 20,943.95 lb",
    ):
        assert said in ratio.line
    told = world(ARMS | {"brake system": {"brake_beams": "4", "lever_ratio": "6"}}, more_parts=parts)
    said = told.work_out("brake system", "nominal_ratio_at_50_psi")
    assert isinstance(said, Worked)
    assert "r = 6;" in said.line  # what is recorded goes before what the arms give
    assert lacking(world(ARMS | {"brake system": {}}, more_parts=parts).work_out(
        "brake system", "lever_ratio_by_arms"
    )) == ("brake system", "brake_beams")  # fmt: skip
    assert lacking(world(ARMS | {"brake lever 2": {"effort_arm": "1 in"}}, more_parts=parts).work_out(
        "brake system", "lever_ratio_by_arms"
    )) == ("brake lever 2", "load_arm")  # fmt: skip
    none = world(ARMS | {"brake lever 2": {"effort_arm": "1 in", "load_arm": "0 in"}}, more_parts=parts)
    assert lacking(none.work_out("brake system", "lever_ratio_by_arms")) == ("brake system", "brake_beams")
    assert lacking(none.work_out("brake system", "nominal_ratio_at_50_psi")) == ("brake system", "brake_beams")
    bare = BRAKED | {part: ARMS[part] for part in ("brake cylinder 1", "car")}
    untold = world(bare, more_parts=[cylinder(1)]).work_out("brake system", "nominal_ratio_at_50_psi")
    assert lacking(untold) == ("brake system", "lever_ratio")
    assert lacking(world({}).work_out("brake system", "lever_ratio_by_arms")) == ("brake system", "brake_levers")
    at_60 = car.work_out("brake cylinder 1", "force_at_60_psi")
    assert isinstance(at_60, Worked)
    assert at_60.line.endswith("= 4,712.39 lb")
    assert lacking(world({}, more_parts=parts).work_out("brake cylinder 1", "force_at_50_psi")) == (
        "brake cylinder 1",
        "diameter",
    )


def test_a_net_ratio_is_a_figure_of_its_own() -> None:
    readings = {"car": {"light_weight": "100,000 lb"}, "brake system": {"net_shoe_force_at_50_psi": "11,000 lb"}}
    found = world(readings).work_out("brake system", "net_ratio_at_50_psi")
    assert yielded(found) == Fraction(11, 100)
    assert isinstance(found, Worked)
    assert "(net, 50 psi in the cylinder, light weight)" in found.line
    assert lacking(world({"car": {"light_weight": "1 lb"}}).work_out("brake system", "net_ratio_at_50_psi")) == (
        "brake system",
        "net_shoe_force_at_50_psi",
    )


def test_operative_brakes_by_control_valves() -> None:
    two = {"control_valves": "2", "control_valves_operative": "1"}
    found = world({"brake system": two}).work_out("brake system", "operative_by_control_valves")
    assert yielded(found) == Fraction(1, 2)
    assert isinstance(found, Worked)
    assert found.line == "s = operative control valves/all control valves = 1/2 = 50 %"
    out = world({"brake system": {"control_valves": "2", "cut_out": "yes"}})
    assert yielded(out.work_out("brake system", "operative_by_control_valves")) == 0
    lacks = world({"brake system": {"control_valves": "2"}}).work_out("brake system", "operative_by_control_valves")
    assert lacking(lacks) == ("brake system", "control_valves_operative")
    more = world({"brake system": {"control_valves": "1", "control_valves_operative": "2"}})
    assert lacking(more.work_out("brake system", "operative_by_control_valves")) == (
        "brake system",
        "control_valves_operative",
    )
    assert lacking(world({}).work_out("brake system", "operative_by_control_valves")) == (
        "brake system",
        "control_valves",
    )


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
    assert swung.line == (
        "M ≈ (L² + b²)/8R = ((714 in)² + (132 in)²)/(8 × 5,300.203 in) = 12.434 in; exact: M = R - √(R² - (b/2)² - "
        "(L/2)²) = 5,300.203 in - √((5,300.203 in)² - (132 in/2)² - (714 in/2)²) = 12.449 in"
    )
    out = car.work_out("leg 2", "swing_out")
    assert isinstance(out, Worked)
    assert out.line.startswith(
        "E ≈ (C² - L² - b²)/8R = ((1,020 in)² - (714 in)² - (0 in)²)/(8 × 5,300.203 in) = 12.514"
    )
    assert out.line.endswith("(1,020 in/2)²) - 5,300.203 in - 120 in/2 = 12.225 in")
    straight = world(CAR, axles=6, legs=[{"miles": "9 mi", "sharpest_curve": "0°"}]).work_out("leg 1", "swing_out")
    assert yielded(straight) == 0
    width = car.work_out("leg 2", "allowed_width")
    assert isinstance(width, Worked)
    assert isinstance(width.value, Bound)
    assert lacking(car.work_out("leg 1", "allowed_width")) == ("leg 1", "clearance_truck_centers")
    assert yielded(car.work_out("leg 1", "allowed_height")) == 15 * 12 + 1
    own = world(CAR, legs=[LEGS[0] | {"clearance_height": "14 ft"}]).work_out("leg 1", "allowed_height")
    assert yielded(own) == 14 * 12
    none = world(CAR, legs=[LEGS[0] | {"clearance": "no plate"}]).work_out("leg 1", "allowed_height")
    assert lacking(none) == ("leg 1", "clearance")
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


def test_coupler_swing_against_the_neighbors_named_in_the_train() -> None:
    lengths = {"truck_centers": "59 ft 6 in", "length_over_couplers": "85 ft", "coupler_length": "36 in"}
    neighbor = {name: value_of("car", name, text) for name, text in lengths.items()}
    short = neighbor | {
        "truck_centers": value_of("car", "truck_centers", "30 ft"),
        "length_over_couplers": value_of("car", "length_over_couplers", "45 ft"),
    }
    own = {"car": lengths}
    alike = world(own, legs=LEGS, neighbors={"ahead": neighbor}).work_out("coupler B", "swing_needed")
    worse = world(own, legs=LEGS, neighbors={"ahead": neighbor, "behind": short}).work_out("coupler B", "swing_needed")
    for found in (alike, worse):
        assert isinstance(found, Worked)
        assert isinstance(found.value, Bound)
    assert isinstance(alike, Worked)
    assert isinstance(worse, Worked)
    assert "this car with the car ahead" in alike.line
    assert "this car with the car behind" in worse.line
    sleeper = neighbor | {"car_kind": Word("sleeper")}
    named = world(own, legs=LEGS, neighbors={"ahead": sleeper}).work_out("coupler B", "swing_needed")
    assert isinstance(named, Worked)
    assert "this car with the car ahead, sleeper" in named.line
    assert lacking(world(own, legs=LEGS).work_out("coupler B", "swing_needed")) == ("train", "neighbors")
    del neighbor["coupler_length"]
    found = world(own, legs=LEGS, neighbors={"ahead": neighbor}).work_out("coupler B", "swing_needed")
    assert isinstance(found, Missing)
    assert found.reason == "coupler length of the neighbor ahead is not given"
