"""`check_fleet`: any executor, the same answers in the same order, drawn one by one, memory that does not grow."""

from __future__ import annotations

import gc
import os
import pickle
import tracemalloc
from collections.abc import Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from pathlib import Path

import pytest
from fleet_samples import generated, rules_in, short, whose
from msgspec.structs import replace
from planning_samples import AS_OF

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import CannotJudge
from carknocker.questions.check import fleet
from carknocker.questions.check.fleet import CarResult, CarTexts, check_fleet

Short = CarResult[tuple[str, str, int]]


@pytest.fixture(scope="module")
def rules(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return rules_in(tmp_path_factory.mktemp("fleet"))


@pytest.fixture(scope="module")
def alone(rules: Path) -> list[Short]:
    return list(check_fleet(generated(9, rules), AS_OF, short))


def test_each_car_is_judged_by_itself(alone: list[Short]) -> None:
    assert [one.name for one in alone] == [f"car {number}" for number in range(9)]
    assert [one.outcome for one in alone] == ["ready", "ready", "not ready"] * 3
    assert alone[5].answer == ("TSTX 5", "not ready", 2)


@pytest.mark.parametrize("under_way", [1, 2, 32])
def test_threads_answer_the_same(rules: Path, alone: list[Short], under_way: int) -> None:
    with ThreadPoolExecutor(3) as executor:
        found = check_fleet(generated(9, rules), AS_OF, short, executor=executor, under_way=under_way)
        assert list(found) == alone


def test_processes_answer_the_same_and_judge_elsewhere(rules: Path, alone: list[Short]) -> None:
    with ProcessPoolExecutor(2, get_context("spawn")) as executor:
        assert list(check_fleet(generated(9, rules), AS_OF, short, executor=executor)) == alone
        others = {one.answer for one in check_fleet(generated(4, rules), AS_OF, whose, executor=executor)}
    assert None not in others
    assert os.getpid() not in others


def test_a_dask_cluster_takes_over_through_its_executor(
    rules: Path, alone: list[Short], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One worker process on this machine; what it is sent it unpickles, so it must find the samples too."""
    from distributed import Client, LocalCluster

    monkeypatch.setenv("PYTHONPATH", os.pathsep.join([str(Path(__file__).parent), os.environ.get("PYTHONPATH", "")]))
    cluster = LocalCluster(
        n_workers=1, threads_per_worker=1, processes=True, dashboard_address=None, local_directory=str(tmp_path)
    )
    with cluster, Client(cluster) as client:
        executor = client.get_executor()
        assert list(check_fleet(generated(9, rules), AS_OF, short, executor=executor, under_way=4)) == alone
        (elsewhere,) = check_fleet(generated(1, rules), AS_OF, whose, executor=executor)
    assert elsewhere.answer is not None
    assert elsewhere.answer != os.getpid()


def test_a_car_travels_to_another_process_and_back_unchanged(rules: Path, alone: list[Short]) -> None:
    (car,) = generated(1, rules)
    assert pickle.loads(pickle.dumps(car)) == car
    assert pickle.loads(pickle.dumps(alone)) == alone
    work = fleet.Work(AS_OF, short, None)
    assert pickle.loads(pickle.dumps(work))(car) == alone[0]


class Counted(Executor):
    """Does the work at once, and counts how much was handed over."""

    def __init__(self) -> None:
        self.handed_over = 0

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]
        self.handed_over += 1
        future: Future[object] = Future()
        return future if self.handed_over > 5 else _done(future, fn(*args, **kwargs))


def _done(future: Future[object], result: object) -> Future[object]:
    future.set_result(result)
    return future


def test_cars_are_drawn_only_so_far_ahead_as_allowed(rules: Path) -> None:
    """The first five are answered at once, the others never: three of those are sent out and no more."""
    drawn: list[str] = []

    def watched() -> Iterator[CarTexts]:
        for car in generated(10_000, rules):
            drawn.append(car.name)
            yield car

    executor = Counted()
    answers = check_fleet(watched(), AS_OF, short, executor=executor, under_way=3)
    assert drawn == []
    for expected in range(1, 6):
        next(answers)
        assert expected <= len(drawn) <= expected + 3
    answers.close()  # type: ignore[attr-defined]
    assert executor.handed_over == len(drawn) < 10


def test_whoever_stops_listening_cancels_what_has_not_begun(rules: Path) -> None:
    sent: list[Future[object]] = []

    class Never(Executor):
        def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]
            sent.append(Future())
            if len(sent) == 1:
                sent[0].set_result(fn(*args))
            return sent[-1]

    answers = check_fleet(generated(8, rules), AS_OF, short, executor=Never(), under_way=4)
    next(answers)
    answers.close()  # type: ignore[attr-defined]
    assert all(future.done() for future in sent)


def cannot(answer: CheckAnswer) -> str:
    if answer.judgement.car.mark == "TSTX 1":
        raise CannotJudge("the proof failed")
    if answer.judgement.car.mark == "TSTX 2":
        raise KeyError("a surprise")
    return answer.outcome


def ends(answer: CheckAnswer) -> str:
    if answer.judgement.car.mark == "TSTX 1":
        os._exit(7)
    return answer.outcome


def test_what_is_wrong_with_one_car_is_said_of_that_car(rules: Path) -> None:
    cars = [*generated(4, rules), CarTexts("broken", "format: carknocker-car/1\ncarr: {}\n", "no", (rules,))]
    first, second, third, fourth, broken = check_fleet(cars, AS_OF, cannot)
    assert (first.answer, second.answer, third.answer, fourth.answer) == ("ready", None, None, "ready")
    assert second.reason == "the proof failed"
    assert "KeyError: 'a surprise'" in third.reason
    assert {problem.where.file for problem in broken.problems} == {"car.yaml", "move.yaml"}
    assert any("carr" in problem.found for problem in broken.problems)


def test_a_process_that_dies_is_said_and_leaves_no_car_unanswered(rules: Path) -> None:
    with ProcessPoolExecutor(1, get_context("spawn")) as executor:
        found = list(check_fleet(generated(12, rules), AS_OF, ends, executor=executor, under_way=2))
    assert [one.name for one in found] == [f"car {number}" for number in range(12)]
    assert found[0].answer == "ready"
    assert all(BrokenProcessPool.__name__ in one.reason for one in found[1:])


def test_rulesets_are_loaded_once_and_again_when_a_file_changes(tmp_path: Path) -> None:
    rules_in(tmp_path)
    before = fleet.library_in((tmp_path,), None)
    assert fleet.library_in((tmp_path,), None) is before
    rules_file = tmp_path / "plan-law" / "1" / "all.yaml"
    rules_file.write_text(rules_file.read_text().replace("over: 7/8 in", "over: 3/4 in"))
    assert fleet.library_in((tmp_path,), None) is not before
    (car,) = [one for one in generated(3, tmp_path) if one.name == "car 2"]
    (result,) = check_fleet([replace(car, name="again")], AS_OF, short)
    assert (result.name, result.outcome) == ("again", "ready")


def test_memory_does_not_grow_with_the_number_of_cars(rules: Path) -> None:
    """A judgement of one of these cars takes more than 100 kB, so that keeping each would show at once."""
    few, many, most = 20, 80, 50_000
    held: dict[int, int] = {}
    tracemalloc.start()
    try:
        for number, _ in enumerate(check_fleet(generated(many, rules), AS_OF, short), start=1):
            if number in (few, many):
                gc.collect()
                held[number] = tracemalloc.get_traced_memory()[0]
    finally:
        tracemalloc.stop()
    assert held[many] - held[few] < most, held
