"""Several hosts, each with a service, on one PostgreSQL database and one folder."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import psycopg
import pytest
from postgresql_server import new_database
from test_service_process import serving
from test_service_proxy import token_on

from carknocker.service.asked import Summary
from carknocker.service.background import Background
from carknocker.service.keeping import Keeping
from carknocker.service.log import Log
from carknocker.service.sent_editions import RULESETS
from carknocker.service.storage.car_list import Car
from carknocker.service.storage.contents import MOST_BYTES_IN_DATABASE
from carknocker.service.storage.database import DatabaseRefused, of_one_time_zone, open_database
from carknocker.service.storage.history import History, NewVersion

pytestmark = pytest.mark.postgresql
AT = "2026-10-08T12:00:00Z"
NOW = datetime(2026, 10, 8, 12, 0, tzinfo=UTC)


@pytest.fixture
def shared(request: pytest.FixtureRequest) -> str:
    return new_database(request)


def test_two_that_start_at_once_on_an_empty_database_serve_the_same_cars(
    tmp_path: Path, shared: str, record: str, move: str
) -> None:
    with ExitStack() as stack, ThreadPoolExecutor(2) as pool:
        more = ("--database", shared, "--processes", "1")
        begun = [pool.submit(stack.enter_context, serving(tmp_path, *more)) for _ in range(2)]
        (_, one), (_, other) = (each.result() for each in begun)
        made = one.post("/api/cars", json={"record": record, "move": move}).json()["id"]
        assert other.get(f"/api/cars/{made}").json()["outcome"] == "not ready"
        page = f"/cars/{made}/texts/record"
        shown = one.get(page)
        changed = {"token": token_on(shown), "text": f"{record}# more\n", "note": "", "after": "1"}
        other.cookies.set("carknocker", one.cookies["carknocker"], domain="localhost.local")
        assert other.post(page, data=changed).status_code == 303, "a form of one, sent to the other"
        late = one.put(f"/api{page}", json={"text": record}, headers={"If-Match": '"1"'})
        assert late.status_code == 412
        assert one.get(f"/api{page}").json()["number"] == 2


def test_a_server_that_is_gone_is_given_up_after_a_minute(tmp_path: Path, shared: str) -> None:
    """As PostgreSQL's own library says it was told. TCP itself waits a quarter of an hour."""
    with open_database(tmp_path, shared).connect() as connection:
        told = connection.connection.driver_connection.info.get_parameters()
    assert told["tcp_user_timeout"] == "60000"
    assert [told[f"keepalives_{name}"] for name in ("idle", "interval", "count")] == ["30", "10", "3"]


class Counting:
    """In place of the workers: judges slowly, and counts."""

    processes = 8

    def __init__(self) -> None:
        self.judged: list[str] = []

    def ask(self, _function: object, sources: Any) -> Summary:
        self.judged.append(sources.record)
        time.sleep(0.02)
        return Summary(None, "2026-11-06", "not ready", "", "")


@pytest.fixture
def hosts(tmp_path: Path, shared: str) -> Iterator[tuple[list[Background], Counting]]:
    """Two of them, not started, with sixty cars that wait."""
    counting = Counting()
    engines = [open_database(tmp_path, shared) for _ in range(2)]
    kept = [Keeping(History(engine, tmp_path), counting, lambda: NOW) for engine in engines]  # type: ignore[arg-type]
    kept[0].ensure()
    for number in range(60):
        texts = [NewVersion(f"c{number}", "record", "", f"c{number}".encode(), "text/yaml", AT, "owner"),
                 NewVersion(f"c{number}", "move", "", b"x", "text/yaml", AT, "owner")]  # fmt: skip
        kept[0].history.add_car(Car(f"c{number}", "QTST 1", "Test", AT, "owner"), texts, "2026-11-06")
    yield [Background(one, Log(lambda _: None, lambda: NOW)) for one in kept], counting
    for engine in engines:
        engine.dispose()


def test_two_judge_each_car_once(hosts: tuple[list[Background], Counting]) -> None:
    both, counting = hosts
    with ThreadPoolExecutor(2) as pool:
        done = list(pool.map(Background.judge_waiting, both))
    assert sum(done) == 60
    assert min(done) > 0, "each takes a part"
    assert sorted(counting.judged) == sorted(f"c{number}" for number in range(60))


def test_a_car_whose_judge_is_lost_is_judged_by_the_next(hosts: tuple[list[Background], Counting]) -> None:
    (one, other), _ = hosts
    with one._keeping.history.claimed("c7") as mine:
        assert mine
        assert other.judge_waiting() == 59
        with other._keeping.history.claimed("c7") as theirs:
            assert not theirs
    assert other.judge_waiting() == 1


@pytest.fixture
def _in_utc() -> Iterator[None]:
    before = os.environ.get("TZ")
    os.environ["TZ"] = "Etc/UTC"
    time.tzset()
    yield
    del os.environ["TZ"]
    if before is not None:
        os.environ["TZ"] = before
    time.tzset()


@pytest.mark.usefixtures("_in_utc")
@pytest.mark.parametrize(
    ("zone", "alike"), [("Etc/UTC", True), ("Europe/London", False), ("Pacific/Auckland", False), ("GMT", True)]
)
def test_another_time_zone_than_the_databases_is_refused(tmp_path: Path, shared: str, zone: str, alike: bool) -> None:
    """London differs in summer alone."""
    with psycopg.connect(shared, autocommit=True) as connection:
        name = connection.info.dbname
        connection.execute(f"ALTER DATABASE {name} SET timezone = '{zone}'")  # type: ignore[arg-type]
    engine = open_database(tmp_path, shared)
    if alike:
        of_one_time_zone(engine)
    else:
        with pytest.raises(DatabaseRefused, match=f"another time zone than the database, {zone}: "):
            of_one_time_zone(engine)
    engine.dispose()


def test_the_command_says_so(tmp_path: Path, shared: str) -> None:
    with psycopg.connect(shared, autocommit=True) as connection:
        name = connection.info.dbname
        connection.execute(f"ALTER DATABASE {name} SET timezone = 'Pacific/Auckland'")  # type: ignore[arg-type]
    refused = start(tmp_path, shared, TZ="America/Chicago")
    assert refused.returncode == 2
    assert "ALTER DATABASE" in refused.stderr
    assert "Traceback" not in refused.stderr


def test_another_folder_than_the_databases_is_refused(tmp_path: Path, shared: str) -> None:
    history = History(open_database(tmp_path / "one", shared), tmp_path / "one")
    history.add_car(Car(RULESETS, "", "", AT, "owner"))
    history.look_at_folder()
    large = b"x" * (MOST_BYTES_IN_DATABASE + 1)
    history.add([NewVersion(RULESETS, "photograph", "p", large, "image/jpeg", AT, "owner")])
    history.look_at_folder()
    history.engine.dispose()
    refused = start(tmp_path / "other", shared)
    assert refused.returncode == 2
    assert "large files of this database lie in another folder" in refused.stderr


def start(data: Path, database: str, **more: str) -> subprocess.CompletedProcess[str]:
    program = "from carknocker.cli.start import command; command()"
    command = [sys.executable, "-c", program, "serve", "--data", str(data), "--database", database, "--port", "1"]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, env={**os.environ, **more}, check=False)
