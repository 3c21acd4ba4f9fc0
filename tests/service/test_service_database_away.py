"""The database away, locked or without room while the service runs: each request is told, nothing that was acknowledged
is lost, and the service goes on by itself once the database is back."""

import errno
import os
import re
import sqlite3
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path
from threading import Event
from typing import Any

import httpx
import pytest
import sqlalchemy
from fastapi.testclient import TestClient
from form_token import token
from postgresql_server import new_database, running
from test_service_process import answers, serving, wait_until

from carknocker.service.application import application
from carknocker.service.keeping import Keeping
from carknocker.service.storage import contents, database
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History
from carknocker.service.workers import Workers

NOT_NOW = "the database does not answer now; nothing was written; send it again in a few seconds"
NO_ROOM = "there is no room left on the disk; nothing was written; whoever runs the service has to make some"
BROKEN_OFF = (
    "the database broke off while it was asked; what you sent may have been written: look before you send it again"
)
ASKED = ("/", "/cars/{car}", "/cars/{car}/history", "/cars/{car}/form", "/rules", "/audit", "/inspect/x", "/shop/x",
         "/calendars/x.ics")  # fmt: skip


def text_of(record: str, number: int) -> str:
    return f"{record}# version {number}\n"


def write_until_told(client: httpx.Client, car: str, record: str, told: Event) -> tuple[list[int], set[str]]:
    """Writes one version after the other; which were acknowledged, and what was said of those that were not."""
    newest, acknowledged, refusals = 1, [], set()
    while not told.is_set():
        sent = {"text": text_of(record, newest + 1)}
        answer = client.put(f"/api/cars/{car}/texts/record", json=sent, headers={"If-Match": f'"{newest}"'})
        if answer.status_code == 200:
            newest += 1
            acknowledged.append(newest)
        elif answer.status_code == 412:  # it was written, and the answer lost
            newest = answer.json()["newest"]
        else:
            assert (answer.status_code, answer.headers["retry-after"]) == (503, "5"), answer.text
            assert answer.headers["content-type"] == "application/problem+json"
            refusals.add(answer.json()["detail"])
            time.sleep(0.05)
    return acknowledged, refusals


@pytest.mark.postgresql
@pytest.mark.parametrize("mode", ["fast", "immediate"])
def test_a_database_that_is_stopped_and_started_again(tmp_path: Path, record: str, move: str, mode: str) -> None:
    with running() as server, serving(tmp_path / "data", "--database", server.address) as (process, client):
        car = client.post("/api/cars", json={"record": record, "move": move}).json()["id"]
        form_token = re.search(r'name="token" value="([0-9a-f]{64})"', client.get("/new").text)
        assert form_token is not None
        enough = Event()
        with ThreadPoolExecutor(1) as pool:
            writing = pool.submit(write_until_told, client, car, record, enough)
            newest = f"/api/cars/{car}/texts/record"
            wait_until(lambda: client.get(newest).headers["etag"] not in ('"1"', '"2"'))
            server.stop(mode)
            try:
                health = client.get("/healthz")
                assert (health.status_code, health.text) == (503, "the database does not answer\n")
                for address in ASKED:
                    page = client.get(address.format(car=car))
                    assert (page.status_code, page.headers["retry-after"]) == (503, "5"), address
                    assert "The database does not answer now. Open this page again" in page.text
                away = {"token": form_token[1], "away": "true", "why": "sold"}
                answer = client.post(f"/cars/{car}/put-away", data=away)
                assert answer.status_code == 503
                assert "The database does not answer now; nothing was written" in answer.text
                listed = client.get("/api/cars")
                assert (listed.status_code, listed.json()["detail"]) == (503, NOT_NOW)
                assert client.get("/style.css").status_code == 200
            finally:
                server.start()
            wait_until(lambda: answers(client))
            before = int(client.get(newest).headers["etag"].strip('"'))
            wait_until(lambda: int(client.get(newest).headers["etag"].strip('"')) > before)
            enough.set()
            acknowledged, refusals = writing.result()
        assert NOT_NOW in refusals
        assert refusals <= {NOT_NOW, BROKEN_OFF}
        for number in acknowledged:
            assert client.get(newest, params={"version": number}).json()["text"] == text_of(record, number)
        assert client.get(f"/cars/{car}").status_code == 200
        process.terminate()
        written = process.communicate()[0]
    assert record[:200] not in written
    assert "Traceback" not in written


class OnSqlite:
    """A service on SQLite whose writers wait no longer than a moment."""

    def __init__(self, folder: Path, workers: Workers) -> None:
        self.folder = folder
        self.engine = open_database(folder)
        now = datetime(2026, 10, 8, 12, 0, tzinfo=UTC)
        self.keeping = Keeping(History(self.engine, folder), workers, lambda: now)
        self.keeping.ensure()
        self.client = TestClient(application(self.keeping), base_url="http://localhost", follow_redirects=False,
                                 raise_server_exceptions=False)  # fmt: skip

    def write(self, car: str, text: str, after: int = 1) -> Any:
        address = f"/api/cars/{car}/texts/record"
        return self.client.put(address, json={"text": text}, headers={"If-Match": f'"{after}"'})


@pytest.fixture
def on_sqlite(tmp_path: Path, workers: Workers, monkeypatch: pytest.MonkeyPatch) -> Iterator[OnSqlite]:
    monkeypatch.setattr(database, "_WAIT_FOR_WRITERS_MS", 50)
    one = OnSqlite(tmp_path / "kept", workers)
    yield one
    one.engine.dispose()


def test_a_file_that_another_process_locks(on_sqlite: OnSqlite, record: str, move: str) -> None:
    client = on_sqlite.client
    car = on_sqlite.keeping.add_car(record, move, "owner").id
    page = f"/cars/{car}"
    sent = {"token": token(client, page), "away": "true", "why": "sold"}
    other = sqlite3.connect(on_sqlite.folder / "carknocker.sqlite", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    refused = on_sqlite.write(car, text_of(record, 2))
    assert (refused.status_code, refused.json()["detail"], refused.headers["retry-after"]) == (503, NOT_NOW, "5")
    told = client.post(f"{page}/put-away", data=sent)
    assert (told.status_code, told.headers["retry-after"]) == (503, "5")
    assert "The database does not answer now; nothing was written" in told.text
    assert client.get(page).status_code == 200, "it can be read meanwhile"
    other.execute("ROLLBACK")
    other.close()
    assert on_sqlite.write(car, text_of(record, 2)).status_code == 200
    assert client.post(f"{page}/put-away", data=sent).status_code == 303


def test_a_database_without_room(on_sqlite: OnSqlite, record: str, move: str) -> None:
    car = on_sqlite.keeping.add_car(record, move, "owner").id
    full = True

    @sqlalchemy.event.listens_for(on_sqlite.engine, "checkout")
    def limit(connection: sqlite3.Connection, _record: object, _proxy: object) -> None:
        connection.execute(f"PRAGMA max_page_count = {1 if full else 1_000_000}")

    refused = on_sqlite.write(car, text_of(record, 2) + "# more\n" * 5_000)
    assert (refused.status_code, refused.json()["detail"]) == (503, NO_ROOM)
    assert "NOT READY" in on_sqlite.client.get(f"/cars/{car}").text, "it was never judged, and its row can't be written"
    full = False
    assert on_sqlite.write(car, text_of(record, 2)).status_code == 200
    assert on_sqlite.keeping.text(car, "record")[1] == text_of(record, 2)


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EDQUOT])
def test_a_disk_without_room_for_a_large_file(
    on_sqlite: OnSqlite, record: str, move: str, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    car = on_sqlite.keeping.add_car(record, move, "owner").id
    large = text_of(record, 2) + "# more\n" * 60_000

    def full(_: int) -> None:
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as patched:
        patched.setattr(contents.os, "fsync", full)
        refused = on_sqlite.write(car, large)
    assert (refused.status_code, refused.json()["detail"]) == (503, NO_ROOM)
    assert [one for one in (on_sqlite.folder / "files").rglob("*") if one.is_file()] == [], (
        "nothing is left half written"
    )
    assert on_sqlite.keeping.text(car, "record")[0].number == 1
    assert on_sqlite.write(car, large).status_code == 200


def test_a_disk_that_is_nearly_full_is_not_well(on_sqlite: OnSqlite, monkeypatch: pytest.MonkeyPatch) -> None:
    assert on_sqlite.client.get("/healthz").text == "ok\n"
    free = os.statvfs(on_sqlite.folder)
    monkeypatch.setattr(contents, "LEAST_FREE_BYTES", free.f_frsize * free.f_blocks + 1)
    unwell = on_sqlite.client.get("/healthz")
    assert (unwell.status_code, unwell.text) == (503, "the disk is full, or nearly\n")


@pytest.mark.postgresql
def test_whether_it_was_written_is_left_open_where_the_database_breaks_off_at_the_end(
    tmp_path: Path, workers: Workers, record: str, move: str, request: pytest.FixtureRequest
) -> None:
    engine = open_database(tmp_path / "data", new_database(request))
    keeping = Keeping(History(engine, tmp_path / "data"), workers, lambda: datetime(2026, 10, 8, tzinfo=UTC))
    keeping.ensure()
    client = TestClient(application(keeping), base_url="http://localhost", raise_server_exceptions=False)
    car = keeping.add_car(record, move, "owner").id
    breaks = True

    @sqlalchemy.event.listens_for(engine, "commit")
    def break_off(connection: sqlalchemy.Connection) -> None:
        if breaks:
            process = connection.connection.dbapi_connection.info.backend_pid  # type: ignore[union-attr]
            with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as other:
                other.execute(sqlalchemy.text("SELECT pg_terminate_backend(:process, 5000)"), {"process": process})

    page, address = f"/cars/{car}", f"/api/cars/{car}/texts/record"
    assert client.get(page).status_code == 200, "that its row can't be written keeps nobody from reading"
    refused = client.put(address, json={"text": text_of(record, 2)}, headers={"If-Match": '"1"'})
    assert (refused.status_code, refused.json()["detail"], refused.headers["retry-after"]) == (503, BROKEN_OFF, "5")
    told = client.post(f"{page}/put-away", data={"token": token(client, page), "away": "true", "why": "sold"})
    assert told.status_code == 503
    assert "The database broke off while it was asked; what you sent may have been written" in told.text
    breaks = False
    assert client.put(address, json={"text": text_of(record, 2)}, headers={"If-Match": '"1"'}).status_code == 200
    engine.dispose()
