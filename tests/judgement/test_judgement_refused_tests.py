"""What a test tells beside its result is a reading of its day; and a test that says `passed` beside what says otherwise
failed."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

import pytest

from carknocker.documents import InputRefused
from carknocker.dossier.first_page import first_page_of
from carknocker.judgement.answer import check
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text, read_move
from carknocker.rulebook.library import Library, load_library, rulesets_folders

FREIGHT, PASSENGER = Path("cases/larkspur/freight"), Path("cases/larkspur/passenger")
AS_OF = date(2026, 9, 1)
SINGLE_CAR = "test: single-car brake test, on: 2026-05-20, by: PD, result: passed"
TESTS = "\ntests:\n"


@cache
def library() -> Library:
    return load_library(rulesets_folders())


def judged(folder: Path, *changes: tuple[str, str]) -> Judgement:
    text = (folder / "car.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return check(read_car_text(text, "car.yaml"), read_move(folder / "move.yaml"), library(), AS_OF).judgement


def with_test(folder: Path, test: str, *changes: tuple[str, str]) -> Judgement:
    return judged(folder, (TESTS, f"{TESTS}  - {{{test}}}\n"), *changes)


def refused(judgement: Judgement) -> set[str]:
    return {one.finding.criterion.name for one in judgement.refusals if one.finding is not None}


def said(judgement: Judgement) -> list[str]:
    return [one.words for one in first_page_of(JudgementIndex(judgement)) if one.words.startswith("On record: ")]


@pytest.mark.parametrize(("leakage", "failed"), [("5 psi/min", False), ("6 psi/min", True), ("30 psi/min", True)])
def test_a_single_car_test_that_says_a_leakage_beyond_the_limit_is_no_passed_one(leakage: str, failed: bool) -> None:
    """49 CFR 232.205(c)(1)(i): leakage of not more than 5 psi per minute."""
    judgement = judged(FREIGHT, (SINGLE_CAR, f"{SINGLE_CAR}, leakage: {leakage}"))
    assert ("freight-single-car-test-interval" in refused(judgement)) is failed
    assert judgement.outcome == ("not ready" if failed else "ready")
    words = f"On record: the single-car brake test of 2026-05-20 says passed, and leakage on test {leakage}: "
    assert any(one.startswith(words + "counted as failed, by us-federal/") for one in said(judgement)) is failed


def test_a_leakage_that_a_test_tells_counts_as_a_reading_of_its_day() -> None:
    """The sheet of 2026-07-30 has 1 psi a minute: what is told of an earlier day counts no longer, what is told of a
    later one does."""
    test = "test: brake leakage test, by: PD, result: failed, gauge: F-3, leakage: 30 psi/min"
    before, after = (with_test(FREIGHT, f"{test}, on: {day}") for day in ("2026-07-29", "2026-08-02"))
    assert "freight-brake-pipe-leakage" not in refused(before)
    assert "freight-brake-pipe-leakage" in refused(after)
    good = "test: brake leakage test, by: PD, result: passed, gauge: F-3, leakage: 2 psi/min, on: 2026-08-02"
    lost = ("brake_pipe_leakage: {before: 90 psi, after: 89 psi, minutes: 1}, ", "")
    assert "freight-brake-pipe-leakage" in refused(judged(FREIGHT, lost))
    assert with_test(FREIGHT, good, lost).outcome == "ready"
    # without a gauge, as any reading that one shows, it counts only against the car
    assert "freight-brake-pipe-leakage" in refused(with_test(FREIGHT, good.replace(", gauge: F-3", ""), lost))


def test_a_device_in_date_shows_a_leakage_and_one_that_was_due_does_not() -> None:
    lost = ("brake_pipe_leakage: {before: 90 psi, after: 89 psi, minutes: 1}, ", "")
    told = (SINGLE_CAR, f"{SINGLE_CAR}, leakage: 2 psi/min")
    assert judged(FREIGHT, lost, told).outcome == "ready"
    due = ("device_due: 2026-07-01", "device_due: 2026-05-19")
    assert "freight-brake-pipe-leakage" in refused(judged(FREIGHT, lost, told, due))


def test_two_figures_of_one_day_that_disagree_are_refused_at_the_line() -> None:
    test = "test: brake leakage test, by: PD, result: passed, gauge: F-3, on: 2026-07-30"
    assert with_test(FREIGHT, f"{test}, leakage: 1 psi/min").outcome == "ready"
    with pytest.raises(InputRefused) as problems:
        with_test(FREIGHT, f"{test}, leakage: 4 psi/min")
    assert "`brake_pipe_leakage` of brake system on 2026-07-30, which disagrees" in str(problems.value)


@pytest.mark.parametrize(("insulation", "failed"), [("1 megohm", False), ("0.9 megohm", True), ("0 ohm", True)])
def test_insulation_that_the_host_refuses_is_no_passed_test(insulation: str, failed: bool) -> None:
    """The invented circular asks for 1 megohm."""
    test = f"test: head-end power test, on: 2026-06-02, by: PD, result: passed, gauge: S-4, insulation: {insulation}"
    names = refused(with_test(PASSENGER, test))
    assert ("head-end-power-insulation" in names) is failed
    assert ("head-end-power-test-not-failed" in names) is failed


@pytest.mark.parametrize(
    ("test", "rule"),
    [
        ("class I brake test, result: failed", "class-one-test-not-failed"),
        ("running brake test, result: failed", "running-test-not-failed"),
        ("hand brake test, at: B, result: failed", "hand-brake-test-not-failed"),
        ("annual mechanical inspection, result: failed", "annual-inspection-not-failed"),
        ("end inspection, at: B, result: failed", "end-inspection-not-failed"),
        ("truck inspection, at: B, result: failed", "truck-inspection-not-failed"),
        ("electrical inspection, result: failed", "electrical-inspection-not-failed"),
        ("brake application and release, at: B, result: passed, shoes_free: no", "application-not-failed"),
        ("trucks-out inspection, at: B, result: passed, center_casting: cracked", "trucks-out-inspection-not-failed"),
    ],
)
def test_what_failed_is_refused_though_no_rule_asks_for_it(test: str, rule: str) -> None:
    judgement = with_test(FREIGHT, f"test: {test}, on: 2026-08-02, by: PD")
    assert rule in refused(judgement)
    good = test.replace("failed", "passed").replace("shoes_free: no", "shoes_free: yes").replace("cracked", "sound")
    assert with_test(FREIGHT, f"test: {good}, on: 2026-08-02, by: PD").outcome == "ready"
    failed_before = f"}}\n  - {{test: {test}, on: 2026-08-02, by: PD"
    anew = with_test(FREIGHT, f"test: {good}, on: 2026-08-03, by: PD, sure: what failed was put right{failed_before}")
    assert rule not in refused(anew)
    assert rule in refused(with_test(FREIGHT, f"test: {good}, on: 2026-08-03, by: PD{failed_before}"))


def test_a_press_record_that_is_not_at_hand_fails_no_mounting_check() -> None:
    judgement = judged(FREIGHT, ("press_record: yes", "press_record: no"))
    assert not any("counted as failed" in one for one in said(judgement))
    assert any("press record no" in one for one in said(judgement))
    assert "mounting-check-not-failed" not in refused(judgement)
