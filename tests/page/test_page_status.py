"""How a source was read is carried through to every page; what rests on memory or inference says: check the text."""

import json
from datetime import date
from pathlib import Path
from typing import get_args

import pytest

from carknocker.cli.inputs import Place, read_both
from carknocker.dossier.view import View, view_of
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.page.edition_json import editions_json
from carknocker.page.text import text_of
from carknocker.questions.check.appendix_page import appendix_page
from carknocker.questions.check.dossier_page import dossier_page
from carknocker.questions.check.page import page_of
from carknocker.questions.rules_show.ask import show_rules
from carknocker.questions.rules_show.page import rules_page
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.model import Source, Status
from carknocker.wording.sources import source_words

CASES = Path(__file__).resolve().parents[2] / "cases"
CHECK = "check the current text"


@pytest.fixture(scope="module")
def answer() -> CheckAnswer:
    car, move = read_both(Place(CASES / "wren-hollow" / "before", CASES), None)
    return check(car, move, load_library(rulesets_folders()), date(2026, 10, 8))


@pytest.fixture(scope="module")
def view(answer: CheckAnswer) -> View:
    return view_of(answer)


@pytest.mark.parametrize("status", get_args(Status))
def test_the_status_stands_beside_the_place(status: Status) -> None:
    said = source_words(Source("49 CFR", "1.2", "words", "law", status, "2015"))
    doubtful = status in ("from memory", "inference")
    assert said == f"49 CFR 1.2 (2015, {status}{f': {CHECK}' if doubtful else ''}): “words”"


def test_a_blocker_that_rests_on_inference_says_so(view: View) -> None:
    by_criterion = {name: one.source for one in view.items.blockers for name in one.criterion.split(", ")}
    assert CHECK in by_criterion["us-federal/single-car-test-stands"]
    assert CHECK not in by_criterion["us-federal/flange-thickness"]


def test_the_page_lists_how_the_sources_were_read_and_what_to_look_up(answer: CheckAnswer, view: View) -> None:
    *counted, to_check = view.sources.lines
    assert any(" inference: " in line for line in counted)
    assert to_check.startswith("CHECK THE CURRENT TEXT")
    for section in ("238.311(a)", "229.63(a)", "231.31(a)(1)"):
        assert section in to_check
    assert "238.303(e)(8)(vi)" not in to_check
    assert "How the sources of the rules that apply here were read" in text_of(appendix_page(answer), 100)
    assert "How the rules were read" in text_of(dossier_page(answer), 100)
    assert "rest on memory or inference: check the current text" in " ".join(text_of(page_of(view), 100).split())


def test_rules_show_carries_the_status() -> None:
    library = load_library(rulesets_folders())
    shown = show_rules(library, "us-federal", "2015", "single-car-test-stands")
    assert f"inference (2015): {CHECK}" in text_of(rules_page(shown), 120)
    assert json.loads(editions_json((shown.edition,), shown.rules))["rules"][0]["source"]["check_current_text"] is True
    shown = show_rules(library, "us-federal", "2015", "daily-exterior-inspection")
    page = text_of(rules_page(shown), 120)
    assert "read (2015)" in page
    assert CHECK not in page
