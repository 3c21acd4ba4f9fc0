"""`plan` and `place-wheels` as a person runs them."""

import json

from command_line import carknocker, invoke

BEFORE = ("wren-hollow/before", "--as-of", "2026-10-08")


WHEELSETS = "format: carknocker-prices/1\nspares:\n  wheelset: {lead: 0 days}\n"


def test_plan_of_the_demo_case_has_no_day_before_its_wheelsets_have_one(tmp_path):
    answer = invoke("plan", *BEFORE)
    assert answer.exit_code == 1, answer.stderr
    words = " ".join(answer.stdout.split())
    assert (
        "QWHX 27 Wren Hollow: plan of work PLAN: the car is NOT READY; READY WITH RESTRICTIONS (70 mph) not before "
        "2026-10-13, if 6 jobs are done and all that is read and tested is good. - Lead time of the wheelsets is not "
        "on record: from the day they arrive, the work takes 5 days. - In time for departure on 2026-11-06 only if the "
        "wheelsets arrive by 2026-11-01. - Ready: as far as the 513 rules at hand go; not at hand: 49 CFR part 224;"
    ) in words
    prices = tmp_path / "prices.yaml"
    prices.write_text(WHEELSETS, encoding="utf-8")
    known = invoke("plan", *BEFORE, "--prices", prices)
    assert known.exit_code == 1, known.stderr  # in time, by law that is not all at hand
    assert (
        "PLAN: the car is NOT READY; READY WITH RESTRICTIONS (70 mph) on 2026-10-13 at the earliest, if 6 jobs are "
        "done and all that is read and tested is good: 24 days before departure. - Ready: as far as the"
    ) in " ".join(known.stdout.split())


def test_plan_of_people_who_work_on_weekends():
    """2026-10-10 is a Saturday."""
    answer = invoke("plan", *BEFORE, "--work-days", "sat,sun", "--format", "json")
    told = json.loads(answer.stdout)
    assert told["work_days"] == "Saturdays and Sundays"
    assert told["not_before"] == "2026-10-25"
    assert {step["first"] for step in told["steps"]} == {
        "2026-10-10", "2026-10-11", "2026-10-17", "2026-10-18", "2026-10-24", "2026-10-25",
    }  # fmt: skip
    wrong = invoke("plan", *BEFORE, "--work-days", "satt")
    assert wrong.exit_code == 2
    assert "`satt` is no day of the week; did you mean `sat`?" in " ".join(wrong.stderr.split())


def test_plan_says_what_work_it_wants():
    answer = invoke("plan", *BEFORE)
    assert "Ready: as far as the" in " ".join(answer.stdout.split())
    assert "wheel R5: rim 1-3/8 in after the cut" in " ".join(answer.stdout.split())
    assert "hand-brake chain" in answer.stdout


def test_plan_as_json_is_the_same_twice():
    one = invoke("plan", *BEFORE, "--format", "json")
    assert one.stdout == carknocker("plan", *BEFORE, "--format", "json").stdout
    told = json.loads(one.stdout)
    assert told["format"] == "carknocker-plan/1"
    assert sum(job["work"] == "wheelset renewed" for job in told["jobs"]) == 3
    assert sum(job["work"] == "wheels turned" for job in told["jobs"]) == 1
    assert told["proven"]


def test_a_plan_that_comes_too_late_has_status_1(tmp_path):
    prices = tmp_path / "prices.yaml"
    prices.write_text("format: carknocker-prices/1\nspares:\n  wheelset: {lead: 70 days}\n", encoding="utf-8")
    answer = invoke("plan", *BEFORE, "--prices", prices)
    assert answer.exit_code == 1
    assert "TOO LATE" in answer.stdout


def test_bad_prices_are_told_with_their_place(tmp_path):
    prices = tmp_path / "prices.yaml"
    prices.write_text("format: carknocker-prices/1\nwork:\n  wheels trned: {cost: 5}\n", encoding="utf-8")
    answer = invoke("plan", *BEFORE, "--prices", prices)
    assert answer.exit_code == 2
    assert "prices.yaml:3:3" in answer.stderr
    assert "wheels turned" in answer.stderr
    assert invoke("plan", *BEFORE, "--prices", tmp_path / "none.yaml").exit_code == 2


def test_arrange_names_what_conflicts():
    answer = invoke("place-wheels", *BEFORE)
    assert answer.exit_code == 1
    assert "(Kestrel & Northern circular 8, 3.1)" in " ".join(answer.stdout.split())
    after = invoke("place-wheels", "wren-hollow/after", "--as-of", "2026-10-28", "--format", "json")
    assert after.exit_code == 0
    told = json.loads(after.stdout)
    assert told["format"] == "carknocker-place-wheels/1"
    assert told["best"]["moved"] == []


def test_an_arrangement_of_which_nothing_is_shown_has_status_1():
    answer = invoke("place-wheels", "nothing-measured", "--as-of", "2027-03-20")
    assert answer.exit_code == 1
    assert "ARRANGEMENT: NOT SHOWN YET: no fault is shown in what is fitted" in " ".join(answer.stdout.split())


def test_order_does_not_say_that_no_wheelset_is_needed_where_nothing_is_measured():
    answer = invoke("wheel-order", "nothing-measured", "--as-of", "2027-03-20")
    assert answer.exit_code == 0
    assert "NO WHEELSET NEEDED, AS FAR AS THE RECORD SHOWS" in answer.stdout
