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
data = Path(sys.argv[1])
history = History(open_database(data), data)
while True:
    newest = history.newest("c1", "record", "")
    number = newest.number if newest else 0
    body = (f"{number + 1} " * (60_000 if number % 5 == 0 else 10)).encode()
    made = history.add([NewVersion("c1", "record", "", body, "text/yaml", "t", "owner", "", number)])[0]
    print(made.number, flush=True)
"""


def look(data: Path, acknowledged: int) -> None:
    """Every acknowledged version is there with its own bytes, and the database is sound."""
    history = History(open_database(data), data)
    newest = history.newest("c1", "record", "")
    assert (newest.number if newest else 0) >= acknowledged
    for number in range(max(1, acknowledged - 20), acknowledged + 1):
        text = history.text(history.version("c1", "record", "", number))
        assert text.startswith(f"{number} ")
    with history.engine.connect() as connection:
        assert connection.execute(sqlalchemy.text("PRAGMA integrity_check")).scalar_one() == "ok"
    history.engine.dispose()


def kill_often(data: Path, times: int) -> None:
    history = History(open_database(data), data)
    history.add_car(Car("c1", "QTST 1", "Test", "t", "owner"))
    history.engine.dispose()
    chance = random.Random(215)
    acknowledged = 0
    for _ in range(times):
        with subprocess.Popen([sys.executable, "-c", WRITER, str(data)], stdout=subprocess.PIPE, text=True) as writer:
            assert writer.stdout is not None
            acknowledged = int(writer.stdout.readline())
            time.sleep(chance.random() * 0.05)
            os.kill(writer.pid, signal.SIGKILL)
            told = writer.stdout.read().splitlines()
        acknowledged = max([acknowledged, *(int(line) for line in told if line.isdecimal())])
        look(data, acknowledged)
    assert acknowledged >= times


def test_killed_three_times(tmp_path: Path) -> None:
    kill_often(tmp_path, 3)


@pytest.mark.long
def test_killed_two_hundred_times(tmp_path: Path) -> None:
    kill_often(tmp_path, TIMES)
