"""A broken part stops a passenger car in a freight train too, where the text for freight cars lets it pass."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.judgement.answer import check
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text, read_move
from carknocker.rulebook import load_library, rulesets_folders

CASE = Path(__file__).parents[2] / "cases" / "larkspur" / "freight"
CAR = (CASE / "car.yaml").read_text(encoding="utf-8")
MOVE = read_move(CASE / "move.yaml")
LIBRARY = load_library(rulesets_folders())
FILE = "outside-passenger-trains.yaml"


def judged(readings: str) -> Judgement:
    """The demo car in its freight train, with one more sheet of the day before the page."""
    sheet = f"\nsheets:\n  - {{on: 2026-08-31, by: NB, access: pit, readings: {{{readings}}}}}\n"
    assert CAR.count("\nsheets:\n") == 1
    text = CAR.replace("\nsheets:\n", sheet)
    return check(read_car_text(text, "car.yaml"), MOVE, LIBRARY, date(2026, 9, 1)).judgement


@pytest.mark.parametrize(
    ("broken", "sound"),
    [
        ("springs: {1: {coil_broken: yes}}", "springs: {1: {coil_broken: no}}"),
        ("bolsters: {A: {spring_plank: cracked}}", "bolsters: {A: {spring_plank: sound}}"),
        ("trucks: {B: {frame_condition: cracked in a stress area}}", "trucks: {B: {frame_condition: sound}}"),
        ("axles: {1: {welded: yes}}", "axles: {1: {welded: no}}"),
        ("brake_rigging: {B: {beam_safety_support: no}}", "brake_rigging: {B: {beam_safety_support: yes}}"),
        ("shock_absorbers: {1: {secure: no}}", "shock_absorbers: {1: {secure: yes}}"),
        ("shock_absorbers: {1: {leaking: clearly formed droplets}}", "shock_absorbers: {1: {leaking: wet}}"),
        ("air_hoses: {1: {gasket: missing}}", "air_hoses: {1: {gasket: worn}}"),
    ],
)  # fmt: skip
def test_what_is_broken_is_refused_in_a_freight_train(broken: str, sound: str) -> None:
    refusals = [one.finding for one in judged(broken).refusals if one.finding is not None]
    assert {one.criterion.where.file.rpartition("/")[2] for one in refusals} == {FILE}
    assert judged(sound).refusals == ()
