"""No wheelset was under the car before it was mounted: where one seems to have been, the log lacks a job."""

import pytest
from record_samples import CAR, car, changed, problem_at_mark, problems_of

J1 = "  - {id: J-1, on: 2026-06-01, did: wheelset renewed, at: 3, off: W-6, fitted: W-3, by: HM}\n"


def mounted(day: str, serial: str = "W-2", text: str = CAR) -> str:
    return changed(f"  {serial}: {{axle_class: D", f"  {serial}: {{mounted_on: {day}, axle_class: D", text)


def said(section: str, position: str, reading: str, on: str = "2026-05-12") -> str:
    return f"  - {{on: {on}, by: HM, readings: {{{section}: {{«{position}: {{{reading}}}}}}}}}\nevents:\n"


@pytest.mark.parametrize(
    ("section", "position", "reading"),
    [
        ("wheels", "L2", "tread_hollow: 1/8 in"),
        ("wheels", '"L1, R2"', "tread_hollow: 1/8 in"),
        ("wheels", "all", "tread_hollow: 1/8 in"),
        ("axles", "2", "bent: no"),
        ("bearings", "R2", "discolored: no"),
    ],
)
def test_a_reading_at_an_axle_before_its_wheelset_was_mounted(section: str, position: str, reading: str) -> None:
    problem = problem_at_mark("events:\n", said(section, position, reading), mounted("2026-05-13"))
    line = CAR[: CAR.index("  W-2:")].count("\n") + 1
    assert problem.found == (
        f"by the log wheelset W-2 was at axle 2 on 2026-05-12, but it was mounted on 2026-05-13 (line {line})"
    )
    assert "a job that fitted W-2 at axle 2, of 2026-05-13 or later" in problem.expected
    assert "the job that the log lacks" in problem.remedy


@pytest.mark.parametrize("day", ["2026-05-12", "2026-05", "2026"])
def test_a_reading_of_the_day_of_mounting_or_later_is_no_problem(day: str) -> None:
    text = said("wheels", "L2", "tread_hollow: 1/8 in").replace("«", "")
    assert problems_of(changed("events:\n", text, mounted(day))) == ()


def test_a_job_an_event_and_a_test_at_the_axle_are_told_too() -> None:
    assert "W-2 was at axle 2 on 2026-06-02" in problems_of(mounted("2026-07-01"))[0].found
    slid = changed("at: [L3, R3], cause", "at: «[L2, R2], cause", mounted("2026-05-01"))
    assert "on 2026-04-01" in problems_of(slid.replace("«", ""))[0].found
    heat = "tests:\n  - {test: wheel heat inspection, on: 2026-04-02, by: HM, at: «L2, result: passed}\n"
    assert "on 2026-04-02" in problem_at_mark("tests:\n", heat, mounted("2026-05-01")).found


def test_what_is_wrong_with_one_wheelset_on_one_day_is_reported_once() -> None:
    text = said("wheels", "L2", "tread_hollow: 1/8 in").replace("«", "").removesuffix("events:\n")
    text += said("bearings", "all", "discolored: no").replace("«", "")
    assert len(problems_of(changed("events:\n", text, mounted("2026-05-13")))) == 1


def test_a_reading_of_the_wheelset_that_was_there_before_is_no_problem() -> None:
    text = said("wheels", "L3", "tread_hollow: 1/8 in").replace("«", "")
    text = changed("events:\n", text, mounted("2026-05-20", "W-3"))
    assert "wheel W-6 left" in [one.part for one in car(text).evidence if one.attribute == "tread_hollow"]
    lacking = changed(J1, "", text).replace(", by: HM, after: J-1}", ", by: HM}")
    assert {problem.found.partition(", but")[0] for problem in problems_of(lacking)} == {
        "by the log wheelset W-3 was at axle 3 on 2026-04-01", "by the log wheelset W-3 was at axle 3 on 2026-05-10",
        "by the log wheelset W-3 was at axle 3 on 2026-05-12",
    }  # fmt: skip


def test_a_reading_by_the_serial_says_nothing_of_the_axle() -> None:
    text = said("axles", "W-2", "bent: no").replace("«", "")
    assert problems_of(changed("events:\n", text, mounted("2026-05-13"))) == ()


def test_a_job_that_fitted_a_wheelset_before_it_was_mounted() -> None:
    problem = problem_at_mark("  - {id: J-1", "  - «{id: J-1", mounted("2026-06-02", "W-3"))
    assert problem.found.startswith("J-1 fitted wheelset W-3 on 2026-06-01, but it was mounted on 2026-06-02")
    assert problem.expected == "a day from 2026-06-02 on"


RENEWED = "work:\n  - {id: J-9, on: DAY, did: wheels renewed on the axle, at: W-2, by: HM}\n"


@pytest.mark.parametrize(("day", "problems"), [("2026-05-13", 0), ("2026-05-12", 0), ("2026-05-11", 1)])
def test_new_wheels_on_the_axle_of_a_wheelset_that_was_there(day: str, problems: int) -> None:
    text = changed("events:\n", said("wheels", "L2", "tread_hollow: 1/8 in").replace("«", ""), mounted("2026-05-13"))
    assert len(problems_of(changed("work:\n", RENEWED.replace("DAY", day), text))) == problems


def test_a_wheelset_that_was_off_when_it_was_mounted_anew() -> None:
    text = changed(J1, "".join(
        f"  - {{id: {id_}, on: {on}, did: wheelset renewed, at: 3, off: {off}, fitted: {fitted}, by: HM}}\n"
        for id_, on, off, fitted in (("J-0", "2026-05-15", "W-3", "W-6"), ("J-1", "2026-06-01", "W-6", "W-3"))
    ))  # fmt: skip
    text = changed("events:\n", said("wheels", "L3", "tread_hollow: 1/8 in").replace("«", ""), text)
    assert problems_of(mounted("2026-05-15", "W-3", text)) == ()
    assert len(problems_of(mounted("2026-06-02", "W-3", text))) > 0


def test_a_log_that_contradicts_itself_is_told_of_alone() -> None:
    # L1 and L3 were read on one day, unlike; W-2 was read before it was mounted, if the log were right.
    text = changed("off: W-6, fitted: W-3", "off: W-1, fitted: W-3", mounted("2026-07-01"))
    assert [problem.found for problem in problems_of(text)] == [
        "wheelset W-1 at axle 3 and, from the start of the log, at axle 1 too"
    ]
    assert "(jobs: J-1)" in problems_of(text)[0].remedy


def test_a_job_that_can_not_be_read_may_be_the_one_that_the_log_lacks() -> None:
    text = changed("did: wheelset renewed", "did: wheelset renewd", mounted("2026-06-01", "W-3"))
    assert [problem.nearest for problem in problems_of(text)] == ["wheelset renewed"]
