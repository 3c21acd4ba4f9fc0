"""The service in a thread of this process, for a browser: on its own machine, or behind a proxy that ends TLS."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import msgspec
import uvicorn
from tls_proxy import tls_in_front

from carknocker.service.access.accounts import Accounts
from carknocker.service.access.passwords import Passwords
from carknocker.service.address import public_address
from carknocker.service.application import application
from carknocker.service.keeping import Keeping
from carknocker.service.storage.accounts import AccountStore
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History
from carknocker.service.workers import Workers

CASE = Path(__file__).resolve().parents[2] / "cases" / "nothing-measured"
PEOPLE = "people:\n  HM: {role: shop inspector}\n"
NOW = datetime(2026, 10, 8, 12, 0, tzinfo=UTC)


class Clock:
    """A clock that a test sets."""

    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


class Site(msgspec.Struct, frozen=True):
    """A running service with one car. car: its page."""

    keeping: Keeping
    address: str
    car_id: str

    @property
    def car(self) -> str:
        return f"{self.address}/cars/{self.car_id}"


class PublicSite(msgspec.Struct, frozen=True):
    """A running service under a public name, without a car. clock: the day that it judges on."""

    keeping: Keeping
    accounts: Accounts
    address: str
    clock: Clock


@contextmanager
def running_site(folder: Path) -> Iterator[Site]:
    """The service over a folder, on a port of its own, with a car."""
    with _kept(folder, Clock(NOW)) as keeping, _listening() as own:
        car = with_a_car(keeping)
        with _served(application(keeping), own):
            yield Site(keeping, f"http://localhost:{_port(own)}", car)


@contextmanager
def public_site(folder: Path, now: datetime = NOW) -> Iterator[PublicSite]:
    """The service over a folder, reached by https alone."""
    clock = Clock(now)
    with _listening() as taken:
        outside = _port(taken)
    with _kept(folder, clock) as keeping, _listening() as own:
        origin = f"https://localhost:{outside}"
        accounts = Accounts(AccountStore(keeping.history.engine), Passwords(), keeping.now)
        app = application(keeping, public_address(origin), accounts)
        with _served(app, own), tls_in_front(outside, _port(own)):
            yield PublicSite(keeping, accounts, origin, clock)


def with_a_car(keeping: Keeping) -> str:
    """Adds the car of the case, and returns its id."""
    texts = [(CASE / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml")]
    return keeping.add_car(texts[0] + PEOPLE, texts[1], "owner").id


@contextmanager
def _kept(folder: Path, clock: Clock) -> Iterator[Keeping]:
    workers, engine = Workers(1), open_database(folder)
    try:
        keeping = Keeping(History(engine, folder), workers, clock)
        keeping.ensure()
        yield keeping
    finally:
        workers.stop()
        engine.dispose()


@contextmanager
def _listening() -> Iterator[socket.socket]:
    with socket.create_server(("127.0.0.1", 0)) as listening:
        yield listening


def _port(listening: socket.socket) -> int:
    return int(listening.getsockname()[1])


@contextmanager
def _served(app: Any, listening: socket.socket) -> Iterator[None]:
    settings = uvicorn.Config(app, log_level="error", lifespan="off", proxy_headers=False)
    server = uvicorn.Server(settings)
    thread = threading.Thread(target=lambda: server.run(sockets=[listening]), daemon=True)
    thread.start()
    try:
        while not server.started:
            time.sleep(0.01)
        yield
    finally:
        server.should_exit = True
        thread.join(10)
