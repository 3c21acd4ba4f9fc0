"""The database: SQLite in the data folder, or PostgreSQL by URL; brought up to date when it is opened."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import sqlalchemy
from alembic import command
from alembic.config import Config
from alembic.util import CommandError
from sqlalchemy import Connection, Engine, event
from sqlalchemy.engine import URL, make_url

from carknocker.documents.system_words import system_words

SQLITE_FILE = "carknocker.sqlite"
_MIGRATIONS = Path(__file__).parent / "migrations"
_WAIT_FOR_WRITERS_MS = 20_000
_WAIT_FOR_SERVER_SECONDS = 10
_VANISHED = {
    "keepalives_idle": 30, "keepalives_interval": 10, "keepalives_count": 3, "tcp_user_timeout": 60_000,
}  # fmt: skip
"""So that a server whose machine or line is gone is given up after a minute, not after the quarter of an hour that TCP
waits by itself. tcp_user_timeout: in milliseconds."""

_MOST_CONNECTIONS = 50


class DatabaseRefused(Exception):
    """The database can't be used; says why, without its address."""


def open_database(data: Path, url: str | None = None) -> Engine:
    """The database of a data folder, with the newest tables.

    url: of a PostgreSQL database; None: SQLite in the folder. Raises DatabaseRefused.
    """
    engine = _engine(data, url)
    try:
        with engine.begin() as connection:
            if engine.dialect.name == "postgresql":
                connection.execute(sqlalchemy.text("SELECT pg_advisory_xact_lock(215238)"))  # one migrates at a time
            _migrate(connection)
    except CommandError:
        engine.dispose()
        raise DatabaseRefused("a newer carknocker wrote the database; install that one") from None
    except sqlalchemy.exc.SQLAlchemyError as error:
        engine.dispose()
        raise DatabaseRefused(f"the database can't be used: {type(error).__name__}") from error
    return engine


def of_one_time_zone(engine: Engine) -> None:
    """Looks whether PostgreSQL has the time zone of this machine, so that all that share it agree which day it is, now
    and in each quarter of a year to come. Raises DatabaseRefused."""
    if engine.dialect.name != "postgresql":
        return
    offset = sqlalchemy.text("SELECT extract(timezone FROM CAST(:moment AS timestamptz))")
    with engine.connect() as connection:
        for days in (0, 91, 182, 273):
            moment = datetime.now().astimezone(UTC) + timedelta(days)
            here = moment.astimezone().utcoffset() or timedelta()
            if connection.execute(offset, {"moment": moment}).scalar_one() != here.total_seconds():
                zone = connection.execute(sqlalchemy.text("SHOW timezone")).scalar_one()
                raise DatabaseRefused(
                    f"this machine has another time zone than the database, {zone}: they would not agree which day it "
                    "is; give the database the owner's (ALTER DATABASE name SET timezone = 'America/Chicago'), and "
                    "this process the same (TZ=America/Chicago)"
                )


def _engine(data: Path, url: str | None) -> Engine:
    if url is None:
        try:
            data.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError as error:
            raise DatabaseRefused(f"the folder {data} can't be made: {system_words(error)}") from None
        engine = sqlalchemy.create_engine(
            URL.create("sqlite", database=str(data / SQLITE_FILE)), connect_args={"check_same_thread": False}
        )
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
        return engine
    try:
        wanted = make_url(url)
    except sqlalchemy.exc.ArgumentError:
        raise DatabaseRefused("the address of the database can't be read; expected postgresql://…") from None
    if wanted.get_backend_name() != "postgresql":
        raise DatabaseRefused(f"a database of the kind `{wanted.get_backend_name()[:40]}`; expected postgresql://…")
    return sqlalchemy.create_engine(
        wanted.set(drivername="postgresql+psycopg"), pool_pre_ping=True, pool_size=10,
        max_overflow=_MOST_CONNECTIONS - 10, connect_args={"connect_timeout": _WAIT_FOR_SERVER_SECONDS, **_VANISHED},
    )  # fmt: skip


def _prepare_sqlite(connection: Any, _record: object) -> None:
    """Write-ahead log with a full sync at each commit: what was acknowledged is on the disk. What is taken away is
    written over."""
    connection.isolation_level = None  # transactions are begun below, so that writers wait instead of failing halfway
    cursor = connection.cursor()
    for setting in (
        "journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON", f"busy_timeout = {_WAIT_FOR_WRITERS_MS}",
        "trusted_schema = OFF", "secure_delete = ON",
    ):  # fmt: skip
        cursor.execute(f"PRAGMA {setting}")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    reading = connection.get_execution_options().get("reading", False)
    connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")


def _migrate(connection: Connection) -> None:
    config = Config()
    config.set_main_option("script_location", str(_MIGRATIONS))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
