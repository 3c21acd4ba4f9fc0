"""Derived attributes from a car's readings: what they yield, and what they name when an input is missing."""

from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from carknocker.record.model import Part, Work
from carknocker.record.values import Bound, Figure, Interval, Word
from carknocker.workings import Missing, Worked
from random_worlds import NOWHERE
from workings_world import World, bound, made, reading_of, value_of, world


def yielded(found: Worked | Missing) -> Fraction:
    assert isinstance(found, Worked), found
    assert isinstance(found.value, Figure), found.value
    return found.value.quantity.amount


def lacking(found: Worked | Missing) -> tuple[str, str]:
    assert isinstance(found, Missing), found
    assert found.reason
    return found.part, found.attribute


def taped(sizes: dict[str, int], tape: str = "T-1", **more: Any) -> World:
    readings: dict[str, dict[str, Any]] = {
        wheel: {"tape_size": f"{size} tapes", "tape_id": tape} for wheel, size in sizes.items()
    }
    for part, own in more.pop("readings", {}).items():
        readings.setdefault(part, {}).update(own)
    return world(readings, **more)


SIX = {f"wheel W-{axle} {side}": size for axle, size in ((1, 20), (2, 14), (3, 18)) for side in ("left", "right")}


def test_mate_difference() -> None:
    found = taped({"wheel W-1 left": 12, "wheel W-1 right": 9}).work_out("wheelset W-1", "mate_difference")
    assert yielded(found) == 3
    assert isinstance(found, Worked)
    assert found.line == "|left - right| = |12 tapes - 9 tapes| = 3 tapes"
    assert len(found.used) == 2


def test_sizes_of_different_tapes_are_not_compared() -> None:
    readings = {"wheel W-1 right": {"tape_id": "T-2"}}
    different = taped({"wheel W-1 left": 12, "wheel W-1 right": 12}, readings=readings)
    found = different.work_out("wheelset W-1", "mate_difference")
    assert lacking(found) == ("wheel W-1 right", "tape_id")
    assert isinstance(found, Missing)
    assert "different tapes" in found.reason


def test_sizes_on_different_bases_are_not_compared() -> None:
    bases = {"wheel W-1 left": {"tape_base": "100 in"}, "wheel W-1 right": {"tape_base": "98 in"}}
    found = taped({"wheel W-1 left": 12, "wheel W-1 right": 12}, readings=bases).work_out(
        "wheelset W-1", "mate_difference"
    )
    assert lacking(found) == ("wheel W-1 right", "tape_base")


def test_a_size_without_its_tape_is_not_compared() -> None:
    sizes = {"wheel W-1 left": {"tape_size": "12 tapes"}, "wheel W-1 right": {"tape_size": "12 tapes"}}
    assert lacking(world(sizes).work_out("wheelset W-1", "mate_difference")) == ("wheel W-1 left", "tape_id")


def test_a_tape_named_on_another_day_is_not_the_tape_of_this_size() -> None:
    old = reading_of("wheel W-1 left", "wheel", "tape_id", Word("T-1"), date(2029, 1, 1))
    sizes = {
        "wheel W-1 left": {"tape_size": "12 tapes"},
        "wheel W-1 right": {"tape_size": "12 tapes", "tape_id": "T-1"},
    }
    found = world(sizes, more_evidence=[old]).work_out("wheelset W-1", "mate_difference")
    assert lacking(found) == ("wheel W-1 left", "tape_id")


def test_spreads_and_the_middle_step_of_a_three_axle_truck() -> None:
    car = taped(SIX, axles=6)
    assert yielded(car.work_out("truck B", "spread")) == 6
    assert yielded(car.work_out("truck B", "middle_axle_step")) == 14 - 19
    assert lacking(car.work_out("truck A", "spread")) == ("wheel W-4 left", "tape_size")
    assert lacking(car.work_out("car", "spread")) == ("wheel W-4 left", "tape_size")
    inches = car.work_out("truck B", "middle_axle_step_in_diameter")
    assert isinstance(inches, Worked)
    assert isinstance(inches.value, Bound)
    assert inches.value.low is not None
    assert inches.value.high is not None
    assert inches.value.low.amount < Fraction("-0.1989436788") < inches.value.high.amount + Fraction(1, 10**9)


def test_a_two_axle_truck_has_no_middle_step() -> None:
    assert lacking(taped(SIX).work_out("truck B", "middle_axle_step")) == ("truck B", "axles")


def test_step_to_neighbour_is_the_largest_on_one_side() -> None:
    sizes = {**SIX, "wheel W-2 right": 15}
    car = taped(sizes, axles=6)
    found = car.work_out("wheelset W-1", "step_to_neighbour")
    assert yielded(found) == 6
    assert isinstance(found, Worked)
    assert found.line == "step = |wheel L1 - wheel L2| = |20 tapes - 14 tapes| = 6 tapes"
    assert yielded(car.work_out("wheelset W-3", "step_to_neighbour")) == 4


def test_back_to_back_variation() -> None:
    read = {"back_to_back": "53-1/16 in", "back_to_back_largest": "53-3/16 in"}
    assert yielded(world({"wheelset W-1": read}).work_out("wheelset W-1", "back_to_back_variation")) == Fraction(1, 8)
    swapped = {"back_to_back": "53-3/16 in", "back_to_back_largest": "53-1/16 in"}
    found = world({"wheelset W-1": swapped}).work_out("wheelset W-1", "back_to_back_variation")
    assert lacking(found) == ("wheelset W-1", "back_to_back_largest")


def test_rim_after_turning_takes_the_deeper_cut_of_the_axle() -> None:
    car = world(
        {
            "wheel W-1 left": {"rim_thickness": "2 in", "turning_allowance": "1/8 in"},
            "wheel W-1 right": {"rim_thickness": "1-7/8 in", "turning_allowance": "1/4 in"},
        }
    )
    assert yielded(car.work_out("wheel W-1 left", "rim_after_turning")) == Fraction(7, 4)
    assert yielded(car.work_out("wheel W-1 right", "rim_after_turning")) == Fraction(13, 8)
    half = world({"wheel W-1 left": {"rim_thickness": "2 in", "turning_allowance": "1/8 in"}})
    assert lacking(half.work_out("wheel W-1 left", "rim_after_turning")) == ("wheel W-1 right", "turning_allowance")


def test_wheel_diameter_by_gauge_tape_and_circumference() -> None:
    gauged = world({"wheel W-1 left": {"measured_diameter": "35-1/2 in", "measured_circumference": "111 in"}})
    assert yielded(gauged.work_out("wheel W-1 left", "diameter")) == Fraction(71, 2)
    read = {"tape_size": "8 tapes", "tape_base": "112 in"}
    found = world({"wheel W-1 left": read}).work_out("wheel W-1 left", "diameter")
    assert isinstance(found, Worked)
    assert isinstance(found.value, Bound)
    assert found.line == "D = (C₀ + n × 1/8 in)/π = (112 in + 8 × 1/8 in)/π = 35.969 in"
    nothing = world({}).work_out("wheel W-1 left", "diameter")
    assert lacking(nothing) == ("wheel W-1 left", "measured_diameter")
    baseless = world({"wheel W-1 left": {"tape_size": "8 tapes"}}).work_out("wheel W-1 left", "diameter")
    assert lacking(baseless) == ("wheel W-1 left", "tape_base")


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


def test_miles_since_turning_counts_the_log_and_the_later_day() -> None:
    moves = (made("2028-05-01", "2028-05-03", 300), made("2029-05-01", "2029-05-03", 200))
    described = {"wheelset W-1": {"last_turned_on": "2027-01-01"}}
    turned = Work("J-1", False, "wheels turned", date(2029, 1, 1), ("wheel W-1 left",), NOWHERE)
    assert yielded(world(described, moves_made=moves).work_out("wheelset W-1", "miles_since_turned")) == 500
    later = world(described, moves_made=moves, work=[turned])
    assert yielded(later.work_out("wheelset W-1", "miles_since_turned")) == 200
    assert lacking(world({}).work_out("wheelset W-1", "miles_since_turned")) == ("wheelset W-1", "last_turned_on")


def test_miles_since_a_year_lie_between_its_ends() -> None:
    moves = (made("2028-05-01", "2028-05-03", 300), made("2029-05-01", "2029-05-03", 200))
    found = world({"wheelset W-1": {"mounted_on": "2028"}}, moves_made=moves).work_out(
        "wheelset W-1", "miles_since_mounted"
    )
    assert isinstance(found, Worked)
    assert isinstance(found.value, Bound)
    assert (found.value.low, found.value.high) == tuple(
        value_of("leg", "miles", f"{miles} mi").quantity
        for miles in (200, 500)  # type: ignore[union-attr]
    )


def test_miles_since_bearing_work_take_the_longer_of_both_sides() -> None:
    moves = (made("2028-05-01", "2028-05-03", 300), made("2029-05-01", "2029-05-03", 200))
    readings = {
        "bearing W-1 left": {"reconditioned_on": "2027-01-01"},
        "bearing W-1 right": {"reconditioned_on": "2027-01-01"},
    }
    renewed = Work("J-1", False, "bearing renewed", date(2029, 1, 1), ("bearing W-1 left",), NOWHERE)
    car = world(readings, moves_made=moves, work=[renewed])
    assert yielded(car.work_out("wheelset W-1", "miles_since_bearing_work")) == 500
    assert lacking(world({}).work_out("wheelset W-1", "miles_since_bearing_work")) == (
        "bearing W-1 left",
        "reconditioned_on",
    )


def rim(day: date, inches: str) -> Any:
    return reading_of(
        "wheel W-1 left", "wheel", "rim_thickness", value_of("wheel", "rim_thickness", inches), day, "1/16 in"
    )


def test_rim_wear_from_two_readings_and_the_moves_between() -> None:
    readings = [rim(date(2028, 1, 1), "2 in"), rim(date(2030, 1, 1), "1-7/8 in")]
    moves = (made("2028-05-01", "2028-05-03", 12_000), made("2029-05-01", "2029-05-03", 8_000))
    car = world({}, more_evidence=readings, moves_made=moves)
    found = car.work_out("wheel W-1 left", "rim_wear_in_10000_miles")
    assert yielded(found) == Fraction(1, 16)
    assert isinstance(found, Worked)
    assert "20,000 miles" in found.line
    assert "±" in found.line
    turned = Work("J-1", False, "wheels turned", date(2029, 1, 1), ("wheel W-1 left",), NOWHERE)
    since = world({}, more_evidence=readings, moves_made=moves, work=[turned])
    assert lacking(since.work_out("wheel W-1 left", "rim_wear_in_10000_miles")) == ("wheel W-1 left", "rim_thickness")
    unmoved = world({}, more_evidence=readings).work_out("wheel W-1 left", "rim_wear_in_10000_miles")
    assert lacking(unmoved) == ("wheel W-1 left", "rim_thickness")


def test_a_rim_that_grows_yields_no_rate() -> None:
    readings = [rim(date(2028, 1, 1), "1-7/8 in"), rim(date(2030, 1, 1), "2 in")]
    car = world({}, more_evidence=readings, moves_made=(made("2028-05-01", "2028-05-03", 12_000),))
    found = car.work_out("wheel W-1 left", "rim_wear_in_10000_miles")
    assert isinstance(found, Missing)
    assert "grew" in found.reason


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
    assert swung.line.endswith("b = 132 in = 12.449 in")
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
