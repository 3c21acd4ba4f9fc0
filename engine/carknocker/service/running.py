"""The service as a process: opened, run by uvicorn, and stopped without losing what is being answered."""

import gc
import os
import signal
import socket
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path

import uvicorn

from carknocker.service.access.accounts import Accounts
from carknocker.service.access.passwords import Passwords
from carknocker.service.address import LOOPBACK, Address
from carknocker.service.application import application
from carknocker.service.background import Background
from carknocker.service.connection import Connection
from carknocker.service.keeping import Keeping
from carknocker.service.log import Log, RequestLog, take_over, to_standard_output
from carknocker.service.storage.accounts import AccountStore
from carknocker.service.storage.database import DatabaseRefused, of_one_time_zone, open_database
from carknocker.service.storage.history import History
from carknocker.service.workers import LONGEST_SECONDS, Workers

_STOPS_WITHIN_SECONDS = LONGEST_SECONDS + 5
_MOST_CONNECTIONS = 500


class PortRefused(Exception):
    """Nothing can be served on the port; says why."""


def run(data: Path, host: str, port: int, database: str | None, processes: int | None, address: Address = LOOPBACK,
        another_owner: bool = False, tell_open: Callable[[], None] = lambda: None,
        tell_set_up: Callable[[str], None] = print) -> None:  # fmt: skip
    """Serves until SIGTERM or SIGINT: then nothing new is taken, and what is being answered is answered. address: under
    which names it answers; another_owner: a set-up token is made though there is an owner; tell_open: told once port
    and database are had; tell_set_up: what tells a set-up token, once. Raises DatabaseRefused, PortRefused."""
    os.umask(0o077)  # what it keeps is for the user alone under whom it runs
    gc.enable()  # garbage collection is off since the start, which suits only a short run
    listening = _listening(host, port)
    engine = open_database(data, database)
    history = History(engine, data)
    try:
        of_one_time_zone(engine)
        history.look_at_folder()
    except DatabaseRefused:
        listening.close()
        engine.dispose()
        raise
    workers = Workers(processes or max(2, os.cpu_count() or 2))
    keeping = Keeping(history, workers, lambda: datetime.now().astimezone())
    log = Log(to_standard_output, keeping.now)
    take_over(log)
    background = Background(keeping, log)
    signal.signal(signal.SIGTERM, _already_told)  # uvicorn sends it to us again when it has stopped
    try:
        keeping.ensure()
        background.start()
        tell_open()
        accounts = None
        if address.is_public:
            accounts = Accounts(AccountStore(engine), Passwords(), keeping.now)
            if another_owner or not accounts.store.has_open_owner():
                tell_set_up(accounts.set_up_token())
        config = uvicorn.Config(
            RequestLog(application(keeping, address, accounts), log), server_header=False, date_header=False,
            access_log=False, timeout_graceful_shutdown=_STOPS_WITHIN_SECONDS, log_config=None, proxy_headers=False,
            http=Connection, ws="none", limit_concurrency=_MOST_CONNECTIONS,
        )  # fmt: skip
        log.event("started")
        with suppress(KeyboardInterrupt):
            uvicorn.Server(config).run(sockets=[listening])
    finally:
        background.stop()
        workers.stop()
        background.join()
        engine.dispose()
        log.event("stopped")


def _already_told(*_: object) -> None:
    return None


def _listening(host: str, port: int) -> socket.socket:
    """A socket that is told to be of TCP: only then does asyncio send small answers at once."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listening = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if family == socket.AF_INET6:
            listening.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 1)
        listening.bind((host, port))
        listening.listen(512)
    except OSError as error:
        listening.close()
        why = os.strerror(error.errno or 0)
        raise PortRefused(f"port {port} can't be used: {why.casefold()}; name another with --port") from None
    return listening
