"""Bad news on record is never silent: what no rule at hand asks about stands on the first page."""

import re
from datetime import date
from pathlib import Path

import pytest

from carknocker.dossier.first_page import first_page_of
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import check
from carknocker.judgement.index import JudgementIndex
from carknocker.record import read_car_text
from carknocker.record.move_reader import read_move
from carknocker.rulebook.library import load_library, rulesets_folders
from carknocker.whatif.missing_evidence import lacks_of

CASE = Path(__file__).resolve().parents[2] / "cases" / "larkspur" / "freight"
TEXT = (CASE / "car.yaml").read_text(encoding="utf-8")
LIBRARY = load_library(rulesets_folders())


def index_of(text: str = TEXT) -> JudgementIndex:
    move = read_move(CASE / "move.yaml")
    return JudgementIndex(check(read_car_text(text, "car.yaml"), move, LIBRARY, date(2026, 9, 1)).judgement)


def changed(old: str, new: str) -> JudgementIndex:
    assert TEXT.count(old) == 1, old
    return index_of(TEXT.replace(old, new))


def news(index: JudgementIndex) -> list[str]:
    return [one.words for one in first_page_of(index) if one.sort == "bad news"]


def test_of_a_car_without_bad_news_nothing_is_said() -> None:
    assert news(index_of()) == []


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (  # a freight text looks at it, and lets it pass where the plate is not discolored
            "overheated: no,", "overheated: yes,",
            "On record, and within every rule about it: overheated: yes (wheels L1–L4, R1–R4)",
        ),
        (
            "continuity: yes", "continuity: no",
            "On record, and no rule at hand asks: continuity of every phase: no (the head-end power)",
        ),
        (
            "gasket: sound", "gasket: worn",
            "On record, and within every rule about it: hose gasket: worn (air hoses 1–6)",
        ),
        (
            "chain: sound", "chain: worn",
            "On record, and left to the host's inspector: hand-brake chain: worn (hand brake B)",
        ),
        (
            "emergency_exit_tools: no tool needed", "emergency_exit_tools: not marked",
            "On record, and no rule at hand asks: tools for the emergency window exits: not marked (the body)",
        ),
        (
            "glazing_class: certified", "glazing_class: not certified",
            "On record, and only advised against: glazing class: not certified (the body)",
        ),
        (  # NAVFAC P-301 advises; no text refuses
            "vertical_play: no", "vertical_play: yes",
            "On record, and only advised against: visible vertical play: yes (bearings L1–L4, R1–R4)",
        ),
        (  # the host's circular advises
            "rotation: smooth", "rotation: rough",
            "On record, and only advised against: rotation: rough (bearings L1–L4, R1–R4)",
        ),
    ],
)  # fmt: skip
def test_bad_news_that_costs_nothing_is_said_in_groups(old: str, new: str, said: str) -> None:
    assert news(changed(old, new)) == [said]


def test_the_outcome_does_not_say_that_nothing_is_wrong_beside_bad_news() -> None:
    def line(text: str) -> str:
        move = read_move(CASE / "move.yaml")
        return view_of(check(read_car_text(text, "car.yaml"), move, LIBRARY, date(2026, 9, 1))).outcome_line

    assert "Nothing on record keeps this car from moving" in line(TEXT)
    worse = line(TEXT.replace("continuity: yes", "continuity: no"))
    assert worse.startswith("READY")
    assert "No rule at hand keeps this car from moving, but there is bad news about which none asks" in worse
    assert "othing on record" not in worse


@pytest.mark.parametrize(
    ("old", "new", "criterion"),
    [
        ("{marker_fitted: yes, lit: yes", "{marker_fitted: no, lit: yes", "us-federal/marker-fitted"),
        ("body_condition: sound, pin", "body_condition: broken, pin", "us-federal/coupler-freight-text"),
    ],
)
def test_what_a_rule_counts_against_the_car_is_not_said_again(old: str, new: str, criterion: str) -> None:
    index = changed(old, new)
    assert criterion in {one.finding.criterion.id for one in index.judgement.refusals if one.finding is not None}
    assert news(index) == []


def test_a_reservoir_that_is_not_secure_is_refused_or_said() -> None:
    index = changed("reservoirs:\n        all: {secure: yes}", "reservoirs:\n        all: {secure: no}")
    refused = {one.finding.part.kind for one in index.judgement.refusals if one.finding is not None}
    assert "reservoir" in refused or "secure: no" in " ".join(news(index))


def test_the_oldest_reading_that_no_rule_ages_is_named() -> None:
    (said,) = [one.words for one in first_page_of(index_of()) if one.sort == "oldest"]
    assert re.fullmatch(r"Oldest reading or test that no rule asks to renew: .+ \(.+\), 20\d\d-\d\d-\d\d", said)


def test_a_sheet_of_years_ago_is_told_with_how_many_readings_stand_on_it() -> None:
    """The pit sheet of the demo car moved to 2022: what no rule asks to renew counts on, and the first page says so;
    truck weights of 2022, which the demo car has, are not counted."""
    pit = "  - on: 2026-07-28\n    by: NB\n    gauge: F-5\n    access: pit\n"
    index = changed(pit, pit.replace("2026", "2022"))
    (said,) = [one for one in first_page_of(index) if one.sort == "oldest"]
    assert re.search(r"\(axle of K-101\), 2022-07-28; \d\d such readings are over a year old on departure$", said.words)
    assert not said.at_once  # more than that keeps the car
    assert "over a year old" not in next(one.words for one in first_page_of(index_of()) if one.sort == "oldest")


def test_what_is_over_a_year_old_is_told_at_once_where_nothing_keeps_the_car() -> None:
    welds = "      safety_appliances:\n        all: {welded_directly: no, bracket_welded: no}\n"
    sheet = f"  - on: ON\n    by: CW\n    access: pit\n    readings:\n{welds}"
    (fresh,) = [one for one in first_page_of(changed(welds, sheet.replace("ON", "2025-09-18"))) if one.sort == "oldest"]
    assert not fresh.at_once
    assert "over a year old" not in fresh.words  # on departure, 2026-09-18, just a year
    index = changed(welds, sheet.replace("ON", "2025-09-17"))
    (said,) = [one for one in first_page_of(index) if one.sort == "oldest"]
    assert said.words.endswith(" such readings are over a year old on departure")
    assert not index.judgement.refusals
    assert said.at_once


PASSENGER = CASE.parent / "passenger"


def passenger_index(old: str, new: str) -> JudgementIndex:
    text = (PASSENGER / "car.yaml").read_text(encoding="utf-8")
    assert text.count(old) == 1, old
    move = read_move(PASSENGER / "move.yaml")
    car = read_car_text(text.replace(old, new), "car.yaml")
    return JudgementIndex(check(car, move, LIBRARY, date(2026, 9, 1)).judgement)


@pytest.mark.parametrize(
    ("frame", "verdict", "told"),
    [
        ("frame_condition: worn", "met", []),
        ("frame_condition: cracked", "not shown", []),
        (
            "frame_condition: cracked, frame_crack_in_stress_area: no", "met",
            ["On record, and within every rule about it: truck frame condition: cracked (trucks B, A)"],
        ),
        ("frame_condition: cracked, frame_crack_in_stress_area: yes", "breached", []),
    ],
)  # fmt: skip
def test_a_cracked_frame_passes_only_where_the_record_says_where_the_crack_is(
    frame: str, verdict: str, told: list[str]
) -> None:
    index = passenger_index("frame_condition: sound, frame_crack_length: 0 in", frame)
    found = [one for one in index.judgement.findings if one.criterion.id == "us-federal/truck-frame"]
    assert {one.verdict for one in found} == {verdict}
    refused = {one.finding.criterion.id for one in index.judgement.refusals if one.finding is not None}
    assert ("us-federal/truck-frame" in refused) == (verdict != "met")
    assert [one for one in news(index) if "frame" in one] == told


def test_where_a_crack_is_asked_only_of_a_cracked_frame() -> None:
    def asked(frame: str) -> set[str]:
        index = passenger_index("frame_condition: sound, frame_crack_length: 0 in,", frame)
        lacks = (
            lacks_of(one, index) for one in index.judgement.findings if one.criterion.id == "us-federal/truck-frame"
        )
        return {lack.attribute.name for found in lacks for lack in found}

    assert asked("") == {"frame_condition"}
    assert asked("frame_condition: cracked,") == {"frame_crack_in_stress_area"}


def test_what_every_rule_lets_pass_stands_under_the_outcome_only_of_a_car_that_nothing_keeps() -> None:
    overheated = TEXT.replace("overheated: no,", "overheated: yes,")
    kept = overheated.replace("{marker_fitted: yes, lit: yes", "{marker_fitted: no, lit: yes")
    for text, at_once in ((overheated, True), (kept, False)):
        index = index_of(text)
        assert bool(index.judgement.refusals) != at_once
        (said,) = [one for one in first_page_of(index) if "within every rule" in one.words]
        assert said.at_once == at_once
