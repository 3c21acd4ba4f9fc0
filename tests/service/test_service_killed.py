"""The service, killed while several write to it, again and again: started anew it has what it acknowledged, and its
database is sound."""

import os
import random
import signal
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import httpx
import pytest
import sqlalchemy
from test_service_process import serving

from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History

TIMES = 200
WRITERS = 4
"""Each writes to a car of its own."""
CASE = Path(__file__).resolve().parents[2] / "cases" / "nothing-measured"
RECORD = (CASE / "car.yaml").read_text(encoding="utf-8")
MOVE = (CASE / "move.yaml").read_text(encoding="utf-8")
SOUND = {
    "sqlite": "SELECT count(*) FROM pragma_integrity_check WHERE integrity_check <> 'ok'",
    "postgresql": "SELECT count(bt_index_check(oid, true)) * 0 FROM pg_class WHERE relkind = 'i' "
    "AND relnamespace = 'public'::regnamespace",
}
"""How many faults the database finds in itself; PostgreSQL ends with an error at the first."""


def text_of(number: int) -> str:
    """Version `number` of a record; every third is so large that it lies in a file."""
    more = 40_000 if number % 3 == 0 else 1
    return f"{RECORD}# version {number}\n" + "# more\n" * more


def newest_of(data: Path, database: str | None, car: str, acknowledged: int) -> int:
    """Looks whether every acknowledged version is there with its own bytes, and the database sound; says which is the
    newest."""
    history = History(open_database(data, database), data)
    found = history.newest(car, "record", "")
    newest = found.number if found else 0
    assert newest >= acknowledged
    for number in range(max(2, acknowledged - 5), acknowledged + 1):
        assert history.text(history.version(car, "record", "", number)) == text_of(number)
    with history.engine.connect() as connection:
        assert connection.execute(sqlalchemy.text(SOUND[history.engine.dialect.name])).scalar_one() == 0
    history.engine.dispose()
    return newest


def write_until_it_is_gone(client: httpx.Client, car: str, newest: int, told: list[int]) -> None:
    """Writes one version after the other; `told` gets each that was acknowledged."""
    while True:
        sent = {"text": text_of(newest + 1)}
        try:
            answer = client.put(f"/api/cars/{car}/texts/record", json=sent, headers={"If-Match": f'"{newest}"'})
        except httpx.TransportError:
            return
        assert answer.status_code == 200, answer.text
        newest += 1
        told.append(newest)


def kill_often(data: Path, database: str | None, times: int) -> None:
    more = () if database is None else ("--database", database)
    with serving(data, *more) as (process, client):
        made = (client.post("/api/cars", json={"record": RECORD, "move": MOVE}) for _ in range(WRITERS))
        newest = {str(one.json()["id"]): 1 for one in made}
        process.terminate()
        process.communicate()
    if database is not None:
        with sqlalchemy.create_engine(database.replace("postgresql:", "postgresql+psycopg:")).begin() as connection:
            connection.execute(sqlalchemy.text("CREATE EXTENSION amcheck"))
    chance = random.Random(215)
    for _ in range(times):
        told: dict[str, list[int]] = {car: [] for car in newest}
        with serving(data, *more) as (process, client), ThreadPoolExecutor(WRITERS) as pool:
            written = [
                pool.submit(write_until_it_is_gone, client, car, number, told[car]) for car, number in newest.items()
            ]
            until = time.monotonic() + 60
            while not any(told.values()) and time.monotonic() < until:
                time.sleep(0.01)
            time.sleep(chance.random() * 0.3)
            os.kill(process.pid, signal.SIGKILL)
            for one in written:
                one.result()
        assert any(told.values())
        for car, acknowledged in told.items():
            newest[car] = newest_of(data, database, car, max(acknowledged, default=newest[car]))


def test_killed_twice(tmp_path: Path, database: str | None) -> None:
    kill_often(tmp_path / "data", database, 2)


@pytest.mark.long
def test_killed_two_hundred_times(tmp_path: Path, database: str | None) -> None:
    kill_often(tmp_path / "data", database, TIMES)
