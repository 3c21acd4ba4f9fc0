"""What would have to be otherwise, on the page of `why` and in its JSON."""

from __future__ import annotations

import json
import re
import sys
from datetime import date
from pathlib import Path

import pytest
from msgspec.structs import replace

from carknocker.page.model import Page
from carknocker.page.text import text_of
from carknocker.questions.why.ask import why
from carknocker.questions.why.json_form import why_json
from carknocker.questions.why.model import WhyAnswer
from carknocker.questions.why.page import otherwise_section, why_page
from carknocker.whatif.model import Dates, JobSaid, Otherwise, Sets, Stands, Window, WorkSet
from carknocker.whatif.otherwise import otherwise

sys.path.insert(0, str(Path(__file__).parents[1] / "cases"))
import case_list

NORTH = "two-nations/north"
JSON = (Path(__file__).parents[2] / "docs" / "json.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def whole() -> WhyAnswer:
    answer = case_list.answer(NORTH)
    return replace(why(answer), otherwise=otherwise(answer, case_list.library()))


def plain(page: Page) -> str:
    return re.sub(r"\s+", " ", text_of(page))


def test_the_page_says_what_would_pass_and_what_would_make_it_ready(whole: WhyAnswer) -> None:
    text = plain(why_page(whole))
    assert "would pass: longest flat spot 1-7/8 in or less; 3/8 in over" in text
    _, found, after = text.partition("WHAT WOULD MAKE IT READY")
    assert found
    assert "wheels turned at wheel L3, R3, L4, R4" in after or "wheels turned at wheel L3, L4, R3, R4" in after
    assert "No date helps; tried: departures from 2026-09-01 to 2027-10-06" in after
    assert "Wheel R3: slid flat 2-1/4 in; must be at most 2 in" in after


def test_a_part_is_answered_without_the_car(whole: WhyAnswer) -> None:
    del whole
    answer = why(case_list.answer(NORTH), "R3", "slid-flat")
    text = plain(why_page(answer))
    assert "would pass" in text
    assert "WHAT WOULD MAKE IT READY" not in text
    assert json.loads(why_json(answer))["otherwise"] is None


def test_json_has_every_way_and_the_car(whole: WhyAnswer) -> None:
    form = json.loads(why_json(whole))
    ways = [way for node in nodes(form["nodes"]) for way in node["nearest"]]
    assert {
        "part": "wheel K-103 right", "label": "wheel R3", "attribute": "flat_spot_length", "fact": None,
        "now": "2-1/4 in", "values": ["1-7/8 in"], "side": "or less", "short": "3/8 in", "dated": False,
        "borderline_at": "2 in",
    } in [way["changes"][0] for way in ways]  # fmt: skip
    assert form["otherwise"]["work"]["sets"][0]["bought"] == 0
    assert form["otherwise"]["dates"]["back_by"] is None
    assert [one["title"] for one in form["otherwise"]["dates"]["whatever"]] == [
        "Slid flat not longer than 2 in", "Shelled spot not longer than 1-1/4 in",
    ]  # fmt: skip


def test_every_key_of_it_is_documented(whole: WhyAnswer) -> None:
    documented = set(re.findall(r"`([a-z_]+)`", JSON))
    form = json.loads(why_json(whole))
    full = Otherwise(whole.otherwise.work, DATES) if whole.otherwise is not None else None
    windows = json.loads(why_json(replace(whole, otherwise=full)))["otherwise"]
    found = set(keys(form["otherwise"])) | set(keys(windows))
    found |= {key for node in nodes(form["nodes"]) for key in (*node, *keys(node["nearest"]))}
    assert found - documented == set()


def keys(value: object) -> list[str]:
    if isinstance(value, dict):
        return [*value, *(key for one in value.values() for key in keys(one))]
    return [key for one in value for key in keys(one)] if isinstance(value, list) else []


def nodes(found: list[dict[str, object]]) -> list[dict[str, object]]:
    return [one for node in found for one in (node, *nodes(node["because"]))]  # type: ignore[arg-type]


WINDOW = Window(date(2030, 5, 1), date(2030, 5, 9), date(2030, 5, 11), date(2030, 5, 19), False)
DATES = Dates(date(2030, 12, 30), WINDOW, WINDOW, date(2030, 5, 1), date(2031, 6, 5), 4, ())
NONE = replace(DATES, back_by=None, earlier=None, later=None)
ONE = WorkSet((JobSaid("wheels turned", ("wheel L1", "wheel R1"), ""),), ("only if it can",), 0)


@pytest.mark.parametrize(
    ("work", "dates", "words"),
    [
        (Sets((ONE,), False, (), 3), DATES, (
            "This set makes the car ready, if 3 readings, tests and papers turn out good; no job of it can be left",
            "wheels turned at wheel L1, R1; only if it can",
            "ready if back by 2030-12-30, leaving as planned",
            "ready leaving from 2030-05-01 to 2030-05-09 (back from 2030-05-11 to 2030-05-19)",
        )),
        (Sets((ONE, ONE), True, (Stands("No wood", ("underframe",)),), 0), NONE, (
            "Each of these sets clears all that work can clear; no job of it can be left out.",
            "There are more sets than these.", "No work on offer clears: - No wood: underframe",
            "No date helps; tried: departures from 2030-05-01 to 2031-06-05",
        )),
        (Sets((WorkSet((), (), 0),), False, (), 9), NONE, ("No work, if 9 readings, tests and papers turn out good",)),
        (Sets((), False, (), 0), NONE, ("No set of the work on offer suffices.",)),
        (Sets((), True, (), 0), NONE, ("The search for sets of work ended before one was found.",)),
        (Sets((), False, tuple(Stands(f"rule {number}", ()) for number in range(9)), 0), NONE, ("and 3 more",)),
    ],
)  # fmt: skip
def test_each_sort_of_answer_has_its_words(work: Sets, dates: Dates, words: tuple[str, ...]) -> None:
    page = Page("title", "verdict", "plain", (otherwise_section(Otherwise(work, dates)),))
    text = plain(page)
    for one in words:
        assert one in text, text
