"""One car under two nations' law: nothing of 49 CFR is built into the engine."""

from datetime import date
from pathlib import Path

import pytest
import yaml

from carknocker.judgement.answer import check
from carknocker.judgement.model import Judgement
from carknocker.record import read_car
from carknocker.record.move_reader import read_move, read_move_text
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.model import Edition
from carknocker.wording.refusals import against_words

CASE = Path(__file__).resolve().parents[2] / "cases" / "two-nations"
LIBRARY = load_library(rulesets_folders())
DAY = date(2026, 9, 1)
DIFFERENCES: list[dict[str, str]] = yaml.safe_load((CASE / "differences.yaml").read_text())


@pytest.fixture(scope="module", params=["south", "north"])
def side(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def judged(side: str) -> Judgement:
    return check(read_car(CASE / side / "car.yaml"), read_move(CASE / side / "move.yaml"), LIBRARY, DAY).judgement


def test_the_car_is_the_same_text() -> None:
    assert (CASE / "south" / "car.yaml").read_bytes() == (CASE / "north" / "car.yaml").read_bytes()


def test_each_side_is_judged_by_its_own_law(side: str, judged: Judgement) -> None:
    laws = {edition.ruleset for edition in judged.rulebook.editions if edition.layer == "law"}
    assert laws == ({"us-federal"} if side == "south" else {"canada-passenger"})


@pytest.mark.parametrize("row", DIFFERENCES, ids=lambda row: row["figure"])
def test_figures_are_read_as_each_nation_reads_them(row: dict[str, str], side: str, judged: Judgement) -> None:
    found = {
        finding.verdict
        for finding in judged.findings
        if finding.criterion.id == row[side] and finding.part.label == row["wheel"]
    }
    assert found == {row[f"{side}_verdict"]}


def test_outcome_and_refusals(side: str, judged: Judgement) -> None:
    expected = yaml.safe_load((CASE / side / "expected.yaml").read_text())
    named = {
        f"{refusal.finding.criterion.id} @ {refusal.finding.part.label}" if refusal.finding
        else f"{refusal.duty.consequence.id} @ {refusal.duty.part.label}" if refusal.duty
        else against_words(refusal.against)
        for refusal in judged.refusals
    }  # fmt: skip
    assert (judged.outcome, named) == (expected["outcome"], set(expected["refusals"]))


def test_only_one_nation_binds_a_move_without_a_circular() -> None:
    """The other law binds where it is named, and there alone."""
    text = (CASE / "south" / "move.yaml").read_text()
    move = read_move_text(text.replace("host: Kestrel & Northern", "host: none\n  circular: none"), "move.yaml")
    choice = LIBRARY.rulebooks(move)
    assert {edition.ruleset for edition in choice.at_out.editions} == {"us-federal", "trade-practice"}


def _words(edition: Edition) -> str:
    entries = [*edition.criteria, *edition.consequences]
    return " ".join(f"{entry.source.document} {entry.source.section} {entry.title}" for entry in entries)


def test_nothing_of_49_cfr_is_in_the_other_rulebook() -> None:
    for ruleset, edition in (("canada-passenger", "part-2"), ("brackwater-and-inland", "4")):
        assert "CFR" not in _words(LIBRARY.edition(ruleset, edition))
