"""The smallest sets of work, against every set of the work on offer."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest
from planning_samples import car_text, checked, library_in, wheelset

from carknocker.judgement.answer import CheckAnswer
from carknocker.questions.plan.ask import plan
from carknocker.rulebook import Library
from carknocker.whatif.hypothetical_car import as_it_stood
from carknocker.whatif.model import JobSaid
from carknocker.whatif.otherwise import otherwise, sets_of, smallest_sets
from carknocker.whatif.work.model import Job
from carknocker.whatif.work.trial import Trials

AXLES = {"B": ["W-1", "W-2"], "A": ["W-3", "W-4"]}
SOUND = {serial: wheelset() for serial in ("W-1", "W-2", "W-3", "W-4")}
SPARE = {"S-1": wheelset()}
SCENES = {
    "a flange": {**SOUND, "W-3": wheelset(flange="7/8 in")},
    "a flange and a spare": {**SOUND, **SPARE, "W-3": wheelset(flange="7/8 in")},
    "a rim": {**SOUND, **SPARE, "W-1": wheelset(rim="15/16 in")},
    "a flange on a thin rim": {**SOUND, "W-2": wheelset(flange="3/4 in", rim="1 in")},
    "two flanges": {**SOUND, "W-1": wheelset(flange="7/8 in"), "W-4": wheelset(flange="3/4 in")},
}


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return library_in(tmp_path_factory.mktemp("sets"), sizes=False)


def trials_of(answer: CheckAnswer) -> Trials:
    judged = answer.judgement
    return Trials(as_it_stood(judged.car, answer.day), judged.move, judged.rulebook, judged.move.out)


def every_minimal_set(trials: Trials) -> set[frozenset[Job]]:
    """All sets of the work on offer that leave nothing, without those that have another of them and more."""
    offered = trials.on_offer
    enough: list[frozenset[Job]] = []
    for size in range(len(offered) + 1):
        for some in combinations(offered, size):
            jobs = frozenset(some)
            if any(one.clashes_with(other) for one, other in combinations(some, 2)):
                continue
            if not any(known <= jobs for known in enough) and not trials.tried(jobs).left:
                enough.append(jobs)
    return set(enough)


@pytest.mark.parametrize("scene", SCENES)
def test_they_are_all_the_sets_of_which_no_job_can_be_left_out(library: Library, scene: str) -> None:
    answer = checked(car_text(AXLES, SCENES[scene]), library)
    trials = trials_of(answer)
    found, more = smallest_sets(trials, 20)
    assert not more
    assert len(found) == len(set(found))
    assert set(found) == every_minimal_set(trials)


def test_the_lightest_comes_first_and_is_the_plan(library: Library) -> None:
    answer = checked(car_text(AXLES, SCENES["a flange and a spare"]), library)
    trials = trials_of(answer)
    found, _ = smallest_sets(trials)
    assert found[0] <= frozenset(plan(answer).jobs)
    assert [len(jobs) for jobs in found] == sorted(len(jobs) for jobs in found)


def test_they_are_said_job_by_job(library: Library) -> None:
    answer = checked(car_text(AXLES, SCENES["two flanges"]), library)
    sets = sets_of(answer).sets
    assert sets[0].jobs == (
        JobSaid("wheels turned", ("wheel L1", "wheel R1", "wheel L4", "wheel R4"), ""),
        JobSaid("truck rolled out and returned", ("truck A", "truck B"), ""),
    )
    assert [one.bought for one in sets] == [0, 1, 1, 2]


def test_more_than_are_shown_are_said_to_be_there(library: Library) -> None:
    answer = checked(car_text(AXLES, SCENES["two flanges"]), library)
    found, more = smallest_sets(trials_of(answer), 2)
    assert (len(found), more) == (2, True)


def test_what_no_work_clears_is_said_and_the_rest_is_answered(library: Library) -> None:
    wooden = checked(car_text(AXLES, SCENES["a flange"], underframe="wooden"), library)
    sets = sets_of(wooden)
    assert [one.title for one in sets.beyond] == ["No wooden underframe"]
    assert sets.sets[0].jobs[0].work == "wheels turned"
    only = sets_of(checked(car_text(AXLES, SOUND, underframe="wooden"), library))
    assert (only.sets, [one.title for one in only.beyond]) == ((), ["No wooden underframe"])


def test_readings_and_tests_alone_are_an_empty_set(library: Library) -> None:
    sets = sets_of(checked(car_text(AXLES, SOUND, tested="2028-01-01"), library))
    assert [one.jobs for one in sets.sets] == [()]
    assert sets.assumed == 1


def test_a_ready_car_has_nothing_to_be_otherwise(library: Library, tmp_path: Path) -> None:
    del tmp_path
    answer = checked(car_text(AXLES, SOUND), library)
    assert otherwise(answer, library) is None
