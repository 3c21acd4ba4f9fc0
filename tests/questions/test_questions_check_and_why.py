"""`why` and `compare` say of a duty what the judgement says: the same state, the same cause, of that duty alone."""

from datetime import date
from pathlib import Path

import pytest
from question_samples import every

from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.model import Duty
from carknocker.questions.why.ask import why
from carknocker.questions.why.model import WhyNode
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import Work
from carknocker.rulebook import load_library
from carknocker.rulebook.library import rulesets_folders
from carknocker.whatif.differences.compare import compare

CASE = Path(__file__).resolve().parents[2] / "cases" / "wren-hollow" / "after"
TESTED = "  - {test: brake application and release, on: 2026-10-16"
CHANGE = "trade-practice/wheelset-change-calls-for-application"
JOBS = ("J-13", "J-14", "J-15")
"""Three wheelsets of truck B, all renewed on 2026-10-12."""


def car_tested_after(*jobs: str) -> CheckAnswer:
    """The demo car, its brakes applied and released on the day of the wheelset changes, once after each of some."""
    text = (CASE / "car.yaml").read_text(encoding="utf-8")
    tests = [line for line in text.splitlines() if line.startswith(TESTED)]
    text = text.replace(
        tests[0], "\n".join(tests[0].replace("2026-10-16", f"2026-10-12, after: {job}") for job in jobs)
    )
    car = read_car_text(text, "car.yaml")
    move = read_move_text((CASE / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    return check(car, move, load_library(rulesets_folders()), date(2026, 11, 6))


def of_change(duty: Duty) -> bool:
    return duty.consequence.id == CHANGE and duty.requirement.test == "brake application and release"


def job_of(node: WhyNode) -> list[str]:
    return [one.about.id for one in node.because if isinstance(one.about, Work)]


@pytest.mark.parametrize("job", JOBS)
def test_a_test_after_one_of_three_jobs_of_a_day_leaves_the_other_two_open(job: str) -> None:
    found = car_tested_after(job)
    refused = [one.duty for one in found.judgement.refusals if one.duty is not None and of_change(one.duty)]
    missing = {f"its entry does not say `after: {other}`" for other in JOBS if other != job}
    assert {duty.note.rpartition(", and ")[2] for duty in refused} == missing


@pytest.mark.parametrize("job", JOBS)
def test_why_tells_the_three_duties_of_a_day_apart(job: str) -> None:
    found = why(car_tested_after(job), "truck B", CHANGE)
    nodes = [node for node in found.nodes if isinstance(node.about, Duty) and of_change(node.about)]
    told = {tuple(job_of(node)): node.said.removesuffix(")").rpartition(" ")[2].lstrip("(") for node in nodes}
    assert told == {(one,): "done" if one == job else "due" for one in JOBS}


@pytest.mark.parametrize("job", JOBS)
def test_why_carries_each_open_duty_up_to_the_car_from_its_own_job(job: str) -> None:
    found = why(car_tested_after(job))
    firings = [node for node in found.nodes[0].because if node.sort == "firing"]
    duties = [node for node in every(tuple(firings)) if isinstance(node.about, Duty) and of_change(node.about)]
    assert sorted(job_of(node) for node in duties) == [[other] for other in JOBS if other != job]


def test_diff_says_which_of_the_three_duties_was_answered() -> None:
    found = compare(car_tested_after("J-13"), car_tested_after("J-13", "J-14"))
    (cleared,) = [one for one in found.duties_cleared if one.before is not None and of_change(one.before)]
    assert cleared.before is not None
    assert cleared.after is not None
    assert [duty.fact.entry for duty in (cleared.before, cleared.after)] == ["J-14", "J-14"]
    assert (cleared.before.state, cleared.after.state) == ("open", "done")
    still = [one.after for one in found.duties_open if one.after is not None and of_change(one.after)]
    assert [duty.fact.entry for duty in still] == ["J-15"]
