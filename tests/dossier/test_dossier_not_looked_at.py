"""Parts that nobody looked at, which the host's inspector is left to do, are named where nothing keeps the car."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.dossier.first_page import first_page_of
from carknocker.judgement.answer import check
from carknocker.judgement.index import JudgementIndex
from carknocker.record import read_car_text
from carknocker.record.move_reader import read_move
from carknocker.rulebook.library import load_library, rulesets_folders

CASE = Path(__file__).resolve().parents[2] / "cases" / "larkspur" / "freight"
TEXT = (CASE / "car.yaml").read_text(encoding="utf-8")
LIBRARY = load_library(rulesets_folders())
HOSES = "      air_hoses:\n        all: {condition: sound, gasket: sound, hanging_height_right: yes}\n"
COCKS = "      cocks:\n        all: {works: yes}\n"
SAID = "No reading on record, so left to the host's inspector: "


def said(*changes: tuple[str, str]) -> tuple[str, list[str]]:
    """The outcome, and what is named."""
    text = TEXT
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    answer = check(read_car_text(text, "car.yaml"), read_move(CASE / "move.yaml"), LIBRARY, date(2026, 9, 1))
    found = first_page_of(JudgementIndex(answer.judgement))
    return answer.outcome, [one.words for one in found if one.sort == "not looked at"]


def test_of_a_car_that_was_looked_at_nothing_is_said() -> None:
    assert said() == ("ready", [])


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ([(HOSES, "")], "air hoses 1–6"),
        ([(HOSES, ""), (COCKS, "")], "air hoses 1–6; cocks 1–7"),
        ([(COCKS, COCKS.replace("all", '"1, 2, 3, 4, 5, 6"'))], "cock 7"),
        ([(COCKS, COCKS.replace("yes", "not accessible (painted over)"))], "cocks 1–7"),
    ],
)
def test_parts_that_nobody_looked_at_are_named(changes: list[tuple[str, str]], named: str) -> None:
    assert said(*changes) == ("ready", [SAID + named])


def test_a_reading_of_the_part_is_enough_though_the_inspector_looks_at_more() -> None:
    assert said((HOSES, HOSES.replace("condition: sound, ", ""))) == ("ready", [])


def test_where_something_keeps_the_car_the_list_of_what_is_missing_says_it() -> None:
    outcome, named = said((HOSES, ""), ("rim_thickness: 15/16 in", "rim_thickness: 1/2 in"))
    assert (outcome, named) == ("not ready", [])


OLD = "Looked at too long ago, so left to the host's inspector: "
LATER = "  - on: 2026-07-30\n    by: PD\n    gauge: F-3\n"


def looked_at(section: str, day: str) -> list[tuple[str, str]]:
    """The looks of a section as those of another day."""
    sheet = f"  - on: {day}\n    by: NB\n    readings:\n{section}\n"
    return [(section, ""), (LATER, sheet + LATER)]


@pytest.mark.parametrize(
    ("day", "named"),
    [
        ("2025-09-27", []),  # a year before the return, 2026-09-27
        ("2025-09-26", ["air hoses 1–6"]),
        ("2022-07-28", ["air hoses 1–6"]),
    ],
)
def test_parts_that_were_looked_at_longer_than_a_year_ago_are_named(day: str, named: list[str]) -> None:
    assert said(*looked_at(HOSES, day)) == ("ready", [OLD + one for one in named])


def test_what_was_found_bad_years_ago_still_keeps_the_car() -> None:
    assert said(*looked_at(HOSES.replace("sound", "chafed", 1), "2018-07-28")[1:], (HOSES, "")) == ("not ready", [])


AXLES = "      axles:\n        all: {crack: no, gouge_depth: 0 in, bent: no, overheated_journal: no}\n"


@pytest.mark.parametrize(("day", "outcome"), [("2025-09-27", "ready"), ("2025-09-26", "not ready")])
def test_wheels_axles_and_frames_have_to_be_looked_at_within_a_year(day: str, outcome: str) -> None:
    assert said(*looked_at(AXLES, day))[0] == outcome
