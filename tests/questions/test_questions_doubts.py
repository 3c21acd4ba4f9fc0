"""A doubtful reading on the pages: once on the first screen, however many rules ask; a breach says it is doubtful."""

from datetime import date
from functools import cache
from pathlib import Path

import pytest

from carknocker.dossier.blockers import blockers_of
from carknocker.dossier.first_page import first_page_of
from carknocker.dossier.json_form import answer_form, json_of
from carknocker.dossier.missing import missing_of
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.index import JudgementIndex
from carknocker.questions.due.ask import due
from carknocker.questions.plan.ask import plan
from carknocker.questions.verify.ask import verify
from carknocker.questions.verify.dossier_reader import read_dossiers
from carknocker.questions.why.findings import finding_node
from carknocker.questions.worksheet.ask import worksheet
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import Library, load_library
from carknocker.rulebook.library import rulesets_folders
from carknocker.whatif.differences.compare import compare

CASE = Path(__file__).resolve().parents[2] / "cases" / "larkspur" / "freight"
REMEDY = "read it again, or have a second reader read it, or write `sure: WHY`"


@cache
def library() -> Library:
    return load_library(rulesets_folders())


def answer_of(before: str, after: str) -> CheckAnswer:
    """The demo car with a slip in its record."""
    text = (CASE / "car.yaml").read_text(encoding="utf-8")
    assert before in text
    car = read_car_text(text.replace(before, after, 1), "car.yaml")
    move = read_move_text((CASE / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    return check(car, move, library(), date(2026, 9, 1))


def index_of(before: str, after: str) -> JudgementIndex:
    return JudgementIndex(answer_of(before, after).judgement)


def test_scale_ticket_that_does_not_add_up_is_one_item_of_the_first_screen() -> None:
    index = index_of("gross_weight: 134,300 lb", "gross_weight: 143,300 lb")
    judgement = index.judgement
    assert judgement.outcome == "not ready"
    doubts = [one.words for one in first_page_of(index) if one.sort == "doubt"]
    assert len(doubts) == 1
    assert doubts[0].startswith("Doubtful: car: the weights on the trucks do not add up to the gross weight (")
    assert "143,300 lb, line " in doubts[0]
    assert doubts[0].endswith(REMEDY)
    unmet = [one for one in judgement.findings if one.unmet and one.doubts]
    assert len(unmet) > 1  # several rules look at these weights
    assert {doubt.name for one in unmet for doubt in one.doubts} == {"trucks-add-up"}
    missing = missing_of([one.finding for one in judgement.refusals if one.finding is not None], index)
    assert missing is not None
    rows = [row for group in missing.groups for row in group.rows if "gross weight" in repr(row)]
    assert len(rows) == 1


def test_breach_by_a_doubtful_reading_stays_and_says_so() -> None:
    before = "rim_thickness: 15/16 in}\n        R2: {flange_thickness: 1-1/8 in, flange_height: 1-3/16 in"
    index = index_of(before, before.replace("15/16", "3/8"))
    breached = [one for one in index.judgement.findings if one.verdict == "breached" and one.doubts]
    assert breached
    assert all(one.as_said for one in breached)
    refusals = [one for one in index.judgement.refusals if one.finding in breached]
    whys = [why for blocker in blockers_of(refusals, index) for why in blocker.why]
    said = "the reading counts only against the car: doubtful: the rims of the mates differ more than they can"
    assert any(one.startswith(said) for one in whys)
    node = finding_node(breached[0], index)
    lines = [line for inner in node.because for line in inner.lines]
    assert any(label == "counts only against the car" for label, _ in lines)


COILS = "all: {coil_broken: no, coils_broken: 0"


def test_the_same_doubt_of_several_parts_is_one_line() -> None:
    index = index_of(
        "all: {coil_broken: no, coils_broken: 0", "all: {coil_broken: no, leaf_broken: yes, coils_broken: 0"
    )
    doubts = [one.words for one in first_page_of(index) if one.sort == "doubt"]
    (line,) = [one for one in doubts if "a leaf is read as broken" in one]
    assert line.startswith("Doubtful: springs 1–12: a leaf is read as broken on a spring that has none (")


def test_no_broken_leaf_on_a_coil_spring_is_no_doubt() -> None:
    index = index_of(
        "all: {coil_broken: no, coils_broken: 0", "all: {coil_broken: no, leaf_broken: no, coils_broken: 0"
    )
    assert [one for one in first_page_of(index) if one.sort == "doubt"] == []


@pytest.mark.parametrize(("volts", "doubtful"), [("0", False), ("1500", False), ("1501", True)])
def test_a_car_without_electricity_is_no_doubt(volts: str, doubtful: bool) -> None:
    """A line through the car, whose voltage is not said, is no contradiction."""
    car = (CASE / "car.yaml").read_text(encoding="utf-8")
    text = car[car.index("voltage: 480, through_only") : car.index("electrical: {highest_voltage: 480")]
    said = text.replace("voltage: 480, ", "") if volts == "0" else text
    index = index_of(f"{text}electrical: {{highest_voltage: 480", f"{said}electrical: {{highest_voltage: {volts}")
    assert any("highest voltage" in one.words for one in first_page_of(index) if one.sort == "doubt") == doubtful


GROSS, SLIP = "gross_weight: 134,300 lb", "gross_weight: 143,300 lb"


def test_worksheet_wants_a_doubtful_reading_again_and_says_why() -> None:
    forms = [worksheet(answer_of(GROSS, last)) for last in (SLIP, GROSS)]
    boxes = [{box.attribute: box for sheet in form.sheets for box in sheet.boxes()} for form in forms]
    row = boxes[0]["gross_weight"]
    assert len(row.why) == 1
    assert row.why[0].startswith("doubtful: the weights on the trucks do not add up to the gross weight")
    assert row.why[0].endswith(REMEDY)
    assert "gross_weight" not in boxes[1]


def test_plan_reads_a_doubtful_reading_again_and_proposes_no_doubtful_one() -> None:
    found = plan(answer_of(GROSS, SLIP))
    assert found.jobs == ()
    (step,) = found.steps
    what, gauge = step.details
    assert (step.sort, what) == (
        "reading",
        "car: gross weight ready to run: at most the gross weight limit of the leg",
    )
    assert gauge.startswith("gauge: S-3 is due 2023-02-14, before this step")
    assert found.outcome == "ready"
    assert found.after.doubts == ()
    assert found.lacks == ()


def test_diff_shows_a_doubt_that_has_come_and_one_that_has_gone() -> None:
    good, slip = answer_of(GROSS, GROSS), answer_of(GROSS, SLIP)
    come, gone = compare(good, slip), compare(slip, good)
    assert come.outcomes == ("ready", "not ready")
    assert gone.outcomes == ("not ready", "ready")
    (new,) = [one for one in come.new if one.criterion == "kestrel-and-northern/scale-ticket"]
    assert new.after_said is not None
    assert "doubtful: the weights on the trucks do not add up to the gross weight" in new.after_said.reason
    assert new.because[0].said.startswith("the car: gross weight ready to run 143,300 lb")
    (cleared,) = [one for one in gone.cleared if one.criterion == "kestrel-and-northern/scale-ticket"]
    assert cleared.because[0].said.startswith("the car: gross weight ready to run 134,300 lb")


def test_a_doubtful_car_is_ready_on_no_day_of_the_horizon() -> None:
    assert due(answer_of(GROSS, SLIP), library()).first_bad == date(2026, 9, 18)  # its own day out
    assert due(answer_of(GROSS, GROSS), library()).first_bad == date(2026, 10, 18)


def test_json_tells_the_doubts_of_a_finding_and_recheck_finds_them_taken_out() -> None:
    slip = answer_of(GROSS, SLIP)
    form = answer_form(slip)
    (ticket,) = [one for one in form["findings"] if one["criterion"] == "kestrel-and-northern/scale-ticket"]
    assert [one["doubt"] for one in ticket["doubts"]] == ["trucks-add-up"]
    assert ticket["doubts"][0]["words"].endswith(REMEDY)
    assert not any(one["doubts"] for one in answer_form(answer_of(GROSS, GROSS))["findings"])
    written = json_of([slip])
    (same,) = read_dossiers(written.encode(), "dossier.json")
    assert verify(same, same).identical
    named = '"doubt": "trucks-add-up"'
    assert written.count(named) > 1
    (forged,) = read_dossiers(written.replace(named, '"doubt": "none"', 1).encode(), "dossier.json")
    assert not verify(forged, same).identical
