"""What several rules ask of a part in the same words is one item; what they ask otherwise stays apart."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from carknocker.dossier.blockers import Blocker, blockers_of
from carknocker.judgement.answer import check
from carknocker.judgement.index import JudgementIndex
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import Library, load_library, rulesets_folders

FOLDER = Path(__file__).resolve().parents[2] / "cases" / "larkspur" / "passenger"
LAW, PRACTICE = "us-federal/heat-label", "trade-practice/heat-label"


@pytest.fixture(scope="module")
def rules() -> Library:
    return load_library(rulesets_folders())


def blockers(rules: Library, train: str) -> tuple[Blocker, ...]:
    record = (FOLDER / "car.yaml").read_text(encoding="utf-8").replace("heat_label: intact", "heat_label: turned")
    move = (FOLDER / "move.yaml").read_text(encoding="utf-8").replace("train: passenger", f"train: {train}")
    found = check(read_car_text(record, "car.yaml"), read_move_text(move, "move.yaml"), rules, date(2026, 9, 1))
    return blockers_of(found.judgement.refusals, JudgementIndex(found.judgement))


@pytest.mark.parametrize(
    ("train", "criteria", "sources"),
    [("passenger", f"{LAW}, {PRACTICE}", ["49 CFR 238.303(e)(16)(i)", "common practice of bearing shops"]),
     ("freight", PRACTICE, ["common practice of bearing shops"])],
)  # fmt: skip
def test_a_turned_heat_label_is_one_item(rules: Library, train: str, criteria: str, sources: list[str]) -> None:
    (label,) = [one for one in blockers(rules, train) if "heat-label" in one.criterion and one.verdict == "breached"]
    assert label.criterion == criteria
    assert label.parts == "bearings L1–L4, R1–R4"
    assert [one.parts for one in label.measured] == [label.parts]
    assert all(source in label.source for source in sources)
    assert {"bearing renewed", "wheelset renewed"} <= set(label.clears)
