"""The figures that a move gives of a leg bind the car, whoever is the host; what it does not give is not asked."""

from datetime import date

import pytest
from case_list import CASES, library

from carknocker.judgement.answer import check
from carknocker.judgement.model import Finding
from carknocker.record import read_car_text, read_move_text

FOLDER = CASES / "larkspur" / "passenger"
CAR = (FOLDER / "car.yaml").read_text(encoding="utf-8")
MOVE = (FOLDER / "move.yaml").read_text(encoding="utf-8")
PLATE = "clearance: plate B"
WITH = "gross-weight-with-carried-wheelsets-within-the-leg"


def of_first_leg(name: str, said: str, *, car: str = CAR, host: str = "") -> Finding:
    """What a criterion of the trade says of the first leg, of which the move says something more."""
    move = MOVE.replace(PLATE, f"{PLATE}, {said}" if said else PLATE, 1)
    if host:
        move = move.replace("host: Kestrel & Northern", f"host: {host}\n  circular: none")
    answer = check(read_car_text(car, "car.yaml"), read_move_text(move, "move.yaml"), library(), date(2026, 9, 1))
    (found,) = (
        one
        for one in answer.judgement.findings
        if one.criterion.id == f"trade-practice/{name}" and one.part.key == "leg 1"
    )
    return found


# the car: 13 ft 6 in high, 10 ft wide, 67,400 lb on the two axles of truck B, 134,300 lb on 85 ft
@pytest.mark.parametrize(
    ("name", "said", "verdict"),
    [
        ("height-passes-on-the-leg", "clearance_height: 13 ft 6 in", "met"),
        ("height-passes-on-the-leg", "clearance_height: 161-63/64 in", "breached"),
        ("height-passes-on-the-leg", "", "not applicable"),
        ("height-within-the-plate", "", "met"),
        ("height-within-the-plate", "clearance_height: 13 ft 6 in", "not applicable"),
        ("width-passes-on-the-leg", "clearance_width: 10 ft", "met"),
        ("width-passes-on-the-leg", "clearance_width: 119-63/64 in", "breached"),
        ("width-passes-on-the-leg", "", "not applicable"),
        ("width-within-the-plate", "", "met"),
        ("width-within-the-plate", "clearance_width: 10 ft", "not applicable"),
        ("width-passes-with-its-swing", "", "not applicable"),
        ("width-passes-with-its-swing", "clearance_truck_centers: 59 ft 6 in", "met"),
        ("width-passes-with-its-swing", "clearance_truck_centers: 46 ft, clearance_width: 10 ft", "breached"),
        ("axle-load-within-the-leg", "axle_load_limit: 33699 lb", "breached"),
        ("axle-load-within-the-leg", "axle_load_limit: 35000 lb", "met"),
        ("axle-load-within-the-leg", "", "not applicable"),
        ("weight-per-foot-within-the-leg", "weight_per_foot_limit: 1579 lb", "breached"),
        ("weight-per-foot-within-the-leg", "weight_per_foot_limit: 1600 lb", "met"),
        ("weight-per-foot-within-the-leg", "", "not applicable"),
    ],
)
def test_a_car_is_held_against_what_the_leg_allows(name: str, said: str, verdict: str) -> None:
    found = of_first_leg(name, said)
    assert (found.verdict, found.effect) == (verdict, "refuse")


@pytest.mark.parametrize("host", ["", "Old Line"])
def test_the_gross_weight_is_held_against_the_leg_by_law_and_practice_alone_too(host: str) -> None:
    assert of_first_leg("gross-weight-within-the-leg", "", host=host).verdict == "met"
    limit = MOVE.replace("gross_limit: 220000 lb", "gross_limit: 134299 lb", 1)
    assert limit != MOVE
    move = limit.replace("host: Kestrel & Northern", f"host: {host}\n  circular: none") if host else limit
    answer = check(read_car_text(CAR, "car.yaml"), read_move_text(move, "move.yaml"), library(), date(2026, 9, 1))
    refused = {one.finding.criterion.id for one in answer.judgement.refusals if one.finding is not None}
    assert "trade-practice/gross-weight-within-the-leg" in refused
    assert answer.judgement.outcome == "not ready"


def test_a_leg_with_a_limit_asks_for_the_figure_of_the_car() -> None:
    low = CAR.replace("  height_over_rail: 13 ft 6 in\n", "", 1)
    assert low != CAR
    assert of_first_leg("height-passes-on-the-leg", "clearance_height: 13 ft 6 in", car=low).verdict == "not shown"
    assert of_first_leg("height-passes-on-the-leg", "", car=low).verdict == "not applicable"
    assert of_first_leg("height-within-the-plate", "", car=low).verdict == "not shown"


@pytest.mark.parametrize(
    ("height", "plate", "verdict"),
    [
        ("15 ft 1 in", "plate B", "met"),
        ("181-1/64 in", "plate B", "breached"),
        ("181-1/64 in", "plate C", "met"),
        ("16 ft 6 in", "plate F", "met"),
        ("16 ft 6 in", "no plate", "not applicable"),
    ],
)
def test_a_plate_binds_whoever_the_host_is(height: str, plate: str, verdict: str) -> None:
    """Plate B is 15 ft 1 in high, C 15 ft 6 in, F 17 ft: the figures of the AAR, from a secondary source."""
    car = CAR.replace("  height_over_rail: 13 ft 6 in\n", f"  height_over_rail: {height}\n", 1)
    move = MOVE.replace(PLATE, f"clearance: {plate}").replace(
        "host: Kestrel & Northern", "host: Old Line\n  circular: none"
    )
    answer = check(read_car_text(car, "car.yaml"), read_move_text(move, "move.yaml"), library(), date(2026, 9, 1))
    found = {
        one.verdict for one in answer.judgement.findings
        if one.criterion.id == "trade-practice/height-within-the-plate"
    }  # fmt: skip
    assert found == {verdict}


SPARE = """\
  K-109:
    where: carried
    axle_class: D
{weight}    journal_centers: 6 ft 5 in
    flange_kind: narrow
    mounted_on: 2018-10-02
    modified_from_standard: no
    bearings: {{class: sealed tapered cartridge, rollers: tapered, reconditioned_on: 2018-09-20}}
"""


def carrying(weight: str, aboard: str, *, on: str = "") -> str:
    """The car with a spare wheelset aboard. aboard: whether the scale ticket had it; on: said on a later day."""
    spare = SPARE.format(weight=f"    weight: {weight}\n" if weight else "")
    car = CAR.replace("  K-104: *wheelset\n", f"  K-104: *wheelset\n{spare}", 1)
    assert car != CAR
    ticket = "        gross_weight: 134,300 lb\n"
    if on:
        sheet = (
            f"  - {{on: {on}, by: CW, access: walking round, readings: {{car: {{spare_wheelset_aboard: {aboard}}}}}}}\n"
        )
        return car.replace("sheets:\n", f"sheets:\n{sheet}", 1)
    said = car.replace(ticket, f"{ticket}        spare_wheelset_aboard: {aboard}\n", 1) if aboard else car
    assert ticket in car
    return said


# 134,300 lb on the scale
@pytest.mark.parametrize(
    ("weight", "aboard", "limit", "verdict"),
    [
        ("2900 lb", "no", "138000 lb", "met"),
        ("2900 lb", "no", "137199 lb", "breached"),
        ("2900 lb", "yes", "135000 lb", "met"),
        ("", "yes", "134300 lb", "borderline"),
        ("", "yes", "134299 lb", "breached"),
        ("2900 lb", "", "220000 lb", "not shown"),
        ("", "no", "220000 lb", "not shown"),
    ],
)
def test_a_carried_wheelset_is_weighed_with_the_car(weight: str, aboard: str, limit: str, verdict: str) -> None:
    car = carrying(weight, aboard)
    move = MOVE.replace("gross_limit: 220000 lb", f"gross_limit: {limit}")
    answer = check(read_car_text(car, "car.yaml"), read_move_text(move, "move.yaml"), library(), date(2026, 9, 1))
    found = {
        one.part.key: one.verdict for one in answer.judgement.findings if one.criterion.id == f"trade-practice/{WITH}"
    }
    assert found == {"leg 1": verdict, "leg 2": verdict}
    refused = {one.finding.criterion.id for one in answer.judgement.refusals if one.finding is not None}
    assert (f"trade-practice/{WITH}" in refused) is (verdict in ("breached", "not shown"))


def test_a_car_that_carries_no_wheelset_and_a_leg_without_a_limit_ask_for_nothing() -> None:
    assert of_first_leg(WITH, "").verdict == "not applicable"
    shelf = carrying("", "").replace("where: carried", "where: on the shelf")
    assert of_first_leg(WITH, "", car=shelf).verdict == "not applicable"
    bare = MOVE.replace(", gross_limit: 220000 lb", "")
    assert bare != MOVE
    car = read_car_text(carrying("", ""), "car.yaml")
    judged = check(car, read_move_text(bare, "move.yaml"), library(), date(2026, 9, 1)).judgement
    assert {one.verdict for one in judged.findings if one.criterion.id == f"trade-practice/{WITH}"} == {
        "not applicable"
    }


@pytest.mark.parametrize(("on", "verdict"), [("2022-05-07", "met"), ("2022-05-05", "not shown")])
def test_what_was_said_of_an_earlier_weighing_says_nothing_of_the_last(on: str, verdict: str) -> None:
    """The scale ticket is of 2022-05-06."""
    assert of_first_leg(WITH, "", car=carrying("2900 lb", "no", on=on)).verdict == verdict


@pytest.mark.parametrize(
    ("aboard", "load", "foot"), [("yes", "met", "met"), ("no", "not shown", "breached"), ("", "not shown", "not shown")]
)
def test_axle_load_and_weight_per_foot_count_the_carried_wheelset(aboard: str, load: str, foot: str) -> None:
    """Without it 1,580 lb per foot; with 2,900 lb more 137,200 lb on 85 ft are 1,614 lb."""
    car = carrying("2900 lb", aboard)
    assert of_first_leg("axle-load-within-the-leg", "axle_load_limit: 35000 lb", car=car).verdict == load
    assert of_first_leg("weight-per-foot-within-the-leg", "weight_per_foot_limit: 1600 lb", car=car).verdict == foot


def test_another_spare_with_a_serial_is_no_wheelset() -> None:
    car = CAR.replace("  - {spare: air hose, carried: 1}", "  - {spare: knuckle, carried: 1, serial: X-1}", 1)
    assert car != CAR
    assert of_first_leg(WITH, "", car=car).verdict == "not applicable"
