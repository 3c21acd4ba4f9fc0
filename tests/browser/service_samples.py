"""The service in a thread of this process, for a browser to open."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import msgspec
import uvicorn

from carknocker.service.application import application
from carknocker.service.keeping import Keeping
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History
from carknocker.service.workers import Workers

CASE = Path(__file__).resolve().parents[2] / "cases" / "nothing-measured"
PEOPLE = "people:\n  HM: {role: shop inspector}\n"
NOW = datetime(2026, 10, 8, 12, 0, tzinfo=UTC)


class Site(msgspec.Struct, frozen=True):
    """A running service with one car. car: its page."""

    keeping: Keeping
    address: str
    car_id: str

    @property
    def car(self) -> str:
        return f"{self.address}/cars/{self.car_id}"


@contextmanager
def running_site(folder: Path) -> Iterator[Site]:
    """The service over a folder, on a port of its own, with a car."""
    workers, engine = Workers(1), open_database(folder)
    keeping = Keeping(History(engine, folder), workers, lambda: NOW)
    keeping.ensure()
    texts = [(CASE / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml")]
    car = keeping.add_car(texts[0] + PEOPLE, texts[1], "owner")
    settings = uvicorn.Config(application(keeping), host="127.0.0.1", port=0, log_level="error", lifespan="off")
    server = uvicorn.Server(settings)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        while not server.started:
            time.sleep(0.01)
        port = server.servers[0].sockets[0].getsockname()[1]
        yield Site(keeping, f"http://localhost:{port}", car.id)
    finally:
        server.should_exit = True
        thread.join(10)
        workers.stop()
        engine.dispose()
