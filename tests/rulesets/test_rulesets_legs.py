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
        ("width-passes-on-the-leg", "clearance_width: 10 ft", "met"),
        ("width-passes-on-the-leg", "clearance_width: 119-63/64 in", "breached"),
        ("width-passes-on-the-leg", "", "not applicable"),
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
