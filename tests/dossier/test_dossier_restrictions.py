"""What a car that may move is restricted to, in few words beside its outcome."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.cli.inputs import Place, read_both
from carknocker.dossier.restrictions import restricted_to
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.index import JudgementIndex
from carknocker.questions.check.fleet_page import line_of
from carknocker.questions.plan.ask import plan
from carknocker.rulebook import load_library, rulesets_folders

CASES = Path(__file__).resolve().parents[2] / "cases"


def answer(name: str, day: date) -> CheckAnswer:
    car, move = read_both(Place(CASES / name, CASES), None)
    return check(car, move, load_library(rulesets_folders()), day)


@pytest.mark.parametrize(
    ("name", "day", "restricted"),
    [
        ("wren-hollow/after", date(2026, 10, 24), "70 mph"),
        ("wren-hollow/before", date(2026, 10, 8), ""),  # not ready
        ("larkspur/freight", date(2026, 9, 1), ""),  # ready
    ],
)
def test_what_restricts_the_car_stands_beside_its_outcome(name: str, day: date, restricted: str) -> None:
    found = answer(name, day)
    assert restricted_to(JudgementIndex(found.judgement)) == restricted
    assert line_of(found).restricted == restricted
    said = view_of(found).outcome_line
    assert said.startswith("READY WITH RESTRICTIONS: 70 mph; as far as") is bool(restricted)


def test_where_nothing_restricts_it_the_duty_that_is_a_condition_does() -> None:
    """Larkspur with a new wheelset: plain bearings, whose boxes are checked at the first stops."""
    after = plan(answer("larkspur/passenger", date(2026, 9, 1))).after
    assert after.outcome == "ready with restrictions"
    assert after.restrictions == ()
    assert restricted_to(JudgementIndex(after)) == "box check at first stops"
