"""Doubtful readings: which they are, what is judged of them, and that a doubt never makes anything better."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from math import pi
from pathlib import Path
from random import Random

import pytest
from example_counts import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from random_worlds import (
    HOST,
    INSPECTOR,
    NOWHERE,
    OUT,
    REACH,
    attribute,
    car_record,
    cause,
    compare,
    consequence,
    criterion,
    inches,
    move,
    reading,
    relieves,
    rulebook,
    worlds,
)

import carknocker.judgement.judge as judge_module
from carknocker.judgement.condemned import Limits
from carknocker.judgement.doubts import StandingDoubt, doubts_of
from carknocker.judgement.judge import judge
from carknocker.judgement.mending import NO_RULES, Mending
from carknocker.judgement.model import Judgement
from carknocker.judgement.oddities import ClauseFails
from carknocker.judgement.situation import Situation
from carknocker.judgement.worse_findings import WORST_FIRST
from carknocker.quantities import Quantity
from carknocker.record.car_reader import read_car, read_car_text
from carknocker.record.model import NO_END, CarRecord, Evidence, Gauge, Move, Person, Work
from carknocker.record.move_reader import read_move, read_move_text
from carknocker.record.standing import stand
from carknocker.record.value_reader import value_of
from carknocker.record.values import Figure, Opinion, Value, Word
from carknocker.rulebook.doubts import load_doubts
from carknocker.rulebook.model import CarriesUp, Restriction, Rulebook
from carknocker.vocabulary.model import Access
from carknocker.wording.oddities import oddity_words

WHEEL, MATE = "wheel W-1 left", "wheel W-1 right"
OTHER = Person("OT", "shop inspector", "", (HOST,), None, NOWHERE)
YEAR = timedelta(days=365)
OVER_AN_INCH = criterion("rim", "wheel", compare("wheel", "rim_thickness", "over", Figure(inches(1, 1))))
NO_CRACK = criterion("crack", "wheel", compare("wheel", "crack_or_break", "is", Word("no")))


def rim(sixteenths: int, on: date = OUT, **more: object) -> Evidence:
    more.setdefault("resolution", inches(1))
    return reading(WHEEL, "rim_thickness", Figure(inches(sixteenths)), on, **more)


def judged(car: CarRecord, *criteria: object) -> Judgement:
    return judge(car, move(), rulebook(list(criteria) or [OVER_AN_INCH], REACH), OUT)


def verdict(car: CarRecord, one: object = OVER_AN_INCH, part: str = WHEEL) -> str:
    return next(finding.verdict for finding in judged(car, one).findings if finding.part.key == part)


def names(car: CarRecord) -> list[str]:
    return [doubt.name for doubt in judged(car).doubts]


# what is judged


def test_a_rim_that_grew_is_not_shown_and_nothing_older_comes_back() -> None:
    car = car_record([rim(20, OUT - YEAR), rim(24)])
    assert verdict(car) == "not shown"
    (finding,) = (one for one in judged(car).findings if one.part.key == WHEEL)
    (doubt,) = finding.doubts
    assert doubt.name == "wear-only-goes-on"
    grew = f"rim thickness was 1-1/4 in on {OUT - YEAR} and is 1-1/2 in on {OUT}, with no work between"
    assert oddity_words(doubt.odd) == grew
    assert not finding.as_said


def test_a_doubt_clears_no_breach() -> None:
    fine = inches(1, 32)
    car = car_record([rim(8, OUT - YEAR, resolution=fine), rim(10, resolution=fine)])
    (finding,) = (one for one in judged(car).findings if one.part.key == WHEEL)
    assert finding.verdict == "breached"
    assert finding.as_said
    assert [doubt.name for doubt in finding.doubts] == ["wear-only-goes-on"]


def test_wear_that_got_better_by_what_the_gauges_leave_open_is_no_doubt() -> None:
    for sixteenths, found in ((22, []), (23, ["wear-only-goes-on"])):
        assert names(car_record([rim(20, OUT - YEAR), rim(sixteenths)])) == found


def test_what_grows_with_wear_does_not_shrink() -> None:
    for sixteenths, found in ((2, []), (1, ["wear-only-goes-on"])):
        gouges = [
            reading("axle of W-1", "gouge_depth", Figure(inches(number)), on, resolution=inches(1))
            for number, on in ((4, OUT - YEAR), (sixteenths, OUT))
        ]
        assert names(car_record(gouges)) == found


def test_a_flat_may_run_off_by_half() -> None:
    for sixteenths, found in ((16, []), (15, ["wear-only-goes-on"])):
        flats = [
            reading(WHEEL, "flat_spot_length", Figure(inches(number)), on)
            for number, on in ((32, OUT - YEAR), (sixteenths, OUT))
        ]
        assert names(car_record(flats)) == found


def job(name: str, at: str, on: date) -> Work:
    return Work("J-1", False, name, on, (at,), NOWHERE)


@pytest.mark.parametrize(
    ("at", "on", "found"),
    [
        (WHEEL, OUT - timedelta(days=9), []),
        (MATE, OUT - timedelta(days=9), []),
        ("wheelset W-1", OUT - timedelta(days=9), []),
        ("truck B", OUT - timedelta(days=9), ["wear-only-goes-on"]),  # no truck work makes a rim thicker
        ("wheel W-2 left", OUT - timedelta(days=9), ["wear-only-goes-on"]),
        (WHEEL, OUT - YEAR - timedelta(days=1), ["wear-only-goes-on"]),
        (WHEEL, OUT, ["wear-only-goes-on"]),  # a reading of the day of a job was taken before it
    ],
)
def test_work_on_the_part_between_is_an_answer(at: str, on: date, found: list[str]) -> None:
    assert names(car_record([rim(20, OUT - YEAR), rim(24)], work=[job("a job", at, on)])) == found


def test_a_reading_after_the_job_of_its_day_says_so() -> None:
    readings = [rim(20, OUT - YEAR), rim(24, after=frozenset({"J-1"}))]
    assert names(car_record(readings, work=[job("a job", WHEEL, OUT)])) == []


def test_sure_lifts_the_doubt_from_its_own_value_alone() -> None:
    assert verdict(car_record([rim(20, OUT - YEAR), rim(24, sure="photograph 12")])) == "met"
    assert verdict(car_record([rim(20, OUT - YEAR, sure="photograph 12"), rim(24)])) == "not shown"
    assert verdict(car_record([rim(6, OUT - YEAR), rim(10, sure="photograph 12")])) == "breached"


def test_a_photograph_that_shows_the_reading_lifts_the_doubt_and_no_breach() -> None:
    assert verdict(car_record([rim(20, OUT - YEAR), rim(24, photograph="rim.jpg")])) == "met"
    assert verdict(car_record([rim(20, OUT - YEAR, photograph="rim.jpg"), rim(24)])) == "not shown"
    assert verdict(car_record([rim(6, OUT - YEAR), rim(10, photograph="rim.jpg")])) == "breached"


def test_a_second_reader_who_agrees_within_a_month_makes_sure() -> None:
    earlier = rim(20, OUT - YEAR)
    month = timedelta(days=31)
    for by, on, sixteenths, found in (
        (OTHER, OUT - month, 24, "met"),
        (OTHER, OUT - month - timedelta(days=1), 24, "not shown"),
        (INSPECTOR, OUT - month, 24, "not shown"),
        (OTHER, OUT - month, 26, "met"),
        (OTHER, OUT - month, 27, "not shown"),
    ):
        assert verdict(car_record([earlier, rim(sixteenths, on, number=1, by=by), rim(24)])) == found, (by, on)


def crack(word: str | Value, on: date) -> Evidence:
    return reading(WHEEL, "crack_or_break", Word(word) if isinstance(word, str) else word, on)


def test_damage_does_not_go_by_itself() -> None:
    before = crack("yes", OUT - timedelta(days=1))
    assert verdict(car_record([before]), NO_CRACK) == "breached"
    assert verdict(car_record([before, crack("no", OUT)]), NO_CRACK) == "not shown"
    mended = [job("wheels renewed on the axle", "wheelset W-1", OUT - timedelta(days=1))]
    found = crack("no", OUT)
    earlier = crack("yes", OUT - timedelta(days=2))
    assert verdict(car_record([earlier, found], work=mended), NO_CRACK) == "met"


def test_a_named_persons_finding_that_it_was_no_damage_is_an_answer() -> None:
    none = Opinion("no", "a scratch in the paint, looked at with dye")
    found = crack("yes", OUT - timedelta(days=2))
    assert verdict(car_record([found, crack(none, OUT)]), NO_CRACK) == "met"
    called = crack(none, OUT - timedelta(days=1))
    assert verdict(car_record([found, called, crack("no", OUT)]), NO_CRACK) == "met"  # and stays one
    anew = crack("yes", OUT - timedelta(hours=24))
    again = reading(WHEEL, "crack_or_break", none, OUT - timedelta(days=3))
    assert verdict(car_record([again, anew, crack("no", OUT)]), NO_CRACK) == "not shown"


def test_a_second_reader_who_sees_no_damage_does_not_say_what_the_first_one_saw() -> None:
    found, none = crack("yes", OUT - timedelta(days=2)), crack("no", OUT - timedelta(days=1))
    other = replace(crack("no", OUT), by=OTHER)
    assert verdict(car_record([found, none, other]), NO_CRACK) == "not shown"
    assert verdict(car_record([found, replace(none, sure="seen with dye"), other]), NO_CRACK) == "met"
    # what the inspector found, whom the host accepts, only such a person calls none
    assert verdict(car_record([found, replace(other, sure="seen with dye")]), NO_CRACK) == "not shown"
    theirs = replace(found, by=OTHER)
    assert verdict(car_record([theirs, replace(other, sure="seen with dye")]), NO_CRACK) == "met"


@pytest.mark.parametrize("left", ["yes", ""])
def test_damage_that_went_by_itself_is_no_matter_of_the_day(left: str) -> None:
    """The host looks at what nobody read; what is said to have healed is shown first."""
    asked = replace(NO_CRACK, shown_by="host on the day")
    found, none = crack("yes", OUT - timedelta(days=1)), crack("no", OUT)
    assert verdict(car_record([found, none] if left else [none]), asked) == ("not shown" if left else "met")
    assert verdict(car_record([]), asked) == "for the day"
    worn = replace(criterion("rim", "wheel", compare("wheel", "rim_thickness", "over", Figure(inches(16)))),
                   shown_by="host on the day")  # fmt: skip
    assert verdict(car_record([rim(20, OUT - YEAR), rim(24)]), worn) == "for the day"  # wear is his to see


def test_a_gauge_can_not_read_so_fine() -> None:
    gauge = Gauge("G-1", "finger gauge", inches(1), OUT, NO_END, NOWHERE)
    for numerator, denominator, found in (
        (5, 4, []), (41, 32, []), (83, 64, ["finer-than-the-gauge"]), (125, 100, []), (119, 100, []),
        (123, 100, ["finer-than-the-gauge"]),
    ):  # fmt: skip
        value = Figure(inches(numerator, denominator))
        assert names(car_record([reading(WHEEL, "rim_thickness", value, OUT, gauge=gauge)])) == found, numerator
    for parts, found in (
        (123_400, []),
        (3125, ["unusual"]),
        (3124, ["finer-than-the-gauge"]),
    ):  # half a step, and less than that
        converted = Figure(Quantity.of("length", inches(parts, 100_000).amount, "mm"))
        assert names(car_record([reading(WHEEL, "rim_thickness", converted, OUT, gauge=gauge)])) == found


def test_a_doubted_description_never_relieves_and_still_burdens() -> None:
    kinds = [replace(
        reading(wheel, "wear_kind", Word(word), OUT), sort="description", on=None,
    ) for wheel, word in ((WHEEL, "one-wear"), (MATE, "tired"))]  # fmt: skip
    thin = [rim(10), replace(rim(10), part=MATE, place=MATE, id="mate")]
    one_wear = compare("wheel", "wear_kind", "is", Word("one-wear"))
    leave = consequence(
        "old-wheels", [cause("state", of="wheel", when=one_wear)], relieves(criteria=("test/rim",), of="wheel")
    )
    for evidence, relieved in (([*thin, kinds[0]], True), ([*thin, *kinds], False)):
        judgement = judge(car_record(evidence), move(), rulebook([OVER_AN_INCH], [*REACH, leave]), OUT)
        (finding,) = (one for one in judgement.findings if one.part.key == WHEEL)
        assert finding.verdict == "breached"
        assert finding.relieved is relieved


# the slips


CASE = Path("cases/larkspur/freight")
AS_OF = date(2026, 10, 8)


@cache
def honest() -> tuple[CarRecord, Move]:
    return read_car(CASE / "car.yaml"), read_move(CASE / "move.yaml")


def with_entries(car: CarRecord, *entries: tuple[str, str, str]) -> CarRecord:
    """The car with these values, each of a part, an attribute and a text; a description takes the place of another."""
    evidence = list(car.evidence)
    for part, name, text in entries:
        kind = next(one.kind for one in car.parts if one.key == part)
        told = attribute(kind, name)
        same = [one for one in evidence if (one.part, one.attribute) == (part, name)]
        new = Evidence(
            f"slip {part} {name}", name, part, part, value_of(text, told),
            "description" if told.description else "reading", None if told.description else AS_OF, NOWHERE,
            by=INSPECTOR, resolution=told.reads_to,
        )  # fmt: skip
        evidence = [one for one in evidence if not (told.description and one in same)]
        evidence.append(new)
    evidence.sort(key=lambda one: one.on or date.min)
    return replace(car, evidence=tuple(evidence), by_part={}, last_day=date.min)


def dated(car: CarRecord, part: str, name: str, on: date) -> CarRecord:
    """The car with a value that was added to it read on another day."""
    evidence = [replace(one, on=on) if one.id == f"slip {part} {name}" else one for one in car.evidence]
    evidence.sort(key=lambda one: one.on or date.min)
    return replace(car, evidence=tuple(evidence), by_part={}, last_day=date.min)


def doubts_in(car: CarRecord) -> list[str]:
    planned = honest()[1]
    return sorted({one.name for one in doubts_of(Situation(stand(car, planned, AS_OF), planned, {}), NO_RULES)})


SLIPS: list[tuple[str, tuple[tuple[str, str, str], ...]]] = [
    # wheels
    ("wear-only-goes-on", (("wheel K-101 left", "rim_thickness", "1-7/16 in"),)),
    ("wear-only-goes-on", (("wheel K-101 left", "flange_height", "15/16 in"),)),
    ("wear-only-goes-on", (("brake shoe L1", "thickness", "2-1/4 in"),)),
    ("hollow-under-flange", (("wheel K-101 left", "tread_hollow", "3/4 in"),)),
    ("rim-by-wear-kind", (
        ("wheel K-101 left", "wear_kind", "one-wear"), ("wheel K-101 left", "rim_thickness", "1-3/4 in"),
    )),
    ("tire-without-tire", (("wheel K-101 left", "tire_thickness", "2 in"),)),
    ("diameter-over-nominal", (
        ("wheel K-101 left", "nominal_diameter", "33 in"), ("wheel K-101 left", "measured_diameter", "36 in"),
    )),
    # 112 tapes over 100 in are 36.29 in
    ("diameter-over-nominal", (
        ("wheel K-101 left", "nominal_diameter", "35 in"), ("wheel K-101 left", "tape_base", "100 in"),
        ("wheel K-101 left", "tape_size", "112 tapes"),
    )),
    # 36 in by gauge; 112-1/2 in round the tread are 35.81 in, 9 tapes over 111-3/8 in are the same
    ("diameter-in-several-ways", (
        ("wheel K-101 left", "measured_diameter", "36 in"),
        ("wheel K-101 left", "measured_circumference", "112-1/2 in"),
    )),
    ("diameter-in-several-ways", (
        ("wheel K-101 left", "measured_diameter", "36 in"), ("wheel K-101 left", "tape_base", "111-3/8 in"),
        ("wheel K-101 left", "tape_size", "9 tapes"),
    )),
    ("cast-iron-wears-once", (("wheel K-101 left", "wheel_material", "cast iron"),)),
    ("built-up-and-not", (("wheel K-101 left", "built_up_height", "1/8 in"),)),
    ("broken-rim-and-not", (("wheel K-101 left", "broken_rim_width", "3 in"),)),
    ("seam-and-none", (("wheel K-101 left", "seam_distance", "1 in"),)),
    ("heat-and-none", (("wheel K-101 left", "discolored_plate_length", "3 in"),)),
    # wheelsets
    ("smallest-over-largest", (("wheelset K-101", "back_to_back", "53-1/2 in"),)),
    ("over-flanges", (("wheelset K-101", "back_to_back", "51 in"),)),
    ("mates-by-diameter", (
        ("wheel K-101 left", "measured_diameter", "36 in"), ("wheel K-101 right", "measured_diameter", "35-7/16 in"),
    )),
    # 112 tapes over 100 in are 36.29 in, over 97 in 35.33 in
    ("mates-by-diameter", (
        ("wheel K-101 left", "tape_size", "112 tapes"), ("wheel K-101 left", "tape_base", "100 in"),
        ("wheel K-101 left", "tape_id", "T-4"), ("wheel K-101 right", "tape_size", "112 tapes"),
        ("wheel K-101 right", "tape_base", "97 in"), ("wheel K-101 right", "tape_id", "T-9"),
    )),
    ("wheels-of-one-truck", (
        ("wheel K-101 left", "measured_diameter", "36 in"), ("wheel K-102 left", "measured_diameter", "32-15/16 in"),
    )),
    ("mates-by-rim", (("wheel K-101 left", "rim_thickness", "1/2 in"),)),
    ("mates-of-one-wear-kind", (("wheel K-101 left", "wear_kind", "two-wear"),)),
    ("mates-of-one-material", (("wheel K-101 left", "wheel_material", "cast steel"),)),
    ("bearings-alike", (("bearing K-101 left", "class", "grease-lubricated roller"),)),
    ("class-and-centers", (("wheelset K-101", "journal_centers", "79 in"),)),
    ("class-and-centers", (("wheelset K-101", "axle_class", "F"),)),
    ("axle-and-journals", (("wheelset K-101", "axle_length", "80 in"),)),
    ("centers-in-the-wheels", (("wheelset K-101", "journal_centers", "58 in"),)),
    # bearings
    ("oil-level-where-no-oil", (("bearing K-101 left", "oil_level", "right"),)),
    ("pad-where-no-pad", (("bearing K-101 left", "pad", "sound"),)),
    ("sealed-is-not-greased", (("bearing K-101 left", "lubrication_fittings", "yes"),)),
    ("label-that-is-not", (("bearing K-101 left", "heat_label_step", "200 °F"),)),
    ("warmer-than-the-air", (
        ("bearing K-101 left", "running_temperature", "60 °F"), ("bearing K-101 left", "ambient_temperature", "90 °F"),
    )),
    # trucks
    ("trucks-of-one-kind", (("truck B", "truck_kind", "three-axle"),)),
    ("trucks-equalized-alike", (("truck B", "equalized", "no"),)),
    ("spacing-by-kind", (("truck B", "axle_spacing", "130 in"),)),
    ("truck-weight-by-kind", (("truck B", "truck_weight", "40000 lb"),)),
    ("trucks-of-one-weight", (("truck B", "truck_weight", "20000 lb"), ("truck A", "truck_weight", "26100 lb"))),
    ("bolster-springs-of-both-trucks", (
        ("spring 1", "bolster_spring_height", "9 in"), ("spring 7", "bolster_spring_height", "12-1/16 in"),
    )),
    ("body-lean", (("side bearing BL", "clearance", "1-3/8 in"), ("side bearing BR", "clearance", "1/8 in"))),
    ("made-not-to-touch", (
        ("side bearing BL", "made_to_touch", "no"), ("side bearing BL", "makers_clearance", "3/64 in"),
    )),
    ("apart-and-near", (("side bearing BL", "in_contact", "no"), ("side bearing BL", "clearance", "1/64 in"))),
    ("end-handhold-from-side", (("safety appliance 5", "distance_from_side", "1-1/2 in"),)),
    ("handhold-hardly-out", (("safety appliance 5", "projection", "1/16 in"),)),
    ("plain-bearing-without-a-lid", (("bearing K-101 left", "class", "plain"), ("box L1", "lid", "none fitted"))),
    ("something-brakes", (("axle position 1", "braked", "no"), ("axle position 2", "braked", "no"))),
    # the car
    ("trucks-add-up", (
        ("car", "gross_weight", "143300 lb"), ("car", "weight_on_truck_A", "66900 lb"),
        ("car", "weight_on_truck_B", "67400 lb"),
    )),
    ("gross-over-light", (("car", "light_weight", "150000 lb"),)),
    ("designed-for-railroad-personnel", (("car", "car_kind", "business car"),)),
    ("designed-for-railroad-personnel", (("car", "car_kind", "caboose"),)),
    ("centers-of-length", (("car", "truck_centers", "39 ft"),)),
    ("buffers-and-couplers", (("car", "length_over_buffers", "80 ft"),)),
    ("couplers-level", (("coupler B", "coupler_height", "34-1/2 in"), ("coupler A", "coupler_height", "31-1/2 in"))),
    ("wood-by-kind", (("underframe", "underframe_kind", "wooden"),)),
    ("tight-lock-type-h", (("coupler B", "tight_lock", "no"),)),
    ("tight-lock-older-types", (("coupler B", "coupler_type", "type E"),)),
    # brakes
    ("cylinders-of-one-diameter", (("brake cylinder 2", "diameter", "12 in"),)),
    ("cylinders-of-one-stroke", (("brake cylinder 2", "nominal_stroke", "8 in"),)),
    ("badge-plates-of-one-least-travel", (("brake cylinder 2", "badge_plate_least_travel", "5 in"),)),
    ("badge-plates-of-one-most-travel", (("brake cylinder 2", "badge_plate_travel", "8 in"),)),
    ("valve-and-release", (("brake system", "control_valve", "AB"),)),
    ("signal-line-that-is-not", (("brake system", "signal_line", "no"), ("brake system", "signal_line_tight", "yes"))),
    ("voltage-without-power", (("head-end power", "fitted", "no"),)),
    # one entry that says what another one leaves no room for
    ("loose-tire-without-tire", (("wheel K-101 left", "tire_loose", "no"),)),
    ("tire-fastening-without-tire", (("wheel K-101 left", "tire_fastening", "shrunk"),)),
    ("diameter-far-under-nominal", (
        ("wheel K-101 left", "nominal_diameter", "42 in"), ("wheel K-101 left", "measured_diameter", "33-15/16 in"),
    )),
    ("built-up-length-and-not", (("wheel K-101 left", "built_up_length", "3 in"),)),
    ("second-flat-that-adjoins", (
        ("wheel K-101 left", "second_flat_adjoins", "yes"), ("wheel K-101 left", "second_flat_length", "0 in"),
    )),
    ("second-shelled-spot-that-adjoins", (
        ("wheel K-101 left", "second_shelled_adjoins", "yes"), ("wheel K-101 left", "second_shelled_length", "0 in"),
    )),
    ("rollers-alike", (("bearing K-101 left", "rollers", "spherical"),)),
    ("class-and-journal-length", (
        ("bearing K-101 left", "class", "plain"), ("bearing K-101 left", "journal_length", "13-1/8 in"),
    )),
    ("wedge-where-no-wedge", (("bearing K-101 left", "wedge", "sound"),)),
    ("brass-where-no-brass", (("bearing K-101 left", "brass", "sound"),)),
    ("free-oil-where-no-box-of-oil", (("bearing K-101 left", "visible_free_oil", "yes"),)),
    ("rotation-of-a-plain-bearing", (
        ("bearing K-101 left", "class", "plain"), ("bearing K-101 left", "rotation", "smooth"),
    )),
    ("end-play-of-a-plain-bearing", (
        ("bearing K-101 left", "class", "plain"), ("bearing K-101 left", "end_play", "1/32 in"),
    )),
    ("sealed-is-not-lubricated", (("bearing K-101 left", "last_lubricated_on", "2026-05-01"),)),
    ("trucks-of-one-axle-class", (("truck B", "takes_axle_class", "E"),)),
    ("plain-bearing-in-an-adapter", (("bearing K-101 left", "class", "plain"), ("box L1", "box_kind", "adapter"))),
    ("shoes-at-an-unbraked-axle", (("axle position 1", "braked", "no"),)),
    ("brake-that-applies-at-an-unbraked-axle", (
        ("axle position 1", "braked", "no"), ("axle position 1", "brake_applies", "yes"),
    )),
    ("broken-coil-and-none-counted", (("spring 1", "coil_broken", "yes"), ("spring 1", "coils_broken", "0"))),
    ("leaf-word-and-count", (("spring 1", "leaf_broken", "no"), ("spring 1", "leaf_springs_broken", "1"))),
    ("broken-leaf-and-none-counted", (("spring 1", "leaf_broken", "yes"), ("spring 1", "leaf_springs_broken", "0"))),
    ("air-bag-that-is-none", (("spring 1", "air_bag_works", "yes"),)),
    ("height-of-a-bolster-spring", (
        ("spring 1", "spring_place", "equalizer"), ("spring 1", "bolster_spring_height", "8 in"),
    )),
    ("height-of-an-equalizer-spring", (
        ("spring 1", "spring_place", "bolster"), ("spring 1", "equalizer_spring_height", "8 in"),
    )),
    ("drive-of-a-generator", (("axle position 1", "driven", "generator"),)),
    ("tread-of-a-handhold", (("safety appliance 5", "tread_length", "12 in"),)),
    ("depth-of-a-handhold", (("safety appliance 5", "clear_depth", "9 in"),)),
    ("corner-of-a-handhold", (("safety appliance 5", "distance_from_corner", "12 in"),)),
    ("face-of-a-handhold", (("safety appliance 5", "distance_inside_face", "1 in"),)),
    ("projection-of-another-appliance", (("safety appliance 1", "projection", "1 in"),)),
    ("height-over-no-platform", (("safety appliance 5", "height_over_platform", "36 in"),)),
    ("wood-that-is-not", (("underframe", "wood_members", "no"), ("underframe", "wood_condition", "sound"))),
    ("camber-of-steel", (("underframe", "body_camber", "-13/16 in"),)),
    ("camber-of-steel", (("underframe", "body_camber", "2-9/16 in"),)),
    ("smallest-far-from-largest", (
        ("wheelset K-101", "back_to_back", "53 in"), ("wheelset K-101", "back_to_back_largest", "53-9/16 in"),
    )),
    # 2 x 45,000 lb of 143,300 lb are 63 %, 2 x 10,000 lb are 14 %
    ("trucks-of-the-car", (
        ("car", "gross_weight", "143300 lb"), ("truck A", "truck_weight", "45000 lb"),
        ("truck B", "truck_weight", "45000 lb"),
    )),
    ("trucks-of-the-car", (
        ("car", "gross_weight", "143300 lb"), ("truck A", "truck_weight", "10000 lb"),
        ("truck B", "truck_weight", "10000 lb"),
    )),
    ("load-is-stores", (
        ("car", "gross_weight", "143300 lb"), ("car", "light_weight", "125000 lb"),
        ("car", "tank_and_store_weight", "6299 lb"),
    )),
    # 85 ft long on 59 ft 6 in: 25 ft 6 in for both ends, 12 ft 9 in for each
    ("overhang-too-short", (
        ("car", "length_over_couplers", "85 ft"), ("car", "truck_centers", "59 ft 6 in"),
        ("car", "overhang_at_far_end", "9 ft 8-15/16 in"),
    )),
    ("overhang-too-long", (
        ("car", "length_over_couplers", "85 ft"), ("car", "truck_centers", "59 ft 6 in"),
        ("car", "overhang_at_far_end", "22 ft 6-1/16 in"),
    )),
    ("lowest-part-is-lowest", (
        ("body", "lowest_part_over_rail", "6 in"), ("car", "lowest_part_outboard_height", "4-7/8 in"),
    )),
    ("lowest-part-is-lowest-at-the-far-end", (
        ("body", "lowest_part_over_rail", "6 in"), ("car", "far_end_lowest_part", "4-7/8 in"),
    )),
    # 91,000 lb on two axles
    ("load-of-an-axle", (
        ("car", "gross_weight", "250000 lb"), ("car", "weight_on_truck_A", "159000 lb"),
        ("car", "weight_on_truck_B", "91000 lb"),
    )),
    ("center-plate-sound-and-cracked", (
        ("center plate B", "visible_condition", "sound"), ("center plate B", "visible_cracks", "1"),
    )),
    ("frame-sound-and-cracked", (("truck B", "frame_condition", "worn"), ("truck B", "frame_crack_length", "1/4 in"))),
    ("frame-sound-and-cracked-in-a-stress-area", (
        ("truck B", "frame_condition", "sound"), ("truck B", "frame_crack_in_stress_area", "yes"),
    )),
    ("weld-crack-without-a-weld", (
        ("safety appliance 1", "welded_directly", "no"), ("safety appliance 1", "bracket_welded", "no"),
        ("safety appliance 1", "weld_crack", "yes"),
    )),
    ("bolster-sound-and-cracked", (
        ("bolster B", "bolster_condition", "sound"), ("bolster B", "bolster_crack_length", "1/4 in"),
    )),
    ("center-sill-sound-and-cracked", (
        ("underframe", "center_sill_condition", "sound"), ("underframe", "center_sill_crack_length", "1/4 in"),
    )),
    ("center-sill-sound-and-bent", (
        ("underframe", "center_sill_condition", "sound"), ("underframe", "center_sill_bend", "2-9/16 in"),
    )),
    ("frame-cracked-since-it-had-no-crack", (("truck B", "frame_condition", "cracked"),)),
    ("bolster-cracked-since-it-had-no-crack", (("bolster B", "bolster_condition", "cracked"),)),
    ("center-sill-cracked-since-it-had-no-crack", (("underframe", "center_sill_condition", "cracked"),)),
    ("longest-flat-under-a-later-second", (("wheel K-101 left", "second_flat_length", "1/8 in"),)),
    ("longest-shelled-spot-under-a-later-second", (("wheel K-101 left", "second_shelled_length", "1/8 in"),)),
    ("chip-of-a-width-and-no-length", (("wheel K-101 left", "chip_width", "1/8 in"),)),
    ("center-pin-sound-and-worn", (("center pin B", "condition", "sound"), ("center pin B", "wear", "9/64 in"))),
    ("hangers-sound-and-worn", (("bolster B", "hangers_and_pins", "sound"), ("bolster B", "hanger_wear", "9/64 in"))),
    ("hand-brake-at-the-a-end", (
        ("end B", "hand_brake_at_this_end", "no"), ("end A", "hand_brake_at_this_end", "yes"),
    )),
    ("gas-bottles-without-gas", (("body", "gas_system", "none"), ("body", "gas_bottles_outside_and_vented", "no"))),
    ("bracket-welded-and-not", (
        ("safety appliance 5", "fastening", "welded bracket"), ("safety appliance 5", "bracket_welded", "no"),
    )),
    ("bolted-and-welded", (
        ("safety appliance 5", "fastening", "bolts"), ("safety appliance 5", "welded_directly", "yes"),
    )),
    # two cylinders of 14 in push with 18,473 lb at 60 psi: 12 times that is 171 % of 130,000 lb, 2.8 times 39.8 %
    ("ratio-of-a-brake", (("brake system", "lever_ratio", "12"), ("car", "light_weight", "130000 lb"),)),
    ("ratio-of-a-brake", (("brake system", "lever_ratio", "2.8"), ("car", "light_weight", "130000 lb"))),
    # outside of what is usual
    ("unusual", (("car", "height_over_rail", "17 ft"),)),
    ("unusual", (("wheel K-101 left", "flange_vertical_wear", "1 in"),)),
    ("unusual", (("truck B", "truck_swing_clearance", "3/16 in"),)),
    ("unusual", (("coupler B", "shank_clearance", "0 in"),)),
    ("unusual", (("wheelset K-101", "mounted_on", "1940"),)),
]  # fmt: skip


@pytest.mark.parametrize(("name", "entries"), SLIPS, ids=[f"{number} {name}" for number, (name, _) in enumerate(SLIPS)])
def test_a_slip_is_doubtful(name: str, entries: tuple[tuple[str, str, str], ...]) -> None:
    car = honest()[0]
    assert name not in doubts_in(car)
    assert name in doubts_in(with_entries(car, *entries))


def test_a_flange_nearly_worn_vertical_and_a_truck_or_shank_that_just_clears_are_not_doubted() -> None:
    entries = (
        ("wheel K-101 left", "flange_vertical_wear", "15/16 in"),
        ("truck B", "truck_swing_clearance", "1/4 in"),
        ("coupler B", "shank_clearance", "1/16 in"),
    )
    assert "unusual" not in doubts_in(with_entries(honest()[0], *entries))


def test_mates_half_an_inch_apart_and_a_worn_wheelset_beside_a_new_one_are_not_doubted() -> None:
    sizes = {"K-101 left": "36 in", "K-101 right": "35-1/2 in", "K-102 left": "33 in", "K-102 right": "33-3/8 in"}
    entries = [(f"wheel {wheel}", "measured_diameter", read) for wheel, read in sizes.items()]
    assert not {"mates-by-diameter", "wheels-of-one-truck"} & set(doubts_in(with_entries(honest()[0], *entries)))


def travels(first: str, second: str, adjuster: str, *, shoes: bool = False) -> CarRecord:
    """The car with the travel of both cylinders as read on two days, the shoes of an axle renewed between or not."""
    text = (CASE / "car.yaml").read_text(encoding="utf-8")
    work = "\nwork:\n  - {id: J-9, on: 2026-08-15, did: brake shoes renewed, at: L1, by: CW}\n" if shoes else ""
    for old, new in (
        ("slack_adjuster_fitted: yes", f"slack_adjuster_fitted: {adjuster}"),
        ("piston_travel: 7-1/2 in", f"piston_travel: {first}"),
        ("\nlog: ", "\n  - {on: 2026-08-30, by: NB, gauge: F-5, access: walking round, readings: {brake_cylinders: "
         f"{{all: {{piston_travel: {second}}}}}}}}}\n{work}\nlog: "),
    ):  # fmt: skip
        assert text.count(old) == 1
        text = text.replace(old, new)
    return read_car_text(text, "car.yaml")


@pytest.mark.parametrize(
    ("first", "second", "adjuster", "odd"),
    [
        ("9 in", "7-1/2 in", "no", True), ("9 in", "7-1/2 in", "yes", False), ("8-1/2 in", "7-1/2 in", "no", False),
        ("7-1/2 in", "9 in", "no", False), ("7-1/2 in", "9 in", "yes", False),
    ],
)  # fmt: skip
def test_piston_travel_grows_as_shoes_wear_and_shrinks_by_work_or_a_slack_adjuster(
    first: str, second: str, adjuster: str, odd: bool
) -> None:
    assert ("wear-only-goes-on" in doubts_in(travels(first, second, adjuster))) is odd
    assert "wear-only-goes-on" not in doubts_in(travels(first, second, adjuster, shoes=True))


@pytest.mark.parametrize(("first", "second", "odd"), [("6-1/2 in", "7-1/2 in", False), ("10 in", "8-1/2 in", True)])
def test_travel_that_grew_into_its_limits_is_not_asked_about_and_one_that_shrank_into_them_is(
    first: str, second: str, odd: bool
) -> None:
    # 7 to 9 in by the badge plate; the reader is nobody whom the host accepts
    planned, limit = honest()[1], compare("brake cylinder", "piston_travel", "at_least", Figure(inches(7, 1)))
    most = compare("brake cylinder", "piston_travel", "at_most", Figure(inches(9, 1)))
    unmet = cause("finding", verdicts=("unmet",), of="brake cylinder", effect="refuse")
    criteria = [criterion("least", "brake cylinder", limit), criterion("most", "brake cylinder", most)]
    rules = rulebook(criteria, [*REACH, consequence("cylinders-up", [unmet], CarriesUp(("brake system", "car")))])
    found = {one.name for one in judge(travels(first, second, "yes"), planned, rules, AS_OF).doubts}
    assert ("good-after-condemned" in found) is odd


def test_trucks_springs_and_car_kinds_that_go_together_are_not_doubted() -> None:
    entries = (
        ("truck B", "truck_weight", "20000 lb"), ("truck A", "truck_weight", "26000 lb"),
        ("spring 1", "bolster_spring_height", "9 in"), ("spring 7", "bolster_spring_height", "12 in"),
        ("spring 3", "equalizer_spring_height", "9 in"), ("spring 9", "equalizer_spring_height", "12 in"),
    )  # fmt: skip
    assert doubts_in(with_entries(honest()[0], *entries)) == doubts_in(honest()[0])
    personnel = (("car", "car_kind", "business car"), ("car", "designed_to_carry", "railroad personnel"))
    assert "designed-for-railroad-personnel" not in doubts_in(with_entries(honest()[0], *personnel))
    alike = (("truck B", "truck_kind", "three-axle"), ("truck B", "truck_weight", "34000 lb"))
    there = doubts_in(with_entries(honest()[0], *alike, ("truck A", "truck_weight", "20000 lb")))
    assert "trucks-of-one-weight" not in there  # their kinds differ, which is asked by itself


def test_a_truck_cylinder_beside_a_body_cylinder_may_be_of_another_size() -> None:
    sizes = (("diameter", "10 in"), ("nominal_stroke", "8 in"), ("badge_plate_travel", "5 in"), ("mounting", "truck"))
    entries = [("brake cylinder 2", name, value) for name, value in sizes]
    found = doubts_in(with_entries(honest()[0], *entries))
    assert not [name for name in found if name.startswith(("cylinders-of", "badge-plates"))]


# 105 % of 134,300 lb are 141,015 lb
@pytest.mark.parametrize(("on_b", "on_a", "odd"), [("70,500", "70,500", False), ("70,600", "70,500", True)])
def test_trucks_weighed_later_throw_doubt_on_an_older_gross_weight(on_b: str, on_a: str, odd: bool) -> None:
    text = (CASE / "car.yaml").read_text(encoding="utf-8")
    for section, added in (
        ("gauges", "S-9: {kind: track scale, reads_to: 100 lb, checked: 2026-01-14, due: 2027-01-14}"),
        ("sheets", f"- {{on: 2026-08-20, by: CW, gauge: S-9, readings: {{car: {{weight_on_truck_B: '{on_b} lb', "
         f"weight_on_truck_A: '{on_a} lb'}}}}}}"),
    ):  # fmt: skip
        assert text.count(f"\n{section}:\n") == 1
        text = text.replace(f"\n{section}:\n", f"\n{section}:\n  {added}\n")
    car, planned = read_car_text(text, "car.yaml"), honest()[1]
    doubts = doubts_of(Situation(stand(car, planned, AS_OF), planned, {}), NO_RULES)
    touched = {one.attribute for doubt in doubts if doubt.name == "trucks-outgrow-the-gross" for one in doubt.touched}
    assert touched == ({"gross_weight", "weight_on_truck_A", "weight_on_truck_B"} if odd else set())


SPOTS = [
    ("second_flat_length", "flat_spot_length", "longest-flat-under-a-later-second"),
    ("second_shelled_length", "shelled_spot_length", "longest-shelled-spot-under-a-later-second"),
]


@pytest.mark.parametrize(("second", "longest", "name"), SPOTS)
def test_a_second_spot_is_held_against_an_older_longest_alone(second: str, longest: str, name: str) -> None:
    wheel = "wheel K-101 left"
    at_one_time = with_entries(honest()[0], (wheel, longest, "3/8 in"), (wheel, second, "1/2 in"))
    assert name not in doubts_in(at_one_time)
    later = dated(at_one_time, wheel, longest, AS_OF - timedelta(days=1))
    assert name in doubts_in(later)
    not_longer = with_entries(honest()[0], (wheel, longest, "1/2 in"), (wheel, second, "1/2 in"))
    assert name not in doubts_in(dated(not_longer, wheel, longest, AS_OF - timedelta(days=1)))
    ran_off = dated(at_one_time, wheel, second, AS_OF - timedelta(days=1))
    assert name not in doubts_in(ran_off)


@pytest.mark.parametrize("certain", ["sure", "second reader"])
def test_what_was_certain_before_a_crack_was_found_does_not_hide_it(certain: str) -> None:
    """An older crack beside a frame that two people call sound since is settled; a crack measured since is not."""
    name, truck = "frame-sound-and-cracked", "truck B"
    told = with_entries(honest()[0], (truck, "frame_condition", "sound"), (truck, "frame_crack_length", "18 in"))

    def looked_at(sound_on: date, crack_on: date) -> CarRecord:
        car = dated(dated(told, truck, "frame_condition", sound_on), truck, "frame_crack_length", crack_on)
        (word,) = (one for one in car.evidence if one.id == f"slip {truck} frame_condition")
        if certain == "sure":
            others = [replace(word, sure="a photograph")]
        else:
            others = [word, replace(word, id="other", by=OTHER)]
        evidence = [*(one for one in car.evidence if one is not word), *others]
        evidence.sort(key=lambda one: one.on or date.min)
        return replace(car, evidence=tuple(evidence), by_part={}, last_day=date.min)

    assert name in doubts_in(looked_at(AS_OF - timedelta(days=2), AS_OF - timedelta(days=1)))
    assert name not in doubts_in(looked_at(AS_OF - timedelta(days=1), AS_OF - timedelta(days=2)))


@pytest.mark.parametrize(
    ("old", "new", "name"),
    [
        ("  1: {mounting: body, diameter: 14 in", "  1: {at: B, mounting: truck, diameter: 14 in", "air-to-the-truck"),
        ("connections_to_body: [brake rod, ground strap]",
         "connections_to_body: [brake rod, ground strap, slide-protection cable]", "cable-without-slide-protection"),
    ],
)  # fmt: skip
def test_what_ties_a_truck_to_the_body_goes_with_its_brake(old: str, new: str, name: str) -> None:
    text = (CASE / "car.yaml").read_text(encoding="utf-8")
    assert text.count(old) == 1
    assert name not in doubts_in(read_car_text(text, "car.yaml"))
    assert name in doubts_in(read_car_text(text.replace(old, new), "car.yaml"))


def test_the_end_with_the_only_hand_brake_is_the_b_end_though_no_end_says_its_stencil() -> None:
    """AAR interchange rules, rule 14: the B end is the one with the hand brake; with two the stencil tells."""
    text = (CASE / "car.yaml").read_text(encoding="utf-8")
    car = read_car_text(text.replace(" end_stencil: B,", "").replace(" end_stencil: A,", ""), "car.yaml")
    assert not any(one.attribute == "end_stencil" for one in car.evidence)
    name, key = "hand-brake-at-the-a-end", "hand_brake_at_this_end"
    assert name not in doubts_in(car)
    assert name in doubts_in(with_entries(car, ("end B", key, "no"), ("end A", key, "yes")))
    assert name not in doubts_in(with_entries(car, ("end A", key, "yes")))


LEGS = [
    ("plate B", "15 ft 4 in", []),
    ("plate B", "15 ft 4-1/2 in", ["plate-and-height"]),
    ("plate C", "15 ft 3 in", []),
    ("plate C", "15 ft 2-1/2 in", ["plate-and-height"]),
    ("plate E", "16 ft", []),
    ("plate F", "16 ft 8-1/2 in", ["plate-and-height"]),
]


@pytest.mark.parametrize(("plate", "height", "found"), LEGS)
def test_the_height_of_a_leg_is_that_of_its_plate(plate: str, height: str, found: list[str]) -> None:
    text = (CASE / "move.yaml").read_text(encoding="utf-8")
    assert text.count("clearance: plate B") == 2
    text = text.replace("clearance: plate B", f"clearance: {plate}, clearance_height: {height}", 1)
    asked = read_move_text(text, "move.yaml")
    doubts = doubts_of(Situation(stand(honest()[0], asked, AS_OF), asked, {}), NO_RULES)
    assert [one.name for one in doubts] == found


@pytest.mark.parametrize(
    ("train", "wheels", "found"),
    [
        ("freight", "49 CFR 215", []),
        ("excursion", "49 CFR 230", []),
        ("passenger", "49 CFR 215", ["text-for-the-wheels-of-a-passenger-train"]),
        ("freight", "49 CFR 230", ["steam-text-outside-excursions"]),
    ],
)
def test_a_text_for_wheels_goes_with_the_train(train: str, wheels: str, found: list[str]) -> None:
    text = (CASE / "move.yaml").read_text(encoding="utf-8")
    assert text.count("train: freight\n") == text.count("wheel_text: 49 CFR 215\n") == 1
    text = text.replace("train: freight\n", f"train: {train}\n").replace("49 CFR 215\n", f"{wheels}\n")
    asked = read_move_text(text, "move.yaml")
    doubts = doubts_of(Situation(stand(honest()[0], asked, AS_OF), asked, {}), NO_RULES)
    assert [one.name for one in doubts] == found


@pytest.mark.parametrize(
    ("gauge", "round_the_tread", "found"),
    [
        ("36 in", "113 in", []),  # 113/3.14159 = 35.97 in
        ("36 in", "112-9/16 in", []),  # 35.83 in, 0.17 in less
        ("36 in", "112-1/2 in", ["diameter-in-several-ways"]),  # 35.81 in, 0.19 in less
        ("36 in", "113-5/8 in", []),  # 36.17 in, 0.17 in more
        ("36 in", "113-11/16 in", ["diameter-in-several-ways"]),  # 36.19 in, 0.19 in more
    ],
)
def test_a_diameter_in_two_ways_may_differ_by_three_sixteenths(
    gauge: str, round_the_tread: str, found: list[str]
) -> None:
    wheel = "wheel K-101 left"
    car = with_entries(
        honest()[0], (wheel, "measured_diameter", gauge), (wheel, "measured_circumference", round_the_tread)
    )
    assert [one for one in doubts_in(car) if one == "diameter-in-several-ways"] == found


def test_the_way_back_is_as_long_as_the_way_out() -> None:
    planned = honest()[1]
    there = replace(planned.legs[0], number=1, start="Here", end="There")
    for miles, found in (("80 mi", []), ("79 mi", ["no-leg-the-long-way-round"])):
        back = value_of(miles, attribute("leg", "miles"))
        assert isinstance(back, Figure)
        out = value_of("100 mi", attribute("leg", "miles"))
        assert isinstance(out, Figure)
        legs = (
            replace(there, miles=out.quantity),
            replace(there, number=2, start="There", end="Here", miles=back.quantity),
        )
        asked = replace(planned, legs=legs)
        doubts = doubts_of(Situation(stand(honest()[0], asked, AS_OF), asked, {}), NO_RULES)
        assert [one.name for one in doubts] == found


def move_of(*legs: tuple[str, str, str]) -> Move:
    planned, read = honest()[1], []
    for number, (start, end, miles) in enumerate(legs, start=1):
        figure = value_of(miles, attribute("leg", "miles"))
        assert isinstance(figure, Figure)
        read.append(replace(planned.legs[0], number=number, start=start, end=end, miles=figure.quantity))
    return replace(planned, legs=tuple(read))


@pytest.mark.parametrize(
    ("legs", "touched"),
    [
        # 212 + 38 = 250 miles out
        ([("Q", "P", "212 mi"), ("P", "S", "38 mi"), ("S", "Q", "250 mi")], []),
        ([("Q", "P", "212 mi"), ("P", "S", "38 mi"), ("S", "q ", "25 mi")], ["leg 1", "leg 2", "leg 3"]),
        ([("Q", "P", "212 mi"), ("P", "S", "38 mi"), ("S", "Q", "2500 mi")], ["leg 1", "leg 2", "leg 3"]),
        # 20 % of 100 miles, by two legs and by one
        ([("A", "B", "50 mi"), ("B", "C", "30 mi"), ("C", "A", "100 mi")], []),
        ([("A", "B", "50 mi"), ("B", "C", "29 mi"), ("C", "A", "100 mi")], ["leg 1", "leg 2", "leg 3"]),
        # honest: round trips by another road, a last short leg home, two loops from one station
        ([("A", "B", "100 mi"), ("B", "C", "100 mi"), ("C", "A", "100 mi")], []),
        ([("C", "D", "1000 mi"), ("D", "M", "1085 mi"), ("M", "C", "85 mi")], []),
        ([("A", "A", "60 mi"), ("A", "A", "20 mi")], []),
    ],
)
def test_no_leg_goes_the_long_way_round(legs: list[tuple[str, str, str]], touched: list[str]) -> None:
    asked = move_of(*legs)
    doubts = doubts_of(Situation(stand(honest()[0], asked, AS_OF), asked, {}), NO_RULES)
    assert [one.name for one in doubts] == (["no-leg-the-long-way-round"] if touched else [])
    assert sorted(entry.part for one in doubts for entry in one.touched) == touched


LARKSPUR = Path("cases/larkspur/freight")
FASTER = "-train-faster-than-its-track"


@pytest.mark.parametrize(
    ("train", "speed", "classes", "doubted"),
    [
        # 49 CFR 213.9(a): freight 10, 10, 25, 40, 60, 80 mph; passenger -, 15, 30, 60, 80, 90 mph
        ("freight", "10 mph", ("excepted", "excepted"), ""), ("freight", "11 mph", ("excepted", "excepted"), "freight"),
        ("freight", "10 mph", ("1", "1"), ""), ("freight", "11 mph", ("1", "1"), "freight"),
        ("freight", "25 mph", ("2", "2"), ""), ("freight", "26 mph", ("2", "2"), "freight"),
        ("freight", "40 mph", ("3", "3"), ""), ("freight", "41 mph", ("3", "3"), "freight"),
        ("freight", "60 mph", ("4", "4"), ""), ("freight", "61 mph", ("4", "4"), "freight"),
        ("freight", "80 mph", ("5", "5"), ""), ("freight", "81 mph", ("5", "5"), "freight"),
        ("passenger", "15 mph", ("1", "1"), ""), ("passenger", "16 mph", ("1", "1"), "passenger"),
        ("passenger", "30 mph", ("2", "2"), ""), ("passenger", "31 mph", ("2", "2"), "passenger"),
        ("passenger", "60 mph", ("3", "3"), ""), ("passenger", "61 mph", ("3", "3"), "passenger"),
        ("passenger", "80 mph", ("4", "4"), ""), ("passenger", "81 mph", ("4", "4"), "passenger"),
        ("passenger", "95 mph", ("5", "5"), ""), ("passenger", "96 mph", ("5", "5"), "passenger"),
        # a train that no leg lets run so fast; one that one of them does, or may
        ("freight", "60 mph", ("4", "1"), ""), ("freight", "50 mph", ("3", "2"), "freight"),
        ("freight", "60 mph", ("1", ""), ""),
    ],
)  # fmt: skip
def test_a_train_is_no_faster_than_the_best_track_of_its_move(
    train: str, speed: str, classes: tuple[str, str], doubted: str
) -> None:
    assert doubts_of_move(train, speed, classes) == ([doubted + FASTER] if doubted else [])


@pytest.mark.parametrize(
    ("limits", "doubted"),
    [
        (("40 mph", "40 mph"), False),
        (("39 mph", "39 mph"), True),
        (("39 mph", "40 mph"), False),
        (("39 mph", ""), False),
    ],
)
def test_a_train_is_no_faster_than_the_fastest_leg_of_its_move(limits: tuple[str, str], doubted: bool) -> None:
    miles = tuple("96 mi" + (f", speed_limit: {one}" if one else "") for one in limits)
    found = doubts_of_move("passenger", "40 mph", ("4", "4"), miles=(miles[0], miles[1]))
    assert found == (["train-faster-than-every-leg"] if doubted else [])


@pytest.mark.parametrize(
    ("train", "rides", "carries", "sure", "doubted"),
    [
        ("passenger", "passengers", "", False, True), ("passenger", "passengers", "", True, False),
        ("passenger", "crew", "", False, False), ("passenger", "crew", "yes", False, True),
        ("passenger", "nobody", "no", False, False), ("excursion", "passengers", "", False, True),
        ("freight", "passengers", "", False, False),
    ],
)  # fmt: skip
def test_no_train_with_passengers_runs_on_excepted_track(
    train: str, rides: str, carries: str, sure: bool, doubted: bool
) -> None:
    classes = ("{reads: excepted, sure: by the timetable}" if sure else "excepted", "2")
    said = f"{rides}, sure: by the host's letter" if sure else rides
    found = doubts_of_move(train, "10 mph", classes, said, carries)
    assert found == (["passengers-on-excepted-track"] if doubted else [])


def test_what_the_move_file_says_with_sure_is_not_doubted() -> None:
    assert doubts_of_move("freight", "50 mph", ("1", "1")) == ["freight" + FASTER]
    assert doubts_of_move("freight", "{reads: 50 mph, sure: class 4 since May}", ("1", "1")) == []
    way = (("100 mi", "50 mi"), ("100 mi, sure: the new line is shorter", "50 mi, sure: so measured"))
    assert [doubts_of_move("freight", "40 mph", ("4", "4"), miles=one) for one in way] == [
        ["no-leg-the-long-way-round"], [],
    ]  # fmt: skip


def doubts_of_move(
    train: str,
    speed: str,
    classes: tuple[str, str],
    rides: str = "nobody",
    carries: str = "",
    miles: tuple[str, str] = ("96 mi", "96 mi"),
) -> list[str]:
    there, back = (
        f"{{from: {start}, to: {end}, miles: {far}" + (f", track_class: {one}}}" if one else "}")
        for (start, end), far, one in zip((("A", "B"), ("B", "A")), miles, classes, strict=True)
    )
    carried = f", carries_passengers: {carries}" if carries else ""
    text = (
        "format: carknocker-move/1\n"
        f"move: {{host: H, train: {train}, out: 2026-09-18, back: 2026-09-27, rides: {rides}}}\n"
        f"train: {{speed: {speed}{carried}}}\nlegs:\n  - {there}\n  - {back}\n"
    )
    planned, car = read_move_text(text, "move.yaml"), read_car(LARKSPUR / "car.yaml")
    found = doubts_of(Situation(stand(car, planned, planned.out), planned, {}), NO_RULES)
    return [one.name for one in found if all(entry.sort == "description" for entry in one.touched)]


def test_each_doubt_of_the_file_is_told_once_and_has_words() -> None:
    doubts = load_doubts()
    assert len({one.name for one in doubts}) == len(doubts) >= 60
    assert all(one.says and one.source for one in doubts)


# honest records


@pytest.mark.parametrize("file", sorted(str(file) for file in Path("cases").glob("**/car.yaml")))
def test_an_honest_demo_car_is_not_doubted(file: str) -> None:
    car = read_car(Path(file))
    planned = read_move(next(Path(file).parent.glob("*move*.yaml")))
    assert doubts_of(Situation(stand(car, planned, planned.out), planned, {}), NO_RULES) == ()


def honest_car(random: Random) -> CarRecord:
    """A car that wears honestly, read for five years by honest people with honest gauges, each sheet with its access;
    two of its axles are turned once, and taped before and after."""
    evidence: list[Evidence] = []
    years = [OUT - YEAR * number for number in range(5, -1, -1)]

    def read(
        part: str, name: str, true: float, on: date, step: int, access: Access = "walking round",
        after: frozenset[str] = frozenset(),
    ) -> None:  # fmt: skip
        told = max(round((true + random.gauss(0, 0.5 / step)) * step), 0)
        value = Figure(inches(told, step))
        evidence.append(
            reading(part, name, value, on, resolution=inches(1, step), access=frozenset({access}), after=after)
        )

    def tape(wheel: str, diameter: float, on: date, after: frozenset[str] = frozenset()) -> None:
        """By wheel tape, round the tread and by gauge, all on one day."""
        base, shop = 100, frozenset({"shop"})
        sizes = (diameter * pi - base) * 8 + random.gauss(0, 0.3)
        taped = Figure(Quantity.of("tapes", round(sizes), "tapes"))
        one = Quantity.of("tapes", 1, "tapes")
        evidence.append(reading(wheel, "tape_size", taped, on, resolution=one, access=shop, after=after))
        evidence.append(reading(wheel, "tape_base", Figure(inches(base, 1)), on, access=shop, after=after))
        evidence.append(reading(wheel, "tape_id", Word("T-1"), on, access=shop, after=after))
        read(wheel, "measured_circumference", diameter * pi, on, 16, "shop", after)
        read(wheel, "measured_diameter", diameter, on, 32, "shop", after)

    work: list[Work] = []
    for number in range(1, 5):
        back_to_back = 53.15 + random.random() / 10
        for on in years[::2]:
            read(f"wheelset W-{number}", "back_to_back", back_to_back, on, 32, "wheel free")
            read(f"wheelset W-{number}", "back_to_back_largest", back_to_back + 0.1, on, 32, "wheel free")
        rim, flange = 1.7 + random.random(), 1.1 + random.random() / 4
        cut = 0.1 + random.random() / 4
        day = years[3] - timedelta(days=random.randrange(40, 300))
        turned = number % 2 == 0
        job = f"J-{number}"
        for side in ("left", "right"):
            wheel, worn = f"wheel W-{number} {side}", random.random() / 40
            for age, on in enumerate(years):
                gone = cut if turned and on > day else 0
                since = age - (3 if gone else 0)
                read(wheel, "rim_thickness", rim - gone - age * worn, on, 16)
                read(wheel, "flange_thickness", flange - since * worn / 2, on, 16)
                read(wheel, "flange_height", 1.1 + since * worn / 2, on, 16)
                read(wheel, "tread_hollow", 0.05 + since * worn / 4, on, 32)
            diameter = 34 + 2 * (rim - 2 * worn)
            if turned:
                depth = Figure(inches(round(cut * 64), 64))
                work.append(Work(f"{job}{side}", False, "wheels turned", day, (wheel,), NOWHERE, facts={"cut": depth}))
                tape(wheel, diameter, day - timedelta(days=random.randrange(1, 20)))
                read(wheel, "rim_thickness", rim - 2 * worn, day - timedelta(days=1), 16, "shop")
                tape(wheel, diameter - 2 * cut, day, frozenset({f"{job}{side}"}))
                read(wheel, "rim_thickness", rim - cut - 2 * worn, day, 16, "shop", frozenset({f"{job}{side}"}))
            else:
                tape(wheel, diameter, day)
            evidence.append(reading(wheel, "crack_or_break", Word("no"), OUT))
    for end in "BA":
        for on in years:
            read(f"coupler {end}", "coupler_height", 33.2 + random.random() / 2, on, 8, "walking round")
    trucks = [66000 + random.randrange(4000) for _ in "AB"]
    for name, true in (
        ("weight_on_truck_A", trucks[0]),
        ("weight_on_truck_B", trucks[1]),
        ("gross_weight", sum(trucks)),
    ):
        weight = Quantity.of("weight", round((true + random.gauss(0, 150)) / 100) * 100, "lb")
        evidence.append(reading("car", name, Figure(weight), OUT, resolution=Quantity.of("weight", 100, "lb")))
    return car_record(evidence, work=work)


def test_an_honest_car_has_what_the_doubts_on_turning_tapes_and_access_look_at() -> None:
    car = honest_car(Random(1927))

    def told(slipped: CarRecord) -> set[str]:
        return {one.name for one in doubts_of(Situation(stand(slipped, move(), OUT), move(), {}), NO_RULES)}

    deeper = tuple(replace(job, facts={"cut": Figure(inches(1, 1))}) for job in car.work)
    assert told(replace(car, work=deeper)) == {"turned-as-cut"}
    walked = tuple(replace(one, access=frozenset({"walking round"})) for one in car.evidence)
    assert told(replace(car, evidence=walked, by_part={})) == {"out-of-reach"}
    smaller = tuple(
        replace(one, value=Figure(inches(33, 1))) if one.attribute == "measured_diameter" else one
        for one in car.evidence
    )
    assert "diameter-in-several-ways" in told(replace(car, evidence=smaller, by_part={}))


def test_at_most_one_false_doubt_in_300_honest_readings() -> None:
    random, doubts, readings = Random(1927), 0, 0
    for _ in range(30):
        car = honest_car(random)
        doubts += len(doubts_of(Situation(stand(car, move(), OUT), move(), {}), NO_RULES))
        readings += len(car.evidence)
    assert readings > 6000
    assert doubts * 300 <= readings


def test_what_a_relief_leaves_binds_also_where_it_is_granted_in_doubt_only() -> None:
    """Else a doubt would lift a restriction: a relief of mere advice leaves 40 mph."""
    slow = (Restriction("speed", quantity=Quantity("speed", 40, 1)),)
    advice = replace(NO_CRACK, id="test/advice", name="advice", effect="advise")
    met = cause("finding", verdicts=("met",), criteria=(OVER_AN_INCH.id,))
    eased = consequence("eased", [met], relieves(criteria=(advice.id,), of="wheel", leaves=slow))
    book = rulebook([replace(OVER_AN_INCH, effect="advise"), advice], [*REACH, eased])
    for thick, doubts in ((rim(20, OUT - YEAR), 0), (rim(20), 0), (rim(24), 1)):
        judgement = judge(car_record([rim(20, OUT - YEAR), thick]), move(), book, OUT)
        assert len(judgement.doubts) == doubts
        assert [one.said_by for one in judgement.restrictions] == ["test/eased"]
        assert len(judgement.reliefs) == (0 if doubts else 1)
    thin = judge(car_record([rim(15)]), move(), book, OUT)
    assert not thin.restrictions


# as a property

OUTCOMES = ("ready", "ready with restrictions", "repair move only", "not ready")


@settings(max_examples=examples(60), deadline=None)
@given(world=worlds(), chosen=st.randoms(use_true_random=False))
def test_no_doubt_makes_anything_better(world: tuple[CarRecord, Move, Rulebook], chosen: Random) -> None:
    car, planned, rules = world
    doubtful = [one for one in car.evidence if one.sort == "reading" and chosen.random() < 0.5]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(judge_module, "doubts_of", lambda situation, mending, limits: ())
        plain = judge(car, planned, rules, OUT)

        def doubting(situation: Situation, mending: Mending, limits: Limits) -> tuple[StandingDoubt, ...]:
            parts, odd = situation.standing.parts, ClauseFails("chosen")
            return tuple(StandingDoubt("chosen", parts[one.part], odd, (one,)) for one in doubtful if one.part in parts)

        patch.setattr(judge_module, "doubts_of", doubting)
        doubted = judge(car, planned, rules, OUT)
    assert OUTCOMES.index(doubted.outcome) >= OUTCOMES.index(plain.outcome)
    verdicts = {(one.criterion.id, one.part.key): one.verdict for one in plain.findings}
    for finding in doubted.findings:
        before = verdicts[finding.criterion.id, finding.part.key]
        assert WORST_FIRST.index(finding.verdict) <= WORST_FIRST.index(before)
