"""One pool of workers for all tests of the service, since processes take long to start; a data folder for each test."""

import os
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from fastapi.testclient import TestClient
from postgresql_server import new_database, running

from carknocker.service.access.accounts import Accounts
from carknocker.service.access.passwords import Passwords
from carknocker.service.address import public_address
from carknocker.service.application import application
from carknocker.service.background import Background
from carknocker.service.keeping import Keeping
from carknocker.service.log import Log
from carknocker.service.storage.accounts import AccountStore
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History
from carknocker.service.workers import Workers

CASE = Path(__file__).resolve().parents[2] / "cases" / "wren-hollow" / "before"
PUBLIC = "https://cars.example.org"
NOW = datetime(2026, 10, 8, 12, 0, tzinfo=UTC)


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    with running() as one:
        yield one.address


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def database(request: pytest.FixtureRequest) -> str | None:
    """An empty database of each kind: None for SQLite in the data folder, else its address."""
    return None if request.param == "sqlite" else new_database(request)


@pytest.fixture(scope="session")
def workers() -> Iterator[Workers]:
    pool = Workers(1)
    yield pool
    pool.stop()


class Clock:
    """A clock that is set."""

    now = NOW


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def keeping(tmp_path: Path, workers: Workers, clock: Clock, request: pytest.FixtureRequest) -> Iterator[Keeping]:
    """On SQLite; with SERVICE_TESTS_ON=postgresql in the environment on PostgreSQL, so that every test of the service
    is run on both."""
    elsewhere = os.environ.get("SERVICE_TESTS_ON") == "postgresql"
    engine = open_database(tmp_path / "data", new_database(request) if elsewhere else None)
    kept = Keeping(History(engine, tmp_path / "data"), workers, lambda: clock.now)
    kept.ensure()
    yield kept
    engine.dispose()


@pytest.fixture
def background(keeping: Keeping) -> Background:
    """Not started: a test has it judge when it wants."""
    return Background(keeping, Log(lambda _: None, lambda: NOW))


@pytest.fixture
def client(keeping: Keeping) -> TestClient:
    return TestClient(application(keeping), base_url="http://localhost", follow_redirects=False)


@pytest.fixture(scope="session")
def passwords() -> Passwords:
    """Quick ones: how slow they are is no matter here."""
    return Passwords(PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))


@pytest.fixture
def accounts(keeping: Keeping, passwords: Passwords, clock: Clock) -> Accounts:
    return Accounts(AccountStore(keeping.history.engine), passwords, lambda: clock.now)


@pytest.fixture
def public(keeping: Keeping, accounts: Accounts) -> Callable[[], TestClient]:
    """Makes browsers that reach the service by its public name, through a proxy on its machine."""
    app = application(keeping, public_address(PUBLIC), accounts)

    def browser() -> TestClient:
        return TestClient(
            app, base_url=PUBLIC, follow_redirects=False, client=("127.0.0.1", 50_000),
            headers={"X-Forwarded-Proto": "https", "X-Forwarded-For": "192.0.2.7"},
        )  # fmt: skip

    return browser


@pytest.fixture(scope="session")
def record() -> str:
    return (CASE / "car.yaml").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def move() -> str:
    return (CASE / "move.yaml").read_text(encoding="utf-8")
