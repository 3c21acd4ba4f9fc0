"""A test that failed and was passed since: what answers it besides a job, and what the first page says of it."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.dossier.first_page import first_page_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text, read_move
from carknocker.rulebook import load_library, rulesets_folders

CASE = Path("cases/larkspur/freight")
LIBRARY = load_library(rulesets_folders())
DOUBT = "passed-after-failed"


def judged(tests: str, last: str = "", work: str = "", sheet: str = "") -> Judgement:
    """The demo car with tests before its own and after them. PD passed its hand brake on 2026-05-20."""
    text = (CASE / "car.yaml").read_text(encoding="utf-8").replace("\ntests:\n", f"\ntests:\n{tests}", 1)
    text = text.replace("\nsheets:\n", f"\nsheets:\n{sheet}", 1)
    text = text.replace("\nspares:\n", f"{last}\nspares:\n", 1)
    text = text.replace("\nmoves_made:\n", f"\nwork:\n  - {{id: J-1, {work}}}\nmoves_made:\n", 1) if work else text
    move = read_move(CASE / "move.yaml")
    return judge(read_car_text(text, "car.yaml"), move, LIBRARY.rulebooks(move).at_out, date(2026, 9, 1))


def hand_brake(on: str, result: str, by: str = "PD", more: str = "") -> str:
    return f"  - {{test: hand brake test, on: {on}, by: {by}, at: B, result: {result}{more}}}\n"


def doubted(judgement: Judgement) -> bool:
    return any(one.name == DOUBT for one in judgement.doubts)


def said(judgement: Judgement) -> str:
    return "\n".join(one.words for one in first_page_of(JudgementIndex(judgement)))


@pytest.mark.parametrize(
    ("tests", "doubtful"),
    [
        (hand_brake("2017-12-31", "failed"), False),  # before the log, which is complete since 2018-01-01
        (hand_brake("2018-01-01", "failed"), True),
        (hand_brake("2024-03-01", "failed"), True),
        (hand_brake("2024-03-01", "failed") + hand_brake("2025-03-02", "passed"), False),
        (hand_brake("2024-03-01", "failed") + hand_brake("2025-03-02", "passed", "NB"), True),  # nobody accepts NB
        (hand_brake("2025-05-21", "failed") + hand_brake("2026-05-19", "passed"), True),  # all within a year
        (hand_brake("2025-05-19", "failed") + hand_brake("2026-05-19", "passed"), False),
        (hand_brake("2026-05-18", "failed") + hand_brake("2026-05-19", "passed"), True),  # tried until it passed
    ],
)
def test_age_before_the_log_or_two_passed_tests_answer_a_failed_one(tests: str, doubtful: bool) -> None:
    judgement = judged(tests)
    assert doubted(judgement) is doubtful
    assert (judgement.outcome == "not ready") is doubtful
    named = "hand brake test of hand brake B, failed" in said(judgement)
    assert named is not doubtful


def test_no_second_test_takes_a_crack_out_of_an_axle() -> None:
    crack = "  - {{test: axle crack test, on: {}, by: CW, at: [K-101], result: {}, ndt_kind: ultrasonic}}\n"
    tests = [("2023-03-01", "failed"), ("2024-03-02", "passed"), ("2025-03-03", "passed")]
    assert doubted(judged("".join(crack.format(*one) for one in tests)))
    assert not doubted(judged("".join(crack.format(*one) for one in tests[1:])))


@pytest.mark.parametrize(
    ("before", "after", "ready"),
    [
        (hand_brake("2026-06-01", "failed"), hand_brake("2026-06-01", "passed", more=", sure: lever pinned"), True),
        (hand_brake("2026-06-01", "failed"), hand_brake("2026-06-01", "passed"), False),
        (hand_brake("2026-06-01", "passed", more=", sure: tried twice"), hand_brake("2026-06-01", "failed"), False),
        (hand_brake("2026-06-01", "failed"), hand_brake("2026-06-01", "passed", "NB", ", sure: pinned"), False),
    ],
)  # fmt: skip
def test_a_test_tried_again_on_its_day_says_what_failed_it_and_comes_later(
    before: str, after: str, ready: bool
) -> None:
    assert (judged(before, after).outcome == "ready") is ready


def test_an_inspection_answered_by_other_work_is_named_with_the_work() -> None:
    failed = (
        "  - {test: annual mechanical inspection, on: 2026-05-01, by: CW, result: failed, form: M-12,"
        " host: Kestrel & Northern}\n"
    )
    judgement = judged(failed, work="on: 2026-05-10, did: heat label renewed, at: L1, by: CW")
    assert "annual mechanical inspection" in said(judgement)
    assert "failed (2026-05-01, CW), passed (2026-05-19, CW), between them J-1 heat label renewed" in said(judgement)
    assert "Failed and passed since" not in said(judged(""))


def test_damage_of_before_the_log_is_named() -> None:
    sheet = "  - {on: 2012-05-01, by: NB, access: pit, readings: {trucks: {B: {frame_condition: cracked}}}}\n"
    words = said(judged("", sheet=sheet))
    assert "Damage of before the log is complete, with no job on record: " in words
    assert "truck B, cracked (2012-05-01, NB), is sound (2026-07-28, NB)" in words
    assert "put down the job that mended it (`truck frame repaired`" in said(
        judged("", sheet=sheet.replace("2012-05-01", "2020-05-01"))
    )
