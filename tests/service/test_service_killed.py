"""Killed while it writes, again and again: what was acknowledged is there, and the database is sound."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
import sqlalchemy

from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import Car, History

TIMES = 200
WRITER = """
import sys
from pathlib import Path
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History, NewVersion
data, database = Path(sys.argv[1]), sys.argv[2] or None
history = History(open_database(data, database), data)
while True:
    newest = history.newest("c1", "record", "")
    number = newest.number if newest else 0
    body = (f"{number + 1} " * (60_000 if number % 5 == 0 else 10)).encode()
    made = history.add([NewVersion("c1", "record", "", body, "text/yaml", "t", "owner", "", number)])[0]
    print(made.number, flush=True)
"""


SOUND = {
    "sqlite": "SELECT count(*) FROM pragma_integrity_check WHERE integrity_check <> 'ok'",
    "postgresql": "SELECT count(bt_index_check(oid, true)) * 0 FROM pg_class WHERE relkind = 'i' "
    "AND relnamespace = 'public'::regnamespace",
}
"""How many faults the database finds in itself; PostgreSQL ends with an error at the first."""


def look(data: Path, database: str | None, acknowledged: int) -> None:
    """Every acknowledged version is there with its own bytes, and the database is sound."""
    history = History(open_database(data, database), data)
    newest = history.newest("c1", "record", "")
    assert (newest.number if newest else 0) >= acknowledged
    for number in range(max(1, acknowledged - 20), acknowledged + 1):
        text = history.text(history.version("c1", "record", "", number))
        assert text.startswith(f"{number} ")
    with history.engine.connect() as connection:
        assert connection.execute(sqlalchemy.text(SOUND[history.engine.dialect.name])).scalar_one() == 0
    history.engine.dispose()


def kill_often(data: Path, database: str | None, times: int) -> None:
    history = History(open_database(data, database), data)
    history.add_car(Car("c1", "QTST 1", "Test", "t", "owner"))
    if database is not None:
        with history.engine.begin() as connection:
            connection.execute(sqlalchemy.text("CREATE EXTENSION amcheck"))
    history.engine.dispose()
    chance = random.Random(215)
    acknowledged = 0
    command = [sys.executable, "-c", WRITER, str(data), database or ""]
    for _ in range(times):
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
            assert writer.stdout is not None
            acknowledged = int(writer.stdout.readline())
            time.sleep(chance.random() * 0.05)
            os.kill(writer.pid, signal.SIGKILL)
            told = writer.stdout.read().splitlines()
        acknowledged = max([acknowledged, *(int(line) for line in told if line.isdecimal())])
        look(data, database, acknowledged)
    assert acknowledged >= times


def test_killed_three_times(tmp_path: Path, database: str | None) -> None:
    kill_often(tmp_path, database, 3)


@pytest.mark.long
def test_killed_two_hundred_times(tmp_path: Path, database: str | None) -> None:
    kill_often(tmp_path, database, TIMES)
