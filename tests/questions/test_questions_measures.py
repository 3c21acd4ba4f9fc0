"""What does not go in, and what runs out for good: the questions about wheelsets ask the one criterion that says so."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from planning_samples import car_text, checked, library_in, wheelset

from carknocker.judgement.answer import CheckAnswer
from carknocker.page.markdown import markdown_of
from carknocker.page.model import Page
from carknocker.questions.place_wheels.ask import place_wheels
from carknocker.questions.place_wheels.page import place_wheels_page
from carknocker.questions.plan.ask import plan
from carknocker.questions.plan.json_form import plan_json
from carknocker.questions.plan.page import plan_page
from carknocker.questions.wheel_order.ask import wheel_order
from carknocker.questions.why.page import otherwise_section
from carknocker.rulebook import Library, load_library
from carknocker.whatif.otherwise import otherwise, sets_of
from carknocker.whatif.spare_cover import table
from carknocker.whatif.work.model import BOUGHT
from carknocker.whatif.work.prices import read_prices_text
from carknocker.wording.record_lines import RecordLine

TRUCKS = {"B": ["W-1", "W-2"], "A": ["W-3", "W-4"]}
SOUND = {serial: wheelset() for serial in ("W-1", "W-2", "W-3", "W-4")}
RECONDITIONED = """
  - id: age
    title: Bearing reconditioned within ten years
    of: bearing
    must: {reconditioned_on: {within: 10 years}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: wheelset renewed}, {work: bearing renewed}]
    examples: *examples
"""


def changed_library(folder: Path, old: str, new: str) -> Library:
    """The law of the samples with one passage otherwise."""
    library_in(folder, sizes=False)
    file = folder / "plan-law" / "1" / "all.yaml"
    text = file.read_text(encoding="utf-8")
    assert text.count(old) == 1
    file.write_text(text.replace(old, new), encoding="utf-8")
    return load_library([folder])


@pytest.fixture(scope="module")
def fitting(tmp_path_factory: pytest.TempPathFactory) -> Library:
    """A criterion asks for the journal centers that the truck takes."""
    return library_in(tmp_path_factory.mktemp("fitting"), sizes=False)


@pytest.fixture(scope="module")
def aged(tmp_path_factory: pytest.TempPathFactory) -> Library:
    first = "  - id: centers\n"
    return changed_library(tmp_path_factory.mktemp("aged"), first, RECONDITIONED.lstrip("\n") + first)


def reconditioned(text: str) -> str:
    """All bearings of a record reconditioned five years ago."""
    roller = "class: grease-lubricated roller"
    return text.replace(roller, f"{roller}, reconditioned_on: 2025-05-01")


def worn(**spares: dict[str, object]) -> dict[str, dict[str, object]]:
    """A car whose wheelset at axle 2 has to be renewed, and its spares."""
    return {**SOUND, "W-2": wheelset(rim="15/16 in"), **{name.replace("_", "-"): one for name, one in spares.items()}}


def lines_of(answer: CheckAnswer, axle: int | None = None) -> list[RecordLine]:
    """All lines of the order for the wheel shop."""
    return [line for section in wheel_order(answer, axle).sections for line in section.lines]


def test_no_question_puts_a_wheelset_where_it_does_not_go_in(fitting: Library) -> None:
    answer = checked(car_text(TRUCKS, worn(S_1=wheelset(centers="6 ft 3 in"))), fitting)
    assert {cell.serves for cell in table(answer.judgement)} == {False}
    planned = plan(answer)
    assert [job.serial for job in planned.jobs if job.serial] == [BOUGHT]
    reasons = [one.reason for one in planned.not_offered]
    assert reasons == ["Wheelset S-1: journal centers 6 ft 3 in; must be 6 ft 5 in"]
    assert all(job.serial != "S-1" for one in sets_of(answer).sets for job in one.jobs)
    arranged = place_wheels(answer)
    assert arranged.best is None
    assert "wheelset: journal centers 6 ft 3 in; must be 6 ft 5 in" in markdown_of(place_wheels_page(arranged))
    assert not [line for line in lines_of(answer) if line.label == "on record already"]


def test_one_that_goes_in_is_used_by_all_of_them(fitting: Library) -> None:
    answer = checked(car_text(TRUCKS, worn(S_1=wheelset())), fitting)
    assert {cell.axle for cell in table(answer.judgement) if cell.serves} >= {2}
    assert [job.serial for job in plan(answer).jobs if job.serial] == ["S-1"]
    assert sets_of(answer).sets[0].jobs[0].serial == "S-1"
    best = place_wheels(answer).best
    assert best is not None
    assert best.serials == ("W-1", "S-1", "W-3", "W-4")
    (there,) = [line.text for line in lines_of(answer, 2) if line.label == "on record already"]
    assert there.startswith("S-1")
    (section,) = wheel_order(answer).sections  # none is bought
    assert section.heading == "No wheelset is to be bought"
    assert [str(line.label) for line in section.lines] == ["axle 2"]
    assert section.lines[0].text.startswith("S-1, on record, goes there; it clears: Wheels L2, R2: ")


def test_centers_that_nobody_wrote_down_are_to_be_measured_first(fitting: Library) -> None:
    text = car_text(TRUCKS, worn(S_1=wheelset())).replace("S-1: {journal_centers: 6 ft 5 in, ", "S-1: {")
    answer = checked(text, fitting)
    arranged = place_wheels(answer)
    assert arranged.best is not None
    assert arranged.best.serials == ("W-1", "S-1", "W-3", "W-4")
    assert list(map(str, arranged.best.to_show)) == ["wheelset S-1: journal centers not on file; must be 6 ft 5 in"]
    assert not arranged.strict
    (cell,) = [one for one in table(answer.judgement) if one.axle == 2]
    assert not cell.serves
    assert [reason.title for reason in cell.against] == ["Journal centers as the truck takes them"]
    first, *others = plan(answer).steps
    assert first.details == ("wheelset S-1: journal centers: the truck: journal centers that the truck takes",)
    assert any("S-1 on" in step.what for step in others)


def test_what_stands_in_its_truck_today_is_to_be_shown_to_go_in(fitting: Library) -> None:
    text = car_text(TRUCKS, SOUND).replace("W-1: {journal_centers: 6 ft 5 in, ", "W-1: {")
    arranged = place_wheels(checked(text, fitting))
    assert arranged.best is not None
    assert arranged.best.moved == ()
    assert not arranged.strict


def test_one_to_be_bought_is_not_built_like_one_that_does_not_go_in(fitting: Library) -> None:
    wheelsets = {**SOUND, "W-2": wheelset(rim="15/16 in", centers="6 ft 3 in")}
    planned = plan(checked(car_text(TRUCKS, wheelsets), fitting))
    told = [line for step in planned.steps for line in step.details if line.startswith("like W-2")]
    assert planned.suffices
    assert "6 ft 3 in" not in "".join(told)


def test_bearings_that_run_out_for_good_want_a_wheelset_in_every_answer(aged: Library) -> None:
    text = reconditioned(car_text(TRUCKS, SOUND)).replace("2025-05-01", "2020-06-03", 2)
    text = text.replace("2020-06-03", "2025-05-01", 1)  # of W-1; what is left is that of W-2
    answer = checked(text, aged)
    assert {refusal.finding.verdict for refusal in answer.judgement.refusals if refusal.finding} == {"lapses"}
    assert "For axle 2 (truck B)" in [section.heading for section in wheel_order(answer).sections]
    lines = {line.label: line.text for line in lines_of(answer)}
    assert lines["why"] == "Bearings L2, R2: reconditioned 2020-06-03 good through 2030-06-03; move ends 2030-06-05"
    assert lines["other work may do"].startswith("bearing renewed")
    assert place_wheels(answer).best is None
    assert "wheelset renewed" in {job.work for one in sets_of(answer).sets for job in one.jobs}


def test_turning_is_told_where_it_may_save_the_order(fitting: Library) -> None:
    answer = checked(car_text(TRUCKS, {**SOUND, "W-3": wheelset(flange="7/8 in")}), fitting)
    told = {line.label: line.text for line in lines_of(answer, 3)}
    assert told["other work may do"].startswith("wheels turned")
    assert [job.work for job in plan(answer).jobs if job.serial] == []
    assert wheel_order(answer).for_whom.startswith("none; ")
    thin = checked(car_text(TRUCKS, {**SOUND, "W-3": wheelset(flange="7/8 in", rim="1 in")}), fitting)
    assert "other work may do" not in {line.label for line in lines_of(thin, 3)}
    assert wheel_order(thin).for_whom.startswith("1 wheelset, for axle 3; ")


def test_what_wheelsets_break_among_themselves_orders_the_one_that_the_plan_buys(tmp_path: Path) -> None:
    library = library_in(tmp_path, sizes=True)
    sizes = {**SOUND, "W-4": wheelset(tapes=(130, 130))}
    answer = checked(car_text(TRUCKS, sizes), library)
    assert [(job.at, job.serial) for job in plan(answer).jobs if job.serial] == [(("axle position 4",), BOUGHT)]
    assert wheel_order(answer).for_whom.startswith("1 wheelset, for axle 4; ")
    told = {line.label: line.text for line in lines_of(answer)}
    assert told["why"] == "The car: largest tape less smallest under the car 30 tapes; must be at most 20 tapes"
    assert told["comes off"] == "W-4 at axle 4"


def test_a_wheelset_at_hand_is_read_before_it_goes_in(aged: Library) -> None:
    spare = wheelset(shown=False)
    text = reconditioned(car_text(TRUCKS, worn(S_1=spare)))
    planned = plan(checked(text, aged))
    assert [job.serial for job in planned.jobs if job.serial] == ["S-1"]
    at = {step.number for step in planned.steps if any("S-1" in line for line in step.details)}
    put_in = next(step.number for step in planned.steps if "S-1 on" in step.what)
    assert at
    assert max(at) < put_in


def test_no_day_is_called_ready_where_the_work_does_not_suffice(fitting: Library) -> None:
    at_once = read_prices_text("format: carknocker-prices/1\nspares:\n  wheelset: {lead: 0 days}\n", "prices.yaml")
    answer = checked(car_text(TRUCKS, worn(), underframe="wooden"), fitting)
    planned = plan(answer, at_once)
    assert not planned.suffices
    page = markdown_of(plan_page(planned))
    assert "all this done" in page
    assert "first departure" not in page
    form = json.loads(plan_json(planned))
    assert (form["ready_on"], form["earliest_departure"]) == (None, None)
    assert form["done_on"] == planned.ready_on.isoformat()
    good = json.loads(plan_json(plan(checked(car_text(TRUCKS, worn()), fitting), at_once)))
    assert good["ready_on"] == good["done_on"]
    assert good["earliest_departure"] is not None


def test_what_the_best_set_leaves_is_told_where_none_suffices(tmp_path: Path) -> None:
    """A remedy that is on offer and clears nothing: the part still lacks what only the record can tell."""
    no_use = """  - id: built
    title: Day on which a truck was built
    of: truck
    must: {built_on: {shown: yes}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: wheelset renewed}]
    examples: *examples
"""
    first = "  - id: centers\n"
    library = changed_library(tmp_path, first, no_use + first)
    answer = checked(car_text(TRUCKS, SOUND), library)
    planned = plan(answer)
    found = otherwise(answer, library)
    assert not planned.suffices
    assert found is not None
    assert found.work.sets == ()
    told = {one.title for one in (*found.work.beyond, *found.work.left)}
    assert told == {one.title.partition(" (")[0] for one in planned.lacks}
    page = markdown_of(Page("", "", "bad", (otherwise_section(found),)))
    assert "- Trucks B, A: truck built not shown" in page  # as the fault
