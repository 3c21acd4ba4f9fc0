"""A car of which nothing is known reads NOT YET LOOKED AT; with one fault, or half of it settled, it is NOT READY."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.dossier.looked_at import LookedAt, not_yet_looked_at
from carknocker.dossier.view import View, view_of
from carknocker.judgement.answer import check
from carknocker.judgement.index import JudgementIndex
from carknocker.questions.due.ask import due
from carknocker.questions.plan.ask import plan
from carknocker.questions.plan.page import verdict_words
from carknocker.questions.request.ask import request
from carknocker.record import read_car_text, read_move
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.library import Library
from carknocker.vocabulary import load_vocabulary

CASES = Path(__file__).parents[2] / "cases"
DAY = date(2026, 10, 8)
BARE = (CASES / "nothing-measured" / "car.yaml").read_text(encoding="utf-8")
READ = """
people: {RE: {role: owner}}
sheets:
  - {on: 2026-09-01, by: RE, access: walking round, readings: {READINGS}}
"""
LOOKED_AT = "NOT YET LOOKED AT: 1 of 12 systems settled, nothing read so far shows a fault."


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library(rulesets_folders())


def view(text: str, library: Library, case: str = "nothing-measured") -> View:
    return view_of(check(read_car_text(text, "car.yaml"), read_move(CASES / case / "move.yaml"), library, DAY))


def test_a_car_of_which_nothing_is_known(library: Library) -> None:
    found = view(BARE, library)
    assert found.outcome_line == LOOKED_AT
    assert found.outcome == "not ready"
    assert found.blocker_count > 1


@pytest.mark.parametrize(
    ("readings", "word"),
    [
        ("{wheels: {L1: {thermal_crack: no}}}", "NOT YET LOOKED AT"),
        ("{wheels: {L1: {thermal_crack: yes}}}", "NOT READY"),
    ],
)
def test_every_sheet_and_page_says_the_outcome_as_the_dossier_does(readings: str, word: str, library: Library) -> None:
    car = read_car_text(BARE + READ.replace("{READINGS}", readings), "car.yaml")
    answer = check(car, read_move(CASES / "nothing-measured" / "move.yaml"), library, DAY)
    line = view_of(answer).outcome_line
    asked = request(answer)
    (state,) = [one for one in asked.sections if one.heading == "The car as on record"]
    assert line.startswith(f"{word}: ")
    assert state.lines[0].text == line.removesuffix(".")
    assert asked.head is not None
    assert asked.head.told.startswith(f"{word}: ")
    assert verdict_words(plan(answer)).startswith(f"PLAN: the car is {word}")
    assert due(answer, library).said == word


@pytest.mark.parametrize(
    ("readings", "line"),
    [
        ("{wheels: {L1: {thermal_crack: no}}}", "NOT YET LOOKED AT"),
        ("{wheels: {L1: {thermal_crack: yes}}}", "NOT READY"),
        ("{wheels: {L1: {rim_thickness: 1/2 in}}}", "NOT READY"),
        ("{wheels: {L1: {tire_thickness: 3/4 in}}}", "NOT READY"),  # nobody says whether the wheel has a tire
        ("{bearings: {L1: {pad: missing}}}", "NOT READY"),
        ("{brake_shoes: {L1: {thickness: 1/4 in}}}", "NOT READY"),
        ("{boxes: {L1: {lid: closed}}}", "NOT YET LOOKED AT"),
        ("{boxes: {L1: {lid: broken}}}", "NOT READY"),
    ],
)
def test_one_fault_is_enough(readings: str, line: str, library: Library) -> None:
    assert view(BARE + READ.replace("{READINGS}", readings), library).outcome_line.startswith(f"{line}: ")


def test_with_half_of_the_systems_settled_it_is_not_ready(library: Library) -> None:
    """Of a car of which all is shown, what is read of the wheels alone is left out."""
    text = (CASES / "larkspur" / "passenger" / "car.yaml").read_text(encoding="utf-8")
    less = "\n".join(line for line in text.splitlines() if "flange_thickness" not in line)
    assert less != text
    found = view(less, library, "larkspur/passenger")
    assert found.outcome == "not ready"
    assert found.outcome_line.startswith("NOT READY: ")


def test_a_ready_car_has_nothing_of_it(library: Library) -> None:
    text = (CASES / "larkspur" / "passenger" / "car.yaml").read_text(encoding="utf-8")
    answer = check(
        read_car_text(text, "car.yaml"), read_move(CASES / "larkspur" / "passenger" / "move.yaml"), library, DAY
    )
    assert not_yet_looked_at(JudgementIndex(answer.judgement)) is None


def test_each_kind_of_part_belongs_to_a_system() -> None:
    kinds = load_vocabulary().kinds
    without = {name for name, kind in kinds.items() if not kind.system}
    assert without == {"move", "train", "leg"}
    assert len({kind.system for kind in kinds.values() if kind.system}) == 12
    assert LookedAt(1, 12).of == 12
