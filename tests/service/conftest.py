"""One pool of workers for all tests of the service, since processes take long to start; a data folder for each test."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from carknocker.service.application import application
from carknocker.service.background import Background
from carknocker.service.keeping import Keeping
from carknocker.service.log import Log
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History
from carknocker.service.workers import Workers

CASE = Path(__file__).resolve().parents[2] / "cases" / "wren-hollow" / "before"
NOW = datetime(2026, 10, 8, 12, 0, tzinfo=UTC)


@pytest.fixture(scope="session")
def workers() -> Iterator[Workers]:
    pool = Workers(1)
    yield pool
    pool.stop()


@pytest.fixture
def keeping(tmp_path: Path, workers: Workers) -> Iterator[Keeping]:
    engine = open_database(tmp_path / "data")
    kept = Keeping(History(engine, tmp_path / "data"), workers, lambda: NOW)
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
def record() -> str:
    return (CASE / "car.yaml").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def move() -> str:
    return (CASE / "move.yaml").read_text(encoding="utf-8")
