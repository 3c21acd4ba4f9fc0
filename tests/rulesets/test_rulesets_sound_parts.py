"""What carries, guides and stops the car is refused cracked, bent or out of its place, whatever law binds the train."""

from pathlib import Path

import pytest

from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders

CASES = Path(__file__).resolve().parents[2] / "cases"
LIBRARY = load_library(rulesets_folders())
FREIGHT, PASSENGER, CANADA = "larkspur/freight", "wren-hollow/after", "two-nations/north"


def judged(case: str, old: str = "", new: str = "") -> Judgement:
    text = (CASES / case / "car.yaml").read_text(encoding="utf-8")
    assert old in text
    move = read_move_text((CASES / case / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    car = read_car_text(text.replace(old, new) if old else text, "car.yaml")
    return judge(car, move, LIBRARY.rulebooks(move).at_out, move.out)


def refusing(judgement: Judgement) -> set[str]:
    return {one.finding.criterion.id for one in judgement.refusals if one.finding is not None}


SLIPS = [
    ("bent: no", "bent: yes", "axle-straight"),
    ("transom_condition: sound", "transom_condition: cracked", "transom-whole"),
    ("axle_fasteners_tight: yes", "axle_fasteners_tight: no", "axle-fasteners-tight"),
    ("in_place: yes, lid", "in_place: no, lid", "box-in-place"),
    ("body_bolster_condition: sound", "body_bolster_condition: cracked", "body-bolster-whole"),
    ("draft_sill_and_striker_condition: sound", "draft_sill_and_striker_condition: cracked", "draft-sill-whole"),
    ("key_in_place: yes", "key_in_place: no", "shoe-keyed"),
    ("rod_clear_of_axle: yes", "rod_clear_of_axle: no", "rods-clear-of-axles"),
]


@pytest.mark.parametrize("case", [FREIGHT, CANADA])
@pytest.mark.parametrize(("old", "new", "criterion"), SLIPS)
def test_a_part_that_is_not_sound_keeps_the_car(case: str, old: str, new: str, criterion: str) -> None:
    before, after = judged(case), judged(case, old, new)
    name = f"trade-practice/{criterion}"
    assert name not in refusing(before)
    assert name in refusing(after)
    assert after.outcome == "not ready"


@pytest.mark.parametrize(("case", "was"), [(FREIGHT, "sound"), (CANADA, "sound"), (PASSENGER, "worn")])
@pytest.mark.parametrize("word", ["cracked", "broken", "missing"])
def test_hangers_that_are_cracked_broken_or_missing_keep_the_car(case: str, was: str, word: str) -> None:
    after = judged(case, f"hangers_and_pins: {was}", f"hangers_and_pins: {word}")
    assert "trade-practice/hangers-whole" in refusing(after)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("hangers_and_pins: sound", "hangers_and_pins: worn"),
        ("hangers_and_pins: sound", "hangers_and_pins: none fitted"),
        ("transom_condition: sound", "transom_condition: worn"),
        ("draft_sill_and_striker_condition: sound", "draft_sill_and_striker_condition: worn"),
    ],
)
def test_what_is_worn_or_not_fitted_is_not_refused(old: str, new: str) -> None:
    assert judged(FREIGHT, old, new).outcome == "ready"


def test_nobody_is_asked_before_the_move_for_what_no_law_asks() -> None:
    """A part that nobody read is left to the host's inspector."""
    after = judged(FREIGHT, "bent: no, ", "")
    assert after.outcome == "ready"
    assert {one.verdict for one in after.findings if one.criterion.id == "trade-practice/axle-straight"} == {
        "for the day"
    }
