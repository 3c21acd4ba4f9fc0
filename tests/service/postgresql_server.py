"""A PostgreSQL of its own for the tests: made in a folder, reached by a socket in it, gone afterwards."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path

import psycopg
import pytest


def programs() -> Path:
    """The folder of `initdb` and `pg_ctl`, as Debian has them. Raises FileNotFoundError where it was not installed."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    on_path = shutil.which("initdb")
    if found:
        return found[-1].parent
    if on_path is None:
        raise FileNotFoundError("PostgreSQL is not installed: apt-get install postgresql")
    return Path(on_path).parent


def _run(command: Sequence[str | Path]) -> None:
    """Runs one of its programs: as the user `postgres` where this is root, to whom it refuses to run."""
    whom = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    subprocess.run([*whom, *map(str, command)], check=True, capture_output=True, cwd="/")


class Server:
    """A server in a folder, which may be stopped and started again."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._programs = programs()
        self.address = f"postgresql://carknocker@/postgres?host={folder}"
        """Of an empty database."""

    def make(self) -> None:
        more = ("-U", "carknocker", "-A", "trust", "-E", "UTF8", "--no-sync")
        _run([self._programs / "initdb", "-D", self._folder / "data", *more])

    def start(self) -> None:
        options = f"-c listen_addresses= -c unix_socket_directories={self._folder} -c fsync=off"
        self._control("-l", self._folder / "log", "-w", "-o", options, "start")

    def stop(self, mode: str = "immediate") -> None:
        self._control("-m", mode, "stop")

    def _control(self, *said: str | Path) -> None:
        _run([self._programs / "pg_ctl", "-D", self._folder / "data", *said])


@contextmanager
def running() -> Iterator[Server]:
    """A server that runs."""
    folder = Path(tempfile.mkdtemp(prefix="pg"))
    try:
        if os.geteuid() == 0:
            shutil.chown(folder, "postgres")
        server = Server(folder)
        server.make()
        server.start()
        try:
            yield server
        finally:
            server.stop()
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def new_database(request: pytest.FixtureRequest) -> str:
    """The address of an empty database on PostgreSQL, for this test alone."""
    address: str = request.getfixturevalue("server")
    name = f"test_{sha256(request.node.nodeid.encode()).hexdigest()[:16]}"
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")  # type: ignore[arg-type]
    return address.replace("/postgres?", f"/{name}?")
