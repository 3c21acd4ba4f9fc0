"""A database that an older version made is brought up to date with what is in it."""

from pathlib import Path

import pytest
import sqlalchemy
from alembic import command
from alembic.config import Config

from carknocker.service.storage import database as opening
from carknocker.service.storage.accounts import Account, AccountStore, Act, NameTaken, NewOpener, NotOpen
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import Car, History

AT = "2026-10-08T12:00:00Z"
DIGEST = "7692c3ad3540bb803c020b3aee66cd8887123234ea0c6e7143c0add73ff431ed"
"""Of `one`, by sha256sum."""
FIRST = f"""
INSERT INTO car VALUES ('c1', 'QTST 1', 'Test', '{AT}', 'owner')
INSERT INTO content VALUES ('{DIGEST}', 3, 'text/yaml', {{body}}, 'database', NULL, NULL, NULL)
INSERT INTO entry VALUES (1, 'c1', 'record', '', 1, '{DIGEST}', '{AT}', 'owner', 'first record')
INSERT INTO standing VALUES ('c1', '2026-11-06', '2026-10-08', 'ready', '', '', 1)
"""


def at_first(tmp_path: Path, database: str | None) -> None:
    """A database as the first version made it, with a car."""
    engine = opening._engine(tmp_path, database)
    with engine.begin() as connection:
        config = Config()
        config.set_main_option("script_location", str(opening._MIGRATIONS))
        config.attributes["connection"] = connection
        command.upgrade(config, "0001")
        body = "CAST('one' AS BLOB)" if database is None else "convert_to('one', 'UTF8')"
        for line in FIRST.format(body=body).strip().splitlines():
            connection.execute(sqlalchemy.text(line))
    engine.dispose()


def test_what_the_first_version_kept_is_there_and_stays(tmp_path: Path, database: str | None) -> None:
    at_first(tmp_path, database)
    engine = open_database(tmp_path, database)
    history = History(engine, tmp_path)
    assert history.car("c1") == Car("c1", "QTST 1", "Test", AT, "owner")
    (version,) = history.versions("c1")
    assert (version.number, version.note, history.text(version)) == (1, "first record", "one")
    AccountStore(engine).add_opener(
        NewOpener("inspector", "d1", "inspector", AT, "owner", AT, car="c1"), Act(AT, "owner", "made a link")
    )
    for table in ("entry", "opener", "audit"):
        for statement in (f"UPDATE {table} SET at = 'x'" if table != "opener" else "UPDATE opener SET until = 'x'",
                          f"DELETE FROM {table}"):  # fmt: skip
            with pytest.raises(sqlalchemy.exc.DatabaseError, match="history stays"), engine.begin() as connection:
                connection.execute(sqlalchemy.text(statement))
    engine.dispose()
    again = open_database(tmp_path, database)
    assert len(History(again, tmp_path).versions("c1")) == 1
    again.dispose()


def test_the_migrations_make_the_tables_that_the_program_names(tmp_path: Path, database: str | None) -> None:
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    from carknocker.service.storage.tables import metadata

    engine = open_database(tmp_path, database)
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
    engine.dispose()


def test_accounts_on_each_database(tmp_path: Path, database: str | None) -> None:
    engine = open_database(tmp_path, database)
    store = AccountStore(engine)
    act = Act(AT, "Ash", "something")
    for digest in ("d1", "d2", "d3"):
        store.add_opener(NewOpener("invitation", digest, "owner", AT, "Ash", AT), act)
    store.add_account(Account("a1", "Birch", "owner", AT, "Ash"), "birch", "hash", 1, act)
    with pytest.raises(NotOpen):
        store.add_account(Account("a2", "Cedar", "owner", AT, "Ash"), "cedar", "hash", 1, act)
    with pytest.raises(NameTaken):
        store.add_account(Account("a3", "BIRCH", "owner", AT, "Ash"), "birch", "hash", 2, act)
    assert store.opener("invitation", "d2", AT).id == 2, "what failed used nothing up"
    assert store.end_opener(3, ["invitation"], act, "taken back")
    assert not store.end_opener(3, ["invitation"], act, "taken back")
    assert [one.id for one in store.openers(["invitation"], AT)] == [2]
    assert not store.close_account("a1", act), "the last owner"
    store.add_account(Account("a4", "Dale", "owner", AT, "Ash"), "dale", "hash", 2, act)
    store.add_opener(NewOpener("session", "d4", "owner", AT, "Birch", AT, "a1"), act)
    assert store.close_account("a1", act)
    assert store.account_known_as("birch") is None
    assert store.openers(["session"], AT) == ()
    assert [(one.name, one.closed_at) for one in store.accounts()] == [("Dale", ""), ("Birch", AT)]
    engine.dispose()
