"""What a host's letter lets pass: a requirement of his own circular, under what the letter says; no law, no crack."""

from datetime import date
from functools import cache
from pathlib import Path

import pytest

from carknocker.dossier.heading import outcome_line
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text
from carknocker.record.move_reader import read_move
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.library import Library

CASE = Path(__file__).resolve().parents[2] / "cases" / "larkspur" / "freight"
CAR = (CASE / "car.yaml").read_text(encoding="utf-8")
DAY = date(2026, 9, 1)
LETTER = """
leaves:
  - {id: V-1, host: Kestrel & Northern, criterion: CRITERION, at: AT, from: 2026-09-01, until: 2026-12-31, for: move,
     signed_by: chief mechanical officer, signed_on: 2026-08-20, paper: letter 7, leaves: none}
"""
LOW = ("coupler_height: {reads: 33-1/2 in", "coupler_height: {reads: 31-7/8 in")


@cache
def _library() -> Library:
    return load_library(rulesets_folders())


def judged(change: tuple[str, str], letter: str) -> Judgement:
    assert CAR.count(change[0]) == 1
    move = read_move(CASE / "move.yaml")
    text = CAR.replace(*change) + letter
    return judge(read_car_text(text, "car.yaml"), move, _library().rulebooks(move).at_out, DAY)


def letter(criterion: str, at: str) -> str:
    return LETTER.replace("CRITERION", criterion).replace("AT,", f"{at},")


def sheet(readings: str) -> tuple[str, str]:
    """A sheet more, before the log."""
    return ("\nlog: {", f"\n  - on: 2026-07-31\n    by: CW\n    readings:\n      {readings}\n\nlog: {{")


@pytest.mark.parametrize(
    ("readings", "criterion", "at"),
    [
        ("axles: {1: {crack: yes}}", "us-federal/axle-crack", "axle 1"),
        ("wheels: {L1: {crack_or_break: yes}}", "us-federal/wheel-crack-215", "wheel L1"),
        ("wheels: {L1: {loose_on_axle: yes}}", "us-federal/loose-wheel-215", "wheel L1"),
        ("wheels: {L1: {weld: yes}}", "us-federal/welded-wheel-215", "wheel L1"),
    ],
)
def test_no_letter_lets_a_cracked_axle_or_a_loose_wheel_run(readings: str, criterion: str, at: str) -> None:
    found = judged(sheet(readings), letter(criterion, at))
    assert found.outcome == "not ready"
    assert not found.reliefs
    assert any("Permission V-1 relieves nothing" in note for note in found.notes)
    (rule,) = (one for one in found.rulebook.criteria if one.id == criterion)
    assert rule.relieved_by_law_alone


def test_a_letter_lets_a_coupler_run_lower_than_the_circular_asks() -> None:
    """32 in is the circular's; the law's 31-1/2 in is met."""
    assert judged(LOW, "").outcome == "not ready"
    found = judged(LOW, letter("kestrel-and-northern/coupler-height", "[coupler B, coupler A]"))
    assert found.outcome == "ready with restrictions"
    assert "under written permission V-1 of Kestrel & Northern" in outcome_line(found, 0)
    one_end = judged(LOW, letter("kestrel-and-northern/coupler-height", "coupler B"))
    assert one_end.outcome == "not ready"


@pytest.mark.parametrize(
    ("said", "left_out", "why"),
    [
        (" at: coupler B,", "", "does not say for which part it is (`at`)"),
        (" signed_on: 2026-08-20,", "", "does not say when it was signed"),
        (", leaves: none", "", "does not say its speed, place, riders and tag"),
        ("leaves: none", "leaves: {place: none, riders: none, tag: none}", "does not say its speed "),
    ],
)
def test_a_letter_that_leaves_something_out_relieves_nothing(said: str, left_out: str, why: str) -> None:
    given = letter("kestrel-and-northern/coupler-height", "coupler B")
    assert said in given
    found = judged(LOW, given.replace(said, left_out))
    assert found.outcome == "not ready"
    assert not found.reliefs
    assert any(why in note for note in found.notes), found.notes


def test_what_a_letter_asks_binds() -> None:
    given = letter("kestrel-and-northern/coupler-height", "[coupler B, coupler A]")
    for speed, outcome in (("50 mph", "ready with restrictions"), ("49 mph", "not ready")):
        conditions = f"leaves: {{speed: {speed}, place: none, riders: none, tag: none}}"
        found = judged(LOW, given.replace("leaves: none", conditions))
        assert found.outcome == outcome
        assert any(one.restriction.quantity is not None for one in found.restrictions)
