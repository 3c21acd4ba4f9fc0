"""One car under two nations' law: nothing of 49 CFR is built into the engine."""

from datetime import date
from pathlib import Path

import pytest
import yaml

from carknocker.dossier.view import view_of
from carknocker.judgement.answer import check
from carknocker.judgement.model import Judgement
from carknocker.record import read_car, read_car_text
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


WRECK = {
    "crack_or_break: no": "crack_or_break: yes", "loose_on_axle: no, weld: no": "loose_on_axle: yes, weld: yes",
    "{crack: no, gouge_depth: 0 in, bent: no": "{crack: yes, gouge_depth: 0 in, bent: no",
    "frame_condition: sound": "frame_condition: broken", "body_condition: sound": "body_condition: broken",
    "yoke_condition: sound": "yoke_condition: broken",
}  # fmt: skip


def test_a_wreck_is_not_ready_under_the_other_nations_law() -> None:
    """Every wheel cracked, loose and welded, axles cracked, truck frames, couplers and yokes broken."""
    text = (CASE / "north" / "car.yaml").read_text()
    for sound, broken in WRECK.items():
        assert sound in text
        text = text.replace(sound, broken)
    judgement = check(
        read_car_text(text, "car.yaml"), read_move(CASE / "north" / "move.yaml"), LIBRARY, DAY
    ).judgement  # fmt: skip
    refused = {one.finding.criterion.name for one in judgement.refusals if one.finding is not None}
    assert judgement.outcome == "not ready"
    assert {
        "crack-or-break", "loose", "axle-sound", "truck-frame", "coupler-sound", "draft-gear-sound"
    } <= refused  # fmt: skip


@pytest.mark.parametrize(
    ("good", "bad", "rule"),
    [
        ("cut_out: no}", "cut_out: yes}", "brake-not-cut-out"),
        ("applies_and_releases: yes", "applies_and_releases: no", "hand-brake-works"),
        ("uncoupling_lever_works: yes", "uncoupling_lever_works: no", "uncoupling-lever-works"),
        ("cut_out: no}", "emergency_valve_works: yes}", "brake-not-cut-out"),  # nobody says whether it is
    ],
)
def test_what_its_brake_rules_would_name_refuses_by_common_practice(good: str, bad: str, rule: str) -> None:
    text, move = (CASE / "north" / "car.yaml").read_text(), read_move(CASE / "north" / "move.yaml")
    assert good in text
    judgement = check(read_car_text(text.replace(good, bad), "car.yaml"), move, LIBRARY, DAY).judgement
    refused = {one.finding.criterion.name: one.stops for one in judgement.refusals if one.finding is not None}
    assert refused[rule][-1] == "car"
    before = check(read_car_text(text, "car.yaml"), move, LIBRARY, DAY).judgement
    assert rule not in {one.finding.criterion.name for one in before.refusals if one.finding is not None}


def test_the_other_nations_law_never_ends_in_ready_without_saying_that_it_is_a_part() -> None:
    text = (CASE / "north" / "car.yaml").read_text()
    text = text.replace("flat_spot_length: 2-1/4 in", "flat_spot_length: 0 in")
    text = text.replace("shelled_spot_length: 1-1/2 in", "shelled_spot_length: 0 in")
    answer = check(read_car_text(text, "car.yaml"), read_move(CASE / "north" / "move.yaml"), LIBRARY, DAY)
    assert answer.outcome == "ready"
    assert not answer.complete
    line = view_of(answer).outcome_line
    assert line.startswith("READY, as far as the 186 rules at hand go; not at hand: the items of chapters 11 to 15")
