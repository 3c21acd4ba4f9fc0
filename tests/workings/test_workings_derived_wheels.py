"""Derived figures of wheels and wheelsets: what they yield, and what they name when an input is missing."""

from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from random_worlds import NOWHERE
from workings_world import World, lacking, made, reading_of, value_of, world, yielded

from carknocker.quantities import Quantity
from carknocker.record.model import LogStatement, Work
from carknocker.record.values import Bound, Word
from carknocker.workings import Missing, Worked
from carknocker.workings.turning import Matching, turning_plan, worn_wheels
from carknocker.workings.wear import Outlook, rim_outlook


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


def measured(diameters: dict[str, str], **more: Any) -> World:
    return world({wheel: {"measured_diameter": read} for wheel, read in diameters.items()}, **more)


def test_diameters_are_compared_where_no_tape_was_used() -> None:
    """35 in beside 36 in; in a truck 36, 36, 35, 35 in; of three axles the middle one half an inch larger."""
    mates = measured({"wheel W-1 left": "36 in", "wheel W-1 right": "35 in"})
    assert yielded(mates.work_out("wheelset W-1", "mate_difference_in_diameter")) == 1
    assert lacking(mates.work_out("wheelset W-1", "mate_difference")) == ("wheel W-1 left", "tape_size")
    truck = {f"wheel W-{axle} {side}": f"{37 - axle} in" for axle in (1, 2) for side in ("left", "right")}
    assert yielded(measured(truck).work_out("truck B", "spread_in_diameter")) == 1
    six = {
        f"wheel W-{axle} {side}": read
        for axle, read in ((1, "35-1/2 in"), (2, "36 in"), (3, "35-1/2 in"))
        for side in ("left", "right")
    }
    found = measured(six, axles=6).work_out("truck B", "middle_axle_step_in_diameter")
    assert yielded(found) == Fraction(1, 2)
    assert isinstance(found, Worked)
    assert found.line.startswith("mean of (36 in, 36 in) - mean of (35-1/2 in, 35-1/2 in, 35-1/2 in, 35-1/2 in)")


def test_a_diameter_that_is_newer_than_the_tape_counts() -> None:
    alike = {"wheel W-1 left": 12, "wheel W-1 right": 12}
    assert yielded(taped(alike).work_out("wheelset W-1", "mate_difference_in_diameter")) == 0
    bases = {wheel: {"tape_base": "111-1/2 in"} for wheel in alike}  # 113 in round the tread
    newer = reading_of("wheel W-1 left", "wheel", "measured_diameter", value_of("wheel", "measured_diameter", "35 in"),
                       date(2030, 6, 2))  # fmt: skip
    found = taped(alike, readings=bases, more_evidence=[newer])
    worked = found.work_out("wheelset W-1", "mate_difference_in_diameter")
    assert isinstance(worked, Worked)
    assert isinstance(worked.value, Bound)
    assert worked.value.low is not None
    # 113/π in = 35.969 in
    assert Fraction("0.968") < worked.value.low.amount < Fraction("0.970")


def test_diameters_are_held_against_each_other_however_they_were_measured() -> None:
    """112 tapes over 100 in are 114 in round the tread, over 97 in 111 in: 3 in/π are 0.955 in."""
    bases = {"wheel W-1 left": {"tape_base": "100 in"}, "wheel W-1 right": {"tape_base": "97 in", "tape_id": "T-2"}}
    found = taped({"wheel W-1 left": 112, "wheel W-1 right": 112}, readings=bases).work_out(
        "wheelset W-1", "wheel_diameters_apart"
    )
    assert isinstance(found, Worked)
    assert isinstance(found.value, Bound)
    assert found.value.low is not None
    assert Fraction("0.954") < found.value.low.amount < Fraction("0.956")
    one_of_four = measured({"wheel W-1 left": "36 in"})
    assert lacking(one_of_four.work_out("truck B", "wheel_diameters_apart")) == ("truck B", "wheels")
    two_of_four = measured({"wheel W-1 left": "36 in", "wheel W-2 right": "34-1/2 in"})
    assert yielded(two_of_four.work_out("truck B", "wheel_diameters_apart")) == Fraction(3, 2)


def test_a_two_axle_truck_has_no_middle_step() -> None:
    assert lacking(taped(SIX).work_out("truck B", "middle_axle_step")) == ("truck B", "axles")


def test_step_to_neighbor_is_the_largest_on_one_side() -> None:
    sizes = {**SIX, "wheel W-2 right": 15}
    car = taped(sizes, axles=6)
    found = car.work_out("wheelset W-1", "step_to_neighbor")
    assert yielded(found) == 6
    assert isinstance(found, Worked)
    assert found.line == "step = |wheel L1 - wheel L2| = |20 tapes - 14 tapes| = 6 tapes"
    assert {(one.part, one.attribute) for one in found.used} == {
        (f"wheel W-{number} {side}", "tape_size") for number in (1, 2) for side in ("left", "right")
    }, "the size on the other side decides too which step is the largest: its age counts"
    assert yielded(car.work_out("wheelset W-3", "step_to_neighbor")) == 4


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
    thin = {"wheel W-1 left": {"rim_thickness": "1/4 in", "turning_allowance": "1/2 in"}}
    thin["wheel W-1 right"] = {"turning_allowance": "0 in"}
    nothing = world(thin).work_out("wheel W-1 left", "rim_after_turning")
    assert yielded(nothing) == 0
    assert isinstance(nothing, Worked)
    assert nothing.line.endswith("1/4 in - 1/2 in: the cut is deeper than the rim, nothing is left")


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


@pytest.mark.parametrize(
    ("complete", "low", "high"),
    [("2027-01-01", 500, 500), ("2027-01-02", 500, None), ("2029-01-01", 500, None), ("", 500, None)],
)
def test_miles_that_the_log_may_lack_are_a_lower_bound(complete: str, low: int, high: int | None) -> None:
    moves = (made("2028-05-01", "2028-05-03", 300), made("2029-05-01", "2029-05-03", 200))
    log = LogStatement(date.fromisoformat(complete), None, NOWHERE) if complete else None
    car = world({"wheelset W-1": {"last_turned_on": "2027-01-01"}}, moves_made=moves, log=log)
    found = car.work_out("wheelset W-1", "miles_since_turned")
    assert isinstance(found, Worked)
    if high is not None:
        assert yielded(found) == high
        return
    assert found.value == Bound(Quantity("distance", low, 1, "miles"), False, None, False)
    why = f"since the log is complete only from {complete} on" if complete else "since the record does not say"
    assert f"= at least {low} miles, {why}" in found.line


def test_no_rate_of_wear_follows_from_miles_that_the_log_may_lack() -> None:
    moves = (made("2028-05-01", "2028-05-03", 12_000),)
    days = (date(2028, 1, 1), date(2029, 1, 1))
    rims = [rim(days[0], "2 in"), rim(days[1], "1-3/4 in")]
    for complete, shown in ((days[0], True), (date(2028, 1, 2), False)):
        log = LogStatement(complete, None, NOWHERE)
        car = world({}, more_evidence=rims, moves_made=moves, log=log)
        assert isinstance(car.work_out("wheel W-1 left", "rim_wear_in_10000_miles"), Worked) is shown


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
    assert "too few readings to say by how much it may be off: 2, of at least 4" in found.line
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


def test_a_turning_plan_and_an_outlook_from_the_record() -> None:
    wheel = {"measured_diameter": "36 in", "rim_thickness": "2 in", "turning_allowance": "1/8 in"}
    car = world({"wheel W-1 left": wheel, "wheel W-1 right": wheel | {"turning_allowance": "1/4 in"}})
    wheels = worn_wheels(car, "wheelset W-1")
    assert not isinstance(wheels, Missing)
    assert [(one.name, one.truck, one.axle) for one in wheels] == [
        ("wheel L1", "truck B", "axle position 1"), ("wheel R1", "truck B", "axle position 1"),
    ]  # fmt: skip
    plan = turning_plan(wheels, Matching(Fraction(0)), Fraction(1))
    assert [one.rim.low for one in plan.wheels] == [Fraction(7, 4), Fraction(7, 4)]
    lacked = worn_wheels(car, "car")
    assert isinstance(lacked, Missing)
    assert lacked.part == "wheel W-2 left"
    readings = [
        rim(date(2028, 1, 1), "2 in"), rim(date(2028, 6, 1), "1-7/8 in"),
        rim(date(2029, 9, 1), "1-3/4 in"), rim(date(2030, 1, 1), "1-3/4 in"),
    ]  # fmt: skip
    moves = (made("2028-05-01", "2028-05-03", 3_655), made("2029-05-01", "2029-05-03", 3_655))
    worn = world({}, more_evidence=readings, moves_made=moves)
    outlook = rim_outlook(worn, "wheel W-1 left", Fraction(1))
    assert isinstance(outlook, Outlook)
    assert outlook.left.miles == 21_930
    assert outlook.earliest is not None
    assert outlook.earliest < date(2035, 12, 31) < (outlook.latest or date.max)
    unread = rim_outlook(world({}), "wheel W-1 left", Fraction(1))
    assert isinstance(unread, Missing)


def test_journal_centers_off_the_truck_on_either_side() -> None:
    for own, taken, line in (
        ("6 ft 5-1/16 in", "6 ft 5 in", "|own - taken| = 6 ft 5-1/16 in - 6 ft 5 in = 1/16 in"),
        ("6 ft 5 in", "6 ft 5-1/16 in", "|own - taken| = 6 ft 5-1/16 in - 6 ft 5 in = 1/16 in"),
    ):
        car = world({"wheelset W-1": {"journal_centers": own}, "truck B": {"takes_journal_centers": taken}})
        found = car.work_out("wheelset W-1", "journal_centers_off")
        assert yielded(found) == Fraction(1, 16)
        assert isinstance(found, Worked)
        assert found.line == line


def test_journal_centers_want_both_sides_on_record() -> None:
    own = world({"wheelset W-1": {"journal_centers": "77 in"}})
    assert lacking(own.work_out("wheelset W-1", "journal_centers_off")) == ("truck B", "takes_journal_centers")
    taken = world({"truck B": {"takes_journal_centers": "77 in"}})
    assert lacking(taken.work_out("wheelset W-1", "journal_centers_off")) == ("wheelset W-1", "journal_centers")


def test_the_diameter_that_has_to_fit_is_the_measured_one_before_the_nominal() -> None:
    wheel = "wheel W-1 left"
    nominal = world({wheel: {"nominal_diameter": "36 in"}}).work_out(wheel, "diameter_to_fit")
    assert yielded(nominal) == 36
    assert isinstance(nominal, Worked)
    assert nominal.line == "D = 36 in, nominal"
    both = {wheel: {"nominal_diameter": "36 in", "measured_diameter": "35-1/2 in"}}
    assert yielded(world(both).work_out(wheel, "diameter_to_fit")) == Fraction(71, 2)
    assert lacking(world({}).work_out(wheel, "diameter_to_fit")) == (wheel, "nominal_diameter")
