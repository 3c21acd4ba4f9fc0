"""The list of cars: judged in the background, never while somebody asks for it, and never saying more than is so."""

import errno
import json
import time
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
import sqlalchemy
from fastapi.testclient import TestClient

from carknocker.service import asked
from carknocker.service.asked import Refused
from carknocker.service.background import Background
from carknocker.service.keeping import Keeping
from carknocker.service.log import Log
from carknocker.service.sent_editions import RULESETS
from carknocker.service.storage.car_list import Car, Place
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History
from carknocker.service.workers import Workers

CASES = Path(__file__).resolve().parents[2] / "cases"
READY = CASES / "wren-hollow" / "after"
SAID = "ready with restrictions: 70 mph; law in part"


@pytest.fixture
def car(keeping: Keeping) -> str:
    """A car that is ready with restrictions on 2026-10-24, judged."""
    keeping.now = lambda: datetime(2026, 10, 24, 12, 0, tzinfo=UTC)
    texts = [(READY / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml")]
    made = keeping.add_car(texts[0], texts[1], "owner").id
    keeping.judge(made)
    assert row(keeping).outcome == SAID
    return made


def row(keeping: Keeping):  # type: ignore[no-untyped-def]
    ((_, found),) = keeping.list_cars()
    return found


def new_record(keeping: Keeping, car: str, _: pytest.MonkeyPatch) -> None:
    version, text = keeping.text(car, "record")
    keeping.accept(car, "record", text + "# more\n", "owner", "", version.number)


def new_move(keeping: Keeping, car: str, _: pytest.MonkeyPatch) -> None:
    version, text = keeping.text(car, "move")
    keeping.accept(car, "move", text + "# more\n", "owner", "", version.number)


def new_edition(keeping: Keeping, _: str, patch: pytest.MonkeyPatch) -> None:
    patch.setattr(asked, "rulesets_looked_through", no_problem)
    keeping.sent_editions.accept("a-host", "1", {"edition.yaml": "x: 1\n"}, "owner", "", "0")


def no_problem(_: object) -> tuple[()]:
    return ()


def new_day(keeping: Keeping, _: str, patch: pytest.MonkeyPatch) -> None:
    patch.setattr(keeping, "today", lambda: date(2026, 10, 25))


def new_program(keeping: Keeping, _: str, patch: pytest.MonkeyPatch) -> None:
    patch.setattr(keeping, "program", "99.0")


@pytest.mark.parametrize("change", [new_record, new_move, new_edition, new_day, new_program])
def test_a_row_that_no_longer_tells_how_a_car_stands_does_not_say_ready(
    client: TestClient, keeping: Keeping, car: str, change: Callable[..., None], monkeypatch: pytest.MonkeyPatch
) -> None:
    change(keeping, car, monkeypatch)
    waits = row(keeping)
    assert (waits.outcome, waits.first_fault, waits.next_lapse, waits.up_to_date) == ("being judged", "", "", False)
    assert (waits.before, waits.as_of) == (SAID, "2026-10-24")
    page = client.get("/").text
    assert "BEING JUDGED" in page
    assert "READY" not in page
    assert f"On 2026-10-24 it was: {SAID}." in page
    assert keeping.waiting(10) == (car,)


@pytest.mark.parametrize("change", [new_record, new_move, new_day, new_program])
def test_it_is_judged_in_the_background(
    client: TestClient, keeping: Keeping, background: Background, car: str, change: Callable[..., None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    change(keeping, car, monkeypatch)
    assert background.judge_waiting() == 1
    judged = row(keeping)
    assert (judged.outcome, judged.up_to_date, judged.as_of) == (SAID, True, keeping.today().isoformat())
    assert background.judge_waiting() == 0
    assert client.get("/api/cars").json()["cars"][0]["up_to_date"] is True


def test_the_list_judges_nothing_while_it_is_asked_for(
    client: TestClient, keeping: Keeping, car: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object) -> None:
        raise AssertionError("judged in a request")

    new_record(keeping, car, monkeypatch)
    monkeypatch.setattr(keeping.workers, "ask", never)
    assert client.get("/").status_code == 200
    assert client.get("/api/cars").json()["cars"][0]["outcome"] == "being judged"


def test_what_is_changed_while_it_is_judged_is_judged_too(
    keeping: Keeping, background: Background, car: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    new_record(keeping, car, monkeypatch)
    ask = keeping.workers.ask

    def changed_meanwhile(*given):  # type: ignore[no-untyped-def]
        monkeypatch.setattr(keeping.workers, "ask", ask)
        said = ask(*given)
        new_record(keeping, car, monkeypatch)
        return said

    monkeypatch.setattr(keeping.workers, "ask", changed_meanwhile)
    assert background.judge_waiting() == 1
    assert not row(keeping).up_to_date
    assert background.judge_waiting() == 1
    assert row(keeping).up_to_date


def test_an_older_judgement_that_comes_late_is_not_taken(keeping: Keeping, car: str) -> None:
    held = keeping.history.standing(car)
    keeping.judge(car)
    sooner = keeping.history.standing(car)
    keeping.history.set_standing(asked.msgspec.structs.replace(held, judged=held.judged - 1, outcome="not ready"))
    assert keeping.history.standing(car) == sooner


@pytest.mark.parametrize(("reason", "waits"), [("busy", True), ("stopped", False), ("input", False)])
def test_a_car_of_which_there_is_no_answer_is_said_to_have_none_and_does_not_wait_for_ever(
    keeping: Keeping, background: Background, car: str, reason: str, waits: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    new_record(keeping, car, monkeypatch)

    def refuse(*_: object) -> None:
        raise Refused(reason, "it took too long")  # type: ignore[arg-type]

    monkeypatch.setattr(keeping.workers, "ask", refuse)
    assert background.judge_waiting() == (0 if waits else 1)
    found = row(keeping)
    assert (found.outcome, found.first_fault) == (("being judged", "") if waits else ("no answer", "it took too long"))
    assert found.out == "2026-11-06"
    assert keeping.waiting(10) == ((car,) if waits else ())


def test_a_car_without_a_record_hinders_no_other(keeping: Keeping, background: Background, car: str) -> None:
    keeping.history.add_car(Car("c0", "QTST 1", "Half made", "t", "owner"))
    keeping.ensure()
    assert background.judge_waiting() == 1
    listed = {car.id: found.outcome for car, found in keeping.list_cars()}
    assert listed == {"c0": "no answer", car: SAID}


def test_a_judgement_that_goes_wrong_hinders_no_other_and_is_made_once_it_can_be(
    keeping: Keeping, car: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    texts = [(READY / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml")]
    other = keeping.add_car(texts[0], texts[1], "owner").id
    new_record(keeping, car, monkeypatch)
    summary = keeping._summary

    def without_room(car_id: str, out: str, today: date) -> asked.Summary:
        if car_id == car:
            raise OSError(errno.ENOSPC, "No space left on device")
        return summary(car_id, out, today)

    lines: list[str] = []
    background = Background(keeping, Log(lines.append, keeping.now))
    with monkeypatch.context() as patched:
        patched.setattr(keeping, "_summary", without_room)
        assert background.judge_waiting() == 1
    assert {one.id: found.outcome for one, found in keeping.list_cars()} == {car: "being judged", other: SAID}
    assert [json.loads(line)["error"] for line in lines] == ["OSError"]
    assert background.judge_waiting() == 1
    assert {found.outcome for _, found in keeping.list_cars()} == {SAID}


def test_cars_that_no_row_stands_for_are_listed_when_the_service_starts(
    keeping: Keeping, background: Background, car: str
) -> None:
    with keeping.history.engine.begin() as connection:
        connection.execute(sqlalchemy.text("DELETE FROM standing"))
    assert keeping.list_cars() == ()
    keeping.ensure()
    assert row(keeping).outcome == "being judged"
    assert background.judge_waiting() == 1
    assert (row(keeping).outcome, row(keeping).out) == (SAID, "2026-11-06")
    assert RULESETS not in {found.id for found, _ in keeping.list_cars()}


def test_the_thread_judges_what_is_changed_and_outlives_a_database_that_is_away(
    keeping: Keeping, car: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    away = [sqlalchemy.exc.OperationalError("", {}, Exception()), sqlalchemy.exc.OperationalError("", {}, Exception())]
    waiting = keeping.waiting

    def sometimes(most: int) -> tuple[str, ...]:
        if away:
            raise away.pop()
        return waiting(most)

    monkeypatch.setattr(keeping, "waiting", sometimes)
    lines: list[str] = []
    background = Background(keeping, Log(lines.append, keeping.now), looks_again=0.01)
    background.start()
    try:
        new_record(keeping, car, monkeypatch)
        until = time.monotonic() + 20
        while not row(keeping).up_to_date and time.monotonic() < until:
            time.sleep(0.01)
        assert row(keeping).outcome == SAID
    finally:
        background.stop()
        background.join()
    assert not background._thread.is_alive()
    assert [(told["what"], told["error"]) for told in map(json.loads, lines)] == [
        ("background", "OperationalError")
    ] * 2


@pytest.mark.parametrize(
    "after", [None, Place(0, "2026-11-06", "c1", 0), Place(1, "2026-01-06", "c1", 0), Place(2, "7", "c1", 3)]
)
def test_a_page_of_the_list_reads_no_more_rows_than_it_shows(
    tmp_path: Path, workers: Workers, after: Place | None
) -> None:
    """By the plan of SQLite: it goes down the index of moves, and neither reads all rows nor sorts them."""
    keeping = Keeping(History(open_database(tmp_path), tmp_path), workers, lambda: datetime(2026, 10, 8, tzinfo=UTC))
    statements: list[tuple[str, object]] = []
    sqlalchemy.event.listen(
        keeping.history.engine, "before_cursor_execute", lambda *given: statements.append((given[2], given[3]))
    )
    keeping.list_cars(after=after, most=50)
    asked_of = [one for one in statements if one[0].startswith("SELECT")]
    assert len(asked_of) == (4 if after is None else 3 - after.section), "sections, and which change is the newest"
    sections = [one for one in asked_of if "FROM car" in one[0]]
    assert len(sections) == 3 - (0 if after is None else after.section)
    for number, (statement, parameters) in enumerate(reversed(sections)):
        index = "standing_by_move" if number else "standing_by_change"
        with keeping.history.engine.connect() as connection:
            plan = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", parameters).all()  # type: ignore[arg-type]
        said = [str(step[3]) for step in plan]
        assert any(f"USING INDEX {index}" in step for step in said), said
        assert not any("TEMP B-TREE" in step or step == "SCAN standing" or step == "SCAN car" for step in said), said
