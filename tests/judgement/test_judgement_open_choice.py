"""What the move leaves open is judged with each word that it may come to be, and the worst verdict counts."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from carknocker.judgement.answer import check
from carknocker.judgement.explanation import MayComeToBe, explain
from carknocker.judgement.model import Judgement
from carknocker.judgement.worse_findings import WORST_FIRST
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import Library, load_library, rulesets_folders

FOLDER = Path(__file__).resolve().parents[2] / "cases" / "larkspur" / "passenger"
HEIGHT = "us-federal/marker-height"


@pytest.fixture(scope="module")
def rules() -> Library:
    return load_library(rulesets_folders())


def judged(rules: Library, place: str, *changes: tuple[str, str]) -> Judgement:
    record = (FOLDER / "car.yaml").read_text(encoding="utf-8")
    move = (FOLDER / "move.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in record
        record = record.replace(old, new)
    assert "place: anywhere" in move
    move = move.replace("place: anywhere", f"place: {place}")
    assert "  requested_on: 2026-08-10\n" in move
    move = move.replace("  requested_on: 2026-08-10\n", "  requested_on: 2026-08-10\n  daylight_only: no\n")
    return check(
        read_car_text(record, "car.yaml"), read_move_text(move, "move.yaml"), rules, date(2026, 9, 1)
    ).judgement


LOW = ("height: 58 in", "height: 47-15/16 in")
EXACT = ("height: 58 in", "height: 48 in")


@pytest.mark.parametrize(
    ("place", "change", "verdict"),
    [
        ("rear", LOW, "breached"),  # 221.13: at least 48 in over the rail, on the rear car
        ("anywhere", LOW, "breached"),
        ("front", LOW, "not applicable"),
        ("anywhere", EXACT, "borderline"),  # by less than its gauge tells
        ("rear", EXACT, "borderline"),
        ("anywhere", ("height: 58 in", "height: 50 in"), "met"),
        ("anywhere", ("height: 58 in", ""), "not shown"),
    ],
)
def test_a_marker_of_a_car_that_may_run_last(rules: Library, place: str, change: tuple[str, str], verdict: str) -> None:
    found = judged(rules, place, change)
    (height,) = [one for one in found.findings if one.criterion.id == HEIGHT]
    assert height.verdict == verdict
    said = [one for one in explain(found, height).reasons if isinstance(one, MayComeToBe)]
    assert len(said) == (place == "anywhere" and verdict == "breached")


DESCRIBED = "rear_marker: {marker_kind: lamp built into the end, approved: yes}\n"
READ = "      rear_marker: {marker_fitted: yes, lit: yes, height: 58 in}\n"
CHANGES = [
    (),
    (LOW,),
    (("lit: yes", "lit: no"), ("approved: yes", "approved: no")),
    ((DESCRIBED, ""), (READ, "")),
]


@pytest.mark.parametrize("changes", CHANGES)
def test_no_finding_is_better_than_with_any_place_that_it_may_come_to_be(
    rules: Library, changes: tuple[tuple[str, str], ...]
) -> None:
    left_open = {(one.criterion.id, one.part.key): one for one in judged(rules, "anywhere", *changes).findings}
    for place in ("rear", "front"):
        for finding in judged(rules, place, *changes).findings:
            other = left_open[finding.criterion.id, finding.part.key]
            assert WORST_FIRST.index(other.verdict) <= WORST_FIRST.index(finding.verdict), (place, other.criterion.id)
