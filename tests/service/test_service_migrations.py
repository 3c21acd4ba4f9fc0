"""What an earlier version kept is kept on. `stored/` holds databases as the program wrote them that had the migrations
up to a number, as SQLite's own `.dump` and `pg_dump --inserts` give them. They are not edited; with a release that has
new migrations a new one is put beside them."""

import re
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
import sqlalchemy
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from carknocker.service.background import Background
from carknocker.service.keeping import Keeping
from carknocker.service.log import Log
from carknocker.service.storage.contents import ContentMissing, file_of, write_file
from carknocker.service.storage.database import SQLITE_FILE, DatabaseRefused, open_database
from carknocker.service.storage.history import History, NewVersion
from carknocker.service.storage.tables import metadata
from carknocker.service.workers import Workers

STORED = Path(__file__).parent / "stored"
RECORD = (Path(__file__).resolve().parents[2] / "cases" / "nothing-measured" / "car.yaml").read_text(encoding="utf-8")
AT = "2026-10-08T12:00:00Z"
CAR = "c0ffee0000000001"
LARGE = b"x" * (256 * 1024 + 1)
LARGE_DIGEST = "9408817bc040328d1c403ff97e94cea3dfd3a361b2fb7ecc7af75ff3a5157139"  # by sha256sum


def put_back(kind: str, data: Path, database: str | None) -> None:
    """A stored database as it was, with the one file that lay beside it."""
    text = (STORED / f"0001.{kind}.sql").read_text(encoding="utf-8")
    if database is None:
        import sqlite3

        data.mkdir()
        with sqlite3.connect(data / SQLITE_FILE) as connection:
            connection.executescript(text)
        connection.close()
    else:
        with psycopg.connect(database, autocommit=True) as server:
            server.execute(text)  # type: ignore[arg-type]
    write_file(file_of(data, LARGE_DIGEST), LARGE)


@pytest.fixture
def history(tmp_path: Path, database: str | None) -> Iterator[History]:
    """The stored database, brought up to date."""
    data = tmp_path / "data"
    put_back("sqlite" if database is None else "postgresql", data, database)
    made = History(open_database(data, database), data)
    yield made
    made.engine.dispose()


def test_everything_that_was_kept_is_there(history: History) -> None:
    car = history.car(CAR)
    assert (car.mark, car.name, car.made_at, car.made_by) == ("QTDX 5", "Tidewrack", AT, "owner")
    told = [(one.id, one.kind, one.name, one.number, one.by, one.note) for one in history.versions(CAR)]
    assert told == [
        (6, "dossier", "json", 1, "owner", "not yet looked at, as of 2026-10-08"),
        (5, "photograph", "person.jpg", 1, "owner", ""), (4, "photograph", "large.jpg", 1, "owner", ""),
        (3, "record", "", 2, "owner", "a line more"), (2, "move", "", 1, "owner", "first record"),
        (1, "record", "", 1, "owner", "first record"),
    ]  # fmt: skip
    assert history.text(history.version(CAR, "record", "", 1)) == RECORD
    assert history.text(history.version(CAR, "record", "", 2)) == f"{RECORD}# a line more\n"
    assert history.body(history.version(CAR, "photograph", "large.jpg", 1).digest)[1] == LARGE
    assert history.text(history.version(CAR, "dossier", "json", 1)) == '{"a": "dossier"}'
    with pytest.raises(ContentMissing, match="taken away on 2026-10-08 by owner: shows a person"):
        history.body(history.version(CAR, "photograph", "person.jpg", 1).digest)
    assert history.answered_before("owner a-key") == ("0" * 64, b"told")


def test_it_is_written_on_and_still_refuses_to_be_changed(history: History) -> None:
    (third,) = history.add([NewVersion(CAR, "record", "", b"three", "text/yaml", AT, "owner", "", 2)])
    assert (third.id, third.number) == (7, 3)
    for statement in ("UPDATE entry SET note = 'x'", "DELETE FROM entry", "DELETE FROM content"):
        with pytest.raises(sqlalchemy.exc.DatabaseError, match="history stays"), history.engine.begin() as connection:
            connection.execute(sqlalchemy.text(statement))


def test_its_cars_are_listed_and_judged(history: History, workers: Workers) -> None:
    from datetime import UTC, datetime

    keeping = Keeping(history, workers, lambda: datetime(2026, 10, 9, 12, tzinfo=UTC))
    keeping.ensure()
    ((car, row),) = keeping.list_cars()
    assert (car.id, row.outcome) == (CAR, "being judged")
    assert Background(keeping, Log(lambda _: None, keeping.now)).judge_waiting() == 1
    ((_, row),) = keeping.list_cars()
    assert (row.out, row.as_of, row.up_to_date) == ("2027-05-07", "2026-10-09", True)


def differences(engine: sqlalchemy.Engine) -> list[object]:
    with engine.connect() as connection:
        return list(compare_metadata(MigrationContext.configure(connection), metadata))


def test_its_tables_are_those_of_a_new_one(history: History) -> None:
    assert differences(history.engine) == []


def test_a_new_one_has_the_tables_that_the_program_asks_for(tmp_path: Path, database: str | None) -> None:
    engine = open_database(tmp_path, database)
    assert differences(engine) == []
    assert differences(open_database(tmp_path, database)) == []  # opened again
    engine.dispose()


def test_one_that_a_newer_program_wrote_is_refused_and_left_as_it_is(history: History, database: str | None) -> None:
    with history.engine.begin() as connection:
        connection.execute(sqlalchemy.text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(DatabaseRefused, match="a newer carknocker wrote the database"):
        open_database(history.data, database)
    with history.engine.connect() as connection:
        assert connection.execute(sqlalchemy.text("SELECT version_num FROM alembic_version")).scalar_one() == "9999"


def test_each_migration_follows_the_one_before() -> None:
    folder = Path(__file__).resolve().parents[2] / "engine" / "carknocker" / "service" / "storage" / "migrations"
    files = sorted((folder / "versions").glob("*.py"))
    assert [file.name[:4] for file in files] == [f"{number:04}" for number in range(1, len(files) + 1)]
    for number, file in enumerate(files, 1):
        text = file.read_text(encoding="utf-8")
        before = re.search(r'^down_revision = (None|"(\d{4})")$', text, re.MULTILINE)
        assert f'\nrevision = "{number:04}"\n' in text
        assert before is not None
        assert before[2] == (f"{number - 1:04}" if number > 1 else None)
