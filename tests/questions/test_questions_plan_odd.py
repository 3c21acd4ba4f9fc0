"""Plans of odd cars and odd moves: nothing measured, a move that is over or too soon, limits that contradict each
other, readings that hang on each other."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from interview_samples import COACH, written
from planning_samples import RULES, car_text, checked, library_in, wheelset

from carknocker.dossier.view import view_of
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.page.text import text_of
from carknocker.questions.check.page import page_of
from carknocker.questions.plan.ask import plan
from carknocker.questions.plan.model import Plan
from carknocker.questions.plan.page import plan_page
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import Library, load_library, rulesets_folders
from carknocker.whatif.work.model import BOUGHT
from carknocker.whatif.work.prices import read_prices_text

CASES = Path(__file__).resolve().parents[2] / "cases"
TRUCKS = {"B": ["W-1", "W-2"], "A": ["W-3", "W-4"]}
SOUND = {serial: wheelset() for serials in TRUCKS.values() for serial in serials}


@pytest.fixture(scope="module")
def rules() -> Library:
    return load_library(rulesets_folders())


@pytest.fixture(scope="module")
def law(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return library_in(tmp_path_factory.mktemp("law"), sizes=False)


@pytest.fixture(scope="module")
def sizes(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return library_in(tmp_path_factory.mktemp("sizes"), sizes=True)


def case(rules: Library, name: str, as_of: date, car: tuple[str, str] = ("", ""), **move: str) -> CheckAnswer:
    """A demo case, with one text of its record and some of its move replaced."""
    record = (CASES / name / "car.yaml").read_text(encoding="utf-8")
    text = (CASES / name / "move.yaml").read_text(encoding="utf-8")
    assert car[0] in record
    for key, value in move.items():
        line = next(one for one in text.splitlines() if one.strip().startswith(f"{key}:"))
        text = text.replace(line, f"  {key}: {value}")
    return check(read_car_text(record.replace(*car), "car.yaml"), read_move_text(text, "move.yaml"), rules, as_of)


def said(found: Plan) -> str:
    return " ".join(text_of(plan_page(found)).split())


def test_a_request_that_is_too_late_is_of_the_move_and_the_first_departure_is_named(rules: Library) -> None:
    found = plan(case(rules, "larkspur/passenger", date(2026, 9, 1), requested_on="2026-08-30"))
    assert [(one.of_move, one.reason) for one in found.lacks] == [
        (
            True,
            "with the notice that the host wants the car can depart from 2026-09-27 on; "
            "or: the host's written permission (Kestrel & Northern circular 7, 8.1)",
        )
    ]
    assert found.earliest_departure == date(2026, 9, 27)
    assert found.proven
    assert plan_page(found).verdict.startswith(
        "PLAN: the car is NOT READY; it can be ready not before 2026-09-05, if 2 jobs are done and all that is read "
        "and tested is good; NOT ON THIS MOVE: 1 item about the move as stated keeps it from moving."
    )
    assert "Lead time of the wheelset is not on record: from the day it arrives, the work takes 4 days." in said(found)


def test_a_move_that_is_over_counts_notice_from_the_day_of_the_plan(rules: Library) -> None:
    found = plan(case(rules, "wren-hollow/before", date(2026, 11, 30)))  # it went out on 6 November
    assert found.ready_on > found.check.judgement.move.out
    assert not found.in_time
    assert found.earliest_departure == date(2026, 12, 28)  # 28 days from the day of the plan
    assert plan_page(found).verdict.startswith(
        "PLAN: the car is NOT READY; READY WITH RESTRICTIONS (70 mph) not before 2026-12-05"
    )
    assert ": 29 days after departure, TOO LATE for this move." in plan_page(found).verdict


@pytest.mark.parametrize(("lead", "late"), [("70 days", True), ("2 days", False)])
def test_a_set_that_its_price_chose_and_that_comes_too_late_says_so(rules: Library, lead: str, late: bool) -> None:
    prices = read_prices_text(
        "format: carknocker-prices/1\ncurrency: dollars\nwork:\n  wheels turned: {cost: 9000}\n"
        f"  wheelset renewed: {{cost: 100}}\nspares:\n  wheelset: {{cost: 14, lead: {lead}}}\n",
        "prices.yaml",
    )
    found = plan(case(rules, "two-nations/north", date(2026, 9, 1)), prices)
    assert found.in_time is not late
    assert any("may be done sooner" in note for note in found.notes) is late


@pytest.fixture(scope="module")
def unmeasured(rules: Library) -> Plan:
    return plan(case(rules, "nothing-measured", date(2027, 3, 20)))


def test_of_a_car_of_which_nothing_is_measured_no_part_is_replaced(unmeasured: Plan) -> None:
    assert unmeasured.jobs == ()
    assert unmeasured.trucks_out == ()
    # the circular asks for these of every car
    spares = [step.what for step in unmeasured.steps if step.sort not in ("look", "reading", "test", "paper")]
    assert spares == ["buy and take along 1 × air hose", "buy and take along 1 × marker batteries"]
    assert unmeasured.steps[0].sort == "look"
    assert plan_page(unmeasured).verdict.startswith(
        "PLAN: the car is NOT YET LOOKED AT (1 of 12 systems settled); "
        "LOOK, MEASURE AND WRITE DOWN FIRST: no part is known to be bad; "
    )


def test_a_new_car_is_not_yet_looked_at_on_plan_and_check_and_what_only_silence_restricts_is_said_so(
    rules: Library,
) -> None:
    car, move = written(COACH.replace("train: passenger", "train: passenger\nspeed: 60 mph"))
    answer = check(read_car_text(car, "car.yaml"), read_move_text(move, "move.yaml"), rules, date(2026, 10, 1))
    made = plan(answer)
    assert not made.only_not_shown
    assert plan_page(made).verdict.startswith(
        "PLAN: the car is NOT YET LOOKED AT (1 of 12 systems settled); "
        "LOOK, MEASURE AND WRITE DOWN FIRST: no part is known to be bad; after the steps below "
    )
    assert plan_page(made).verdict.endswith("are still open.")
    told = " ".join(text_of(page_of(view_of(answer))).split())
    assert told.startswith("QZZX 9 Example NOT YET LOOKED AT: 1 of 12 systems settled")
    in_short = told[told.index("IN SHORT") : told.index("THE MOVE")]
    assert "to run at 60 mph; the car may run at most 20 mph unless the record shows otherwise (law)" in in_short


def test_of_a_car_of_which_nothing_is_measured_only_the_log_is_lacking_in_the_end(unmeasured: Plan) -> None:
    """What is assumed suits all that asks: one class of axle, one kind of reservoir, one frame."""
    lacks = {(one.title.split(" within")[0], one.reason.split("; or: ")[0].split("; ")[-1]) for one in unmeasured.lacks}
    log = "since when the log of moves is complete (`log:`)"
    assert lacks == {("Roller bearing reconditioned", log), ("Trucks out and opened", log)}
    assert unmeasured.after.doubts == ()
    assert unmeasured.judged <= 8  # each of them takes some 30 ms


def test_since_when_the_log_is_complete_is_one_step_of_looking(unmeasured: Plan, rules: Library) -> None:
    log = "write down since when the log of events, work and moves is complete: `log: {complete_since, by}`"
    (step,) = (one for one in unmeasured.steps if one.where == "the log")
    assert (step.sort, step.what, step.cost, step.hours) == ("look", log, None, None)
    assert [f"{one.document} {one.section}" for one in step.rules] == [
        "Kestrel & Northern circular 7 3.3",
        "Kestrel & Northern circular 7 4.5",
    ]
    whole = plan(
        case(
            rules,
            "nothing-measured",
            date(2027, 3, 20),
            ("car:\n", "people: {RE: {role: owner}}\nlog: {complete_since: 2000-01-01, by: RE}\ncar:\n"),
        )
    )
    assert not any(one.where == "the log" for one in whole.steps)


def test_a_wheelset_of_which_nothing_is_known_is_read_not_renewed(law: Library) -> None:
    found = plan(checked(car_text(TRUCKS, {**SOUND, "W-2": wheelset(shown=False)}), law))
    assert found.jobs == ()
    assert found.suffices
    assert "wheel L2, R2: flange thickness: over 7/8 in" in said(found)


def test_limits_that_contradict_each_other_are_said_to_be_lacking(tmp_path: Path) -> None:
    place = tmp_path / "rules"
    library_in(place, sizes=False)
    low = RULES[RULES.index("  - id: height") : RULES.index("  - id: liner")]
    low = low.replace("id: height", "id: low").replace("at_least: 32 in", "at_most: 31 in")
    chapter = place / "plan-law" / "1" / "all.yaml"
    chapter.write_text(
        chapter.read_text(encoding="utf-8").replace("  - id: liner", f"{low}  - id: liner"), encoding="utf-8"
    )
    found = plan(checked(car_text(TRUCKS, SOUND), load_library([place])))
    assert not found.suffices
    assert not found.proven
    assert {one.label for one in found.lacks} == {"coupler B", "coupler A"}
    assert all("none suffices here" in one.reason for one in found.lacks)


PAD = """
  - id: pad
    title: Lubricating pad sound
    of: bearing
    must: {pad: sound}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: wheelset renewed}]
    examples: []
"""


def test_what_would_be_doubtful_beside_the_rest_is_not_assumed(tmp_path: Path) -> None:
    """A bearing of an accepted class has no pad: no plan counts on a sound one, or buys a wheelset for want of it."""
    place = tmp_path / "rules"
    library_in(place, sizes=False)
    chapter = place / "plan-law" / "1" / "all.yaml"
    text = chapter.read_text(encoding="utf-8")
    chapter.write_text(text.replace("criteria:\n", f"criteria:{PAD}", 1), encoding="utf-8")
    found = plan(checked(car_text(TRUCKS, {**SOUND, "W-2": wheelset(shown=False)}), load_library([place])))
    assert found.jobs == ()
    assert found.after.doubts == ()
    bearings = {f"bearing {side}{axle}" for side in "LR" for axle in range(1, 5)}
    assert {one.label for one in found.lacks} == bearings
    assert {one.title for one in found.lacks} == {"Lubricating pad sound (not shown)"}


IRON = """
  - id: iron
    title: No wheel of cast iron
    of: wheel
    must: {wheel_material: {is_not: cast iron}}
    effect: refuse
    shown_by: owner before the move
    remedies: []
    examples: []
"""


def test_what_has_no_remedy_goes_with_the_wheelset_that_another_remedy_takes_off(tmp_path: Path) -> None:
    """Turning clears the flange with as many jobs; a cast-iron wheel, asked for first, has no remedy of its own."""
    place = tmp_path / "rules"
    library_in(place, sizes=False)
    chapter = place / "plan-law" / "1" / "all.yaml"
    text = chapter.read_text(encoding="utf-8")
    chapter.write_text(text.replace("criteria:\n", f"criteria:{IRON}", 1), encoding="utf-8")
    lines = car_text(TRUCKS, {**SOUND, "W-2": wheelset(flange="7/8 in")}).splitlines(keepends=True)
    record = "".join(
        line.replace("bearings:", "wheels: {wheel_material: cast iron}, bearings:") if "  W-2:" in line else line
        for line in lines
    )
    found = plan(checked(record, load_library([place])))
    assert found.suffices
    assert [(job.work, job.serial) for job in found.jobs if job.serial] == [("wheelset renewed", BOUGHT)]


def test_no_wheelset_that_is_bought_makes_good_what_the_others_break(sizes: Library) -> None:
    given = {**{serial: wheelset(tapes=(110, 110)) for serial in SOUND}, "W-2": wheelset(tapes=(100, 100))}
    found = plan(checked(car_text(TRUCKS, {**given, "W-4": wheelset(tapes=(130, 130))}), sizes))
    assert [job.at for job in found.jobs if job.serial] == [("axle position 2",)]
    assert len(found.others) == 1  # or axle 4
    assert "tape size: such as 110 tapes" in said(found)


def test_a_cut_that_nobody_measured_does_not_make_good_what_the_others_break(sizes: Library) -> None:
    """Only axle 4 is too large; a cut of unknown depth at another axle must not be taken to help."""
    given = {serial: wheelset(tapes=(110, 110)) for serial in SOUND} | {"W-4": wheelset(tapes=(131, 131))}
    text = car_text(TRUCKS, given).replace("turning_allowance: 1/8 in, ", "")
    found = plan(checked(text, sizes))
    assert found.suffices
    assert {job.at[0] for job in found.jobs if job.work in ("wheels turned", "wheelset renewed")} <= {
        "wheel W-4 left",
        "axle position 4",
    }


def test_a_truck_that_is_out_is_looked_at_for_what_stays_with_the_car(rules: Library) -> None:
    found = plan(case(rules, "wren-hollow/before", date(2026, 10, 8)))
    first, second = found.trucks_out
    assert first.label == "truck B"
    assert not any("wheel L" in line or "bearing L" in line for line in first.look_at)  # all three wheelsets go
    assert any(line.startswith("center plate B: liner thickness") for line in first.look_at)
    assert not any("plain journal" in line for line in second.look_at)  # roller bearings have none
    assert second.due == (
        "Bearings L4–L6, R4–R6: rotation last checked 2026-08-03, good for 1 year (through 2027-08-03)",
    )


def test_parts_that_are_not_on_record_are_looked_at_and_not_repaired(rules: Library) -> None:
    """Without the kind of its end nobody knows which handholds stand there: some of those asked for at first fall
    away with what else is assumed."""
    case = CASES / "larkspur" / "freight"
    text = (case / "car.yaml").read_text(encoding="utf-8")
    assert "A: {end_kind: wide vestibule, " in text
    car = read_car_text(text.replace("A: {end_kind: wide vestibule, ", "A: {", 1), "car.yaml")
    move = read_move_text((case / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    steps = plan(check(car, move, rules, date(2026, 9, 1))).steps
    assert any(step.sort == "look" and "kind of end" in step.what for step in steps)
    assert not [step for step in steps if step.sort == "job" and "unlisted" in step.where]


def test_what_the_host_could_let_pass_in_writing_is_said(rules: Library) -> None:
    """Circular section 8.1 lets the host permit in writing what the circular asks; the flange of wheel R5 is law."""
    notes = plan(case(rules, "wren-hollow/before", date(2026, 10, 8))).notes
    (note,) = [one for one in notes if one.startswith("With the host's written permission")]
    assert "Bearings L1–L3, R1–R3: plain, not accepted" in note
    assert "(1) " in note
    assert "flange" not in note


def test_a_step_says_the_fault_that_it_clears_and_not_the_requirement(rules: Library) -> None:
    found = plan(case(rules, "wren-hollow/before", date(2026, 10, 8)))
    why = {step.what: step.why for step in found.steps}
    assert why["wheels turned"] == ("Wheel R5: flange 7/8 in or thinner; must be over 7/8 in",)
    assert why["annual mechanical inspection"] == (
        "Annual mechanical inspection: runs out 2026-11-14; move ends 2026-11-22",
    )
    assert why["single-car brake test"] == (  # the duty to make it anew says nothing of its own
        "Single-car brake test: void; service portion replaced after it, 2026-09-24",
    )
    assert why["hand brake test"] == (  # no fault as the car stands
        "what is on record is void after this work: truck rolled out and returned",
    )
    (shoes,) = (step for step in found.steps if step.what == "hand brake test")
    assert [one.section for one in shoes.rules] == ["238.307(c)(13)", "5.6", ""]
    due = next(truck.due for truck in found.trucks_out if truck.label == "truck B")
    assert due[0].startswith("Truck B: middle axle against the end axles, by tape: 1 tape smaller")


def test_what_is_lacking_and_only_not_shown_is_called_by_its_rule(unmeasured: Plan) -> None:
    (bearing, *_) = [one for one in unmeasured.lacks if one.label == "bearing L1"]
    assert bearing.fault.text == (
        "Bearing L1: Roller bearing reconditioned within 10 years or 500,000 miles (not shown)"
    )


def test_what_is_lacking_may_be_permitted_where_the_rules_allow_it(unmeasured: Plan) -> None:
    assert {one.reason.split("; or: ")[-1] for one in unmeasured.lacks} == {
        "the host's written permission (Kestrel & Northern circular 7, 8.1)"
    }
