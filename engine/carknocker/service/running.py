"""The service as a process: opened, run by uvicorn, and stopped without losing what is being answered."""

import os
from datetime import datetime
from pathlib import Path

import uvicorn

from carknocker.service.application import application
from carknocker.service.background import Background
from carknocker.service.keeping import Keeping
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History
from carknocker.service.workers import Workers

_STOPS_WITHIN_SECONDS = 20


def run(data: Path, host: str, port: int, database: str | None, processes: int | None) -> None:
    """Serves until it is stopped. Raises DatabaseRefused."""
    engine = open_database(data, database)
    workers = Workers(processes or max(2, os.cpu_count() or 2))
    keeping = Keeping(History(engine, data), workers, lambda: datetime.now().astimezone())
    background = Background(keeping)
    try:
        keeping.ensure()
        background.start()
        uvicorn.run(
            application(keeping), host=host, port=port, server_header=False, date_header=False, access_log=False,
            timeout_graceful_shutdown=_STOPS_WITHIN_SECONDS, log_level="warning", proxy_headers=False,
        )  # fmt: skip
    finally:
        background.stop()
        workers.stop()
        engine.dispose()
