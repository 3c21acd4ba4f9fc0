"""Damage that is measured or counted keeps the car, though an older sheet calls the part sound, in every train."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders

CASES = Path(__file__).resolve().parents[2] / "cases"
LIBRARY = load_library(rulesets_folders())
FREIGHT, PASSENGER, CANADA = "larkspur/freight", "larkspur/passenger", "two-nations/north"


def judged(case: str, part: str = "", readings: str = "") -> Judgement:
    """The case with one more sheet, newer than all that it says of that part."""
    text = (CASES / case / "car.yaml").read_text(encoding="utf-8")
    sheet = f"""\
  - on: 2026-08-20
    by: CW
    gauge: F-5
    access: shop
    car: level track
    readings:
      {part}: {{{readings}}}
"""
    assert text.count("\nlog: {") == 1
    if part:
        text = text.replace("\nlog: {", f"\n{sheet}\nlog: {{")
    move = read_move_text((CASES / case / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    car = read_car_text(text, "car.yaml")
    return judge(car, move, LIBRARY.rulebooks(move).at_out, date(2026, 9, 1))


def refused(judgement: Judgement) -> set[tuple[str, str, str]]:
    found = (one.finding for one in judgement.refusals if one.finding is not None)
    return {(one.criterion.id, one.part.key, one.verdict) for one in found}


FOUND = [
    ("trucks", "B: {frame_crack_length: 18 in}"),
    ("trucks", "B: {frame_condition: cracked}"),
    ("bolsters", "B: {bolster_crack_length: 1/4 in}"),
    ("bolsters", "B: {bolster_condition: cracked}"),
    ("bolsters", "B: {bolster_condition: broken}"),
    ("underframe", "center_sill_crack_length: 8 ft"),
    ("underframe", "center_sill_bend: 6 in"),
    ("wheels", "L1: {second_flat_length: 5 in}"),
    ("wheels", "L1: {second_flat_length: 5 in, second_flat_adjoins: yes}"),
    ("wheels", "L1: {second_shelled_length: 5 in}"),
    ("wheels", "L1: {chip_width: 2 in}"),
]


@pytest.mark.parametrize("case", [FREIGHT, PASSENGER, CANADA])
@pytest.mark.parametrize(("part", "readings"), FOUND)
def test_damage_found_since_keeps_the_car(case: str, part: str, readings: str) -> None:
    more = refused(judged(case, part, readings)) - refused(judged(case))
    assert more
    assert {verdict for _, _, verdict in more} <= {"breached", "not shown"}


NONE_FOUND = [
    ("trucks", "B: {frame_crack_length: 0 in}"),
    ("bolsters", "B: {bolster_crack_length: 0 in}"),
    ("underframe", "center_sill_crack_length: 0 in, center_sill_bend: 1/2 in"),
    ("wheels", "L1: {second_flat_length: 0 in, second_shelled_length: 0 in, chip_width: 0 in}"),
]


@pytest.mark.parametrize("case", [FREIGHT, PASSENGER, CANADA])
@pytest.mark.parametrize(("part", "readings"), NONE_FOUND)
def test_no_damage_found_since_keeps_no_car(case: str, part: str, readings: str) -> None:
    assert refused(judged(case, part, readings)) == refused(judged(case))


@pytest.mark.parametrize(
    ("readings", "kept"),
    [
        ("bolster_condition: cracked, bolster_crack_length: 15/64 in", False),
        ("bolster_condition: cracked, bolster_crack_length: 1/4 in", True),
        ("bolster_condition: broken, bolster_crack_length: 0 in", True),
        ("bolster_condition: worn, bolster_crack_length: 0 in", False),
    ],
)
def test_a_bolster_is_not_broken_or_cracked_a_quarter_of_an_inch(readings: str, kept: bool) -> None:
    found = {name for name, _, _ in refused(judged(PASSENGER, "bolsters", f"B: {{{readings}}}"))}
    assert ("trade-practice/hangers-whole" in found) == kept
