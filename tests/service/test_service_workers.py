"""The worker processes: what they are not given time or memory for is stopped, and who stops is replaced."""

import os
import signal
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

import msgspec
import pytest
from fastapi.testclient import TestClient

from carknocker.service.asked import Refused, Sources
from carknocker.service.asked_questions import answered
from carknocker.service.keeping import Keeping
from carknocker.service.workers import MOST_BYTES_KEPT, Workers


@pytest.fixture(scope="module")
def short() -> Iterator[Workers]:
    """One process, half a second for an answer, 400 MB, and one who waits."""
    pool = Workers(1, longest=0.5, memory=400 * 1024**2, waiting=1, longest_wait=5)
    pool.ask(os.getpid)
    yield pool
    pool.stop()


def refused(pool: Workers, function, *given) -> Refused:  # type: ignore[no-untyped-def]
    with pytest.raises(Refused) as why:
        pool.ask(function, *given)
    return why.value


def test_what_takes_too_long_is_stopped_and_the_process_replaced(short: Workers) -> None:
    why = refused(short, time.sleep, 60)
    assert (why.reason, why.said) == ("stopped", "it took longer than 0.5 seconds and was stopped")
    assert short.ask(abs, -1) == 1


def test_what_takes_too_much_memory_is_stopped(short: Workers) -> None:
    why = refused(short, bytearray, 500 * 1024**2)
    assert (why.reason, why.said) == ("stopped", "it took more memory than one answer may and was stopped")
    assert len(short.ask(bytearray, 2 * 1024**2)) == 2 * 1024**2


def test_a_process_that_ends_is_replaced(short: Workers) -> None:
    assert refused(short, os._exit, 7).reason == "stopped"
    assert short.ask(abs, -2) == 2


def test_a_process_that_is_killed_while_it_has_nothing_to_do_is_replaced(short: Workers) -> None:
    os.kill(short.ask(pid, 1), signal.SIGKILL)
    time.sleep(0.5)
    assert short.ask(abs, -3) == 3
    assert short.live()


def pid(_: int) -> int:
    """The number is so that no kept answer is given."""
    return os.getpid()


def test_whoever_comes_when_too_many_wait_is_told_to_come_again(short: Workers) -> None:
    with ThreadPoolExecutor(2) as askers:
        asked = [askers.submit(short.ask, time.sleep, seconds) for seconds in (0.3, 0.31)]
        time.sleep(0.1)
        before = time.monotonic()
        why = refused(short, abs, -4)
        assert time.monotonic() - before < 0.1
        assert (why.reason, why.said) == (
            "busy", "too much is being worked out at once; ask again in a few seconds",
        )  # fmt: skip
        assert short.live()
        assert [one.result() for one in asked] == [None, None]
    assert short.ask(abs, -4) == 4


def test_who_never_comes_to_a_turn_is_told_to_come_again() -> None:
    pool = Workers(1, longest=0.2, longest_wait=0.1)
    try:
        pool._pool.schedule(time.sleep, args=(3,))
        assert refused(pool, abs, -2).reason == "busy"
    finally:
        pool.stop()


def test_those_who_ask_the_same_at_once_are_answered_by_one_judgement(tmp_path: Path) -> None:
    pool = Workers(2, waiting=4)
    try:
        with ThreadPoolExecutor(4) as askers:
            told = [askers.submit(pool.ask, once, tmp_path / "asked") for _ in range(4)]
            assert [one.result() for one in told] == [True] * 4
    finally:
        pool.stop()


def once(file: Path) -> bool:
    """Fails where it is called a second time."""
    file.touch(exist_ok=False)
    time.sleep(0.3)
    return True


def test_workers_that_are_stopped_refuse_and_those_who_wait_are_told(tmp_path: Path) -> None:
    pool = Workers(1)
    pool.ask(abs, -1)
    with ThreadPoolExecutor(1) as askers:
        waits = askers.submit(pool.ask, time.sleep, 20)
        time.sleep(0.2)
        pool.stop()
        with pytest.raises(Refused) as why:
            waits.result(5)
    assert why.value.reason == "busy"
    assert refused(pool, abs, -2).reason == "busy"
    assert not pool.live()


def test_the_folder_of_rulesets_that_were_sent_in_is_gone_after_use(
    record: str, move: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    here = Path.cwd()
    edition = Path(__file__).resolve().parents[2] / "rulesets" / "brackwater-and-inland" / "4"
    texts = {file.name: file.read_text(encoding="utf-8") for file in sorted(edition.glob("*.yaml"))}
    for old, new in (("brackwater-and-inland", "a-host"), ("Brackwater & Inland", "A Host"),
                     ("canada-passenger", "us-federal")):  # fmt: skip
        texts = {name: text.replace(old, new) for name, text in texts.items()}
    editions = tuple((f"a-host/4/{name}", text) for name, text in texts.items())
    sources = Sources(record, move.replace("Kestrel & Northern", "A Host"), date(2026, 10, 8), editions)
    said = answered("check", sources, "markdown").body.decode("utf-8")
    assert "a-host 4" in said
    assert str(tmp_path) not in said
    assert list(tmp_path.iterdir()) == []
    assert Path.cwd() == here


class Made(msgspec.Struct, frozen=True):
    """An answer that is no single file."""

    text: str
    pictures: tuple[tuple[str, bytes], ...]


def large(size: int) -> Made:
    return Made("x" * 10, (("a.jpg", b"x" * size), ("b.jpg", b"y" * 5)))


def test_what_is_kept_of_answers_is_counted_in_all_that_an_answer_holds(workers: Workers) -> None:
    workers.forget()
    workers.ask(large, 1_000)
    assert workers._bytes == 10 + 5 + 1_000 + 5 + 5
    workers.ask(large, MOST_BYTES_KEPT // 4)
    assert workers._bytes == 1_025, "one so large is not kept"
    workers.forget()


@pytest.mark.parametrize("address", ["/cars/{}/check", "/api/cars/{}/answers/check"])
def test_a_busy_service_says_when_to_come_again(
    client: TestClient, keeping: Keeping, record: str, move: str, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = keeping.add_car(record, move, "owner").id

    def busy(*_: object) -> None:
        raise Refused("busy", "too much at once")

    monkeypatch.setattr(keeping.workers, "ask", busy)
    answer = client.get(address.format(made))
    assert (answer.status_code, answer.headers["retry-after"]) == (503, "5")
    assert "too much at once" in answer.text


def test_where_no_process_can_be_started_it_is_busy_and_not_well(
    client: TestClient, keeping: Keeping, record: str, move: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Too many processes, or no shared memory, in a container say."""
    car = client.post("/api/cars", json={"record": record, "move": move}).json()["id"]

    def none_left(*_: object, **__: object) -> None:
        raise OSError(11, "Resource temporarily unavailable")

    monkeypatch.setattr(keeping.workers._pool, "schedule", none_left)
    health = client.get("/healthz")
    assert (health.status_code, health.text) == (503, "no worker answers\n")
    asked = client.get(f"/api/cars/{car}/answers/figures?as_of=2031-01-01")
    assert (asked.status_code, asked.headers["retry-after"]) == (503, "5")
    assert asked.headers["content-type"] == "application/problem+json"
    monkeypatch.undo()
    assert client.get("/healthz").status_code == 200
