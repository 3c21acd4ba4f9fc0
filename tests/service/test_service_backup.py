"""A backup is proven by restoring it."""

import io
import json
import zipfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Event

import pytest
from test_service_process import wait_until
from typer.testing import CliRunner, Result

from carknocker.cli.main import app
from carknocker.service.storage.accounts import Account, AccountStore, Act, NewOpener, NotOpen
from carknocker.service.storage.audit import AuditList
from carknocker.service.storage.backup import BackupRefused, read_backup, write_backup
from carknocker.service.storage.car_list import Car
from carknocker.service.storage.contents import MOST_BYTES_IN_DATABASE, ContentMissing
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History, NewVersion


def invoke(*given: object) -> Result:
    return CliRunner().invoke(app, [str(one) for one in given])


AT = "2026-10-08T12:00:00Z"
LARGE = b"x" * (MOST_BYTES_IN_DATABASE + 1)


@pytest.fixture
def history(tmp_path: Path) -> Iterator[History]:
    """A small text, a large file, and one that was blanked."""
    data = tmp_path / "first"
    made = History(open_database(data), data)
    made.add_car(Car("c1", "QTST 1", "Test", AT, "owner"))
    made.add([NewVersion("c1", "record", "", b"one", "text/yaml", AT, "owner", "a note")])
    made.add([NewVersion("c1", "photograph", "p", LARGE, "image/jpeg", AT, "owner")])
    made.add([NewVersion("c1", "photograph", "q", LARGE + b"y", "image/jpeg", AT, "owner")])
    made.blank([made.version("c1", "photograph", "q", 1).digest], AT, "owner", "shows a person")
    yield made
    made.engine.dispose()


def with_accounts(history: History) -> AccountStore:
    """An account of a helper, logged in, and an invitation that was taken back."""
    store = AccountStore(history.engine)
    act = Act(AT, "Ash", "invited")
    for digest in ("d1", "d2"):
        store.add_opener(NewOpener("invitation", digest, "helper", AT, "Ash", "2026-10-15T12:00:00Z"), act)
    store.end_opener(2, ["invitation"], act, "taken back")
    store.add_account(Account("a1", "Birch", "helper", AT, "Ash"), "birch", "a hash", 1, act)
    store.add_opener(NewOpener("session", "d3", "helper", AT, "Birch", "2026-10-15T12:00:00Z", "a1"), act)
    return store


@pytest.fixture
def elsewhere(tmp_path: Path) -> Iterator[History]:
    data = tmp_path / "second"
    made = History(open_database(data), data)
    yield made
    made.engine.dispose()


def backup_of(history: History) -> io.BytesIO:
    to = io.BytesIO()
    assert write_backup(history.engine, history.data, to, AT) == 3
    return to


def test_what_is_restored_is_what_was_there(history: History, elsewhere: History) -> None:
    assert read_backup(elsewhere.engine, elsewhere.data, backup_of(history)).entries == 3
    assert elsewhere.versions("c1") == history.versions("c1")
    assert elsewhere.car("c1") == history.car("c1")
    assert elsewhere.text(elsewhere.version("c1", "record", "", 1)) == "one"
    assert elsewhere.body(elsewhere.version("c1", "photograph", "p", 1).digest)[1] == LARGE
    with pytest.raises(ContentMissing, match="shows a person"):
        elsewhere.body(elsewhere.version("c1", "photograph", "q", 1).digest)
    assert elsewhere.add([NewVersion("c1", "record", "", b"two", "text/yaml", AT, "owner")])[0].number == 2


def test_accounts_are_restored_and_what_was_open_to_them_is_not(history: History, elsewhere: History) -> None:
    first = with_accounts(history)
    assert first.opener("session", "d3", AT).name == "Birch"
    read_backup(elsewhere.engine, elsewhere.data, backup_of(history))
    store = AccountStore(elsewhere.engine)
    assert store.accounts() == first.accounts()
    assert store.account_known_as("birch") == (Account("a1", "Birch", "helper", AT, "Ash"), "a hash")
    with pytest.raises(NotOpen):
        store.opener("session", "d3", AT)
    made = NewOpener("session", "d4", "helper", AT, "Birch", "2026-10-15T12:00:00Z", "a1")
    assert store.add_opener(made, None) == 4
    with pytest.raises(BackupRefused, match="something is kept there already"):
        read_backup(elsewhere.engine, elsewhere.data, backup_of(history))


def test_who_can_log_in_is_said_and_who_was_closed_since_can_be_closed_with_it(
    history: History, elsewhere: History
) -> None:
    with_accounts(history)
    whole = backup_of(history)
    with pytest.raises(BackupRefused, match="no open account of the name Bircch is in it; it has Birch"):
        read_backup(elsewhere.engine, elsewhere.data, whole, ["Bircch"])
    assert elsewhere.versions("c1") == ()
    done = read_backup(elsewhere.engine, elsewhere.data, whole, ["BIRCH"])
    assert (done.made_at, done.accounts) == (AT, ())
    store = AccountStore(elsewhere.engine)
    assert [one.closed_at for one in store.accounts()] == [AT]
    assert store.account_known_as("birch") is None
    assert AuditList(elsewhere.engine).lines()[0].what == "closed an account"


def test_the_command_says_who_can_log_in(history: History, tmp_path: Path) -> None:
    with_accounts(history)
    file = tmp_path / "all.zip"
    assert invoke("backup", "--data", history.data, file).exit_code == 0
    told = invoke("restore", "--data", tmp_path / "third", file).stdout
    assert "3 entries of the history, as of 20" in told
    assert "these can log in: Birch (helper)" in told
    assert "what was taken away for good since is back" in told
    closed = invoke("restore", "--data", tmp_path / "fourth", "--close", "Birch", file)
    assert (closed.exit_code, "log in" in closed.stdout) == (0, False)


def test_a_backup_from_before_there_were_accounts_is_restored(history: History, elsewhere: History) -> None:
    whole = backup_of(history)
    with zipfile.ZipFile(whole) as archive:
        head = json.loads(archive.read("backup.json"))
    kept = {name: head["counts"][name] for name in ("car", "entry", "content")}
    first = {"format": "carknocker-backup/1", "made_at": AT, "counts": kept}
    old = changed(whole, "backup.json", json.dumps(first).encode())
    for name in ("account", "account_end", "password", "opener", "opener_end", "audit"):
        old = changed(old, f"{name}.jsonl", None)
    assert read_backup(elsewhere.engine, elsewhere.data, old).entries == 3
    assert elsewhere.versions("c1") == history.versions("c1")


def test_nothing_is_put_over_what_is_there(history: History) -> None:
    with pytest.raises(BackupRefused, match="something is kept there already"):
        read_backup(history.engine, history.data, backup_of(history))


def test_files_of_blanks_do_not_make_a_backup_that_is_refused(history: History, elsewhere: History) -> None:
    """A shop may send a form with as many blanks behind it as it likes."""
    blanks = [b"%d" % number + b" " * (8 * 1024**2) for number in range(3)]
    for body in blanks:
        history.add([NewVersion("c1", "sent form", "1 brakes", body, "application/octet-stream", AT, "Kim")])
    to = io.BytesIO()
    write_backup(history.engine, history.data, to, AT)
    assert read_backup(elsewhere.engine, elsewhere.data, to).entries == 6
    kept = elsewhere.versions("c1", "sent form")
    assert [elsewhere.body(one.digest)[1] for one in reversed(kept)] == blanks


def test_a_backup_while_others_write_is_of_one_moment(tmp_path: Path, database: str | None) -> None:
    """Proven by restoring: of each of four cars the record and the move were always written together, half of them
    large enough for a file, and no version before one that is there is missing."""
    history = History(open_database(tmp_path / "first", database), tmp_path / "first")
    cars = [f"c{number}" for number in range(4)]
    for one in cars:
        history.add_car(Car(one, "QTST 1", "Test", AT, "owner"))
    acknowledged = dict.fromkeys(cars, 0)
    stop = Event()

    def write(one: str) -> None:
        while not stop.is_set():
            number = acknowledged[one] + 1
            size = MOST_BYTES_IN_DATABASE if number % 2 else 1
            history.add([
                NewVersion(one, kind, "", f"{one} {kind} {number}".encode() + b"x" * size, "text/yaml", AT, "owner")
                for kind in ("record", "move")
            ])  # fmt: skip
            acknowledged[one] = number

    def look() -> None:
        before = dict(acknowledged)
        to = io.BytesIO()
        entries = write_backup(history.engine, history.data, to, AT)
        after = dict(acknowledged)
        again = History(open_database(tmp_path / "again"), tmp_path / "again")
        assert read_backup(again.engine, again.data, to).entries == entries
        found = 0
        for one in cars:
            records, moves = again.versions(one, "record", most=10_000), again.versions(one, "move", most=10_000)
            assert [v.number for v in records] == list(range(len(records), 0, -1)) == [v.number for v in moves]
            assert before[one] <= len(records) <= after[one] + 1
            for version in (*records, *moves):
                assert again.text(version).startswith(f"{one} {version.kind} {version.number}x")
            found += len(records) + len(moves)
        assert found == entries
        again.engine.dispose()

    with ThreadPoolExecutor(4) as pool:
        writing = [pool.submit(write, one) for one in cars]
        try:
            wait_until(lambda: min(acknowledged.values()) >= 2 or any(one.done() for one in writing))
            look()
        finally:
            stop.set()
        for one in writing:
            one.result()
    history.engine.dispose()


def changed(backup: io.BytesIO, name: str, body: bytes | None) -> io.BytesIO:
    """The backup with one file of it replaced or left out."""
    to = io.BytesIO()
    with zipfile.ZipFile(backup) as before, zipfile.ZipFile(to, "w") as after:
        for one in before.namelist():
            if one != name:
                after.writestr(one, before.read(one))
            elif body is not None:
                after.writestr(one, body)
    return to


def test_a_damaged_backup_is_refused_and_nothing_is_written(history: History, elsewhere: History) -> None:
    whole = backup_of(history)
    record = history.version("c1", "record", "", 1).digest
    with zipfile.ZipFile(whole) as archive:
        rows = archive.read("entry.jsonl")
        head = json.loads(archive.read("backup.json"))
    bad = [
        changed(whole, f"content/{record}", b"two"),
        changed(whole, f"content/{record}", b"one more"),
        changed(whole, f"content/{record}", None),
        changed(whole, "entry.jsonl", rows.splitlines(keepends=True)[0]),
        changed(whole, "entry.jsonl", rows.replace(b'"note"', b'"nota"')),
        changed(whole, "entry.jsonl", b"["),
        changed(whole, "backup.json", json.dumps({**head, "format": "other/1"}).encode()),
        changed(whole, "backup.json", None),
        io.BytesIO(whole.getvalue()[:-30]),
        io.BytesIO(b"no zip"),
    ]
    for one in bad:
        with pytest.raises(BackupRefused):
            read_backup(elsewhere.engine, elsewhere.data, one)
        assert elsewhere.versions("c1") == ()
    assert read_backup(elsewhere.engine, elsewhere.data, whole).entries == 3


def test_the_two_commands(history: History, tmp_path: Path) -> None:
    file = tmp_path / "all.zip"
    done = invoke("backup", "--data", history.data, file)
    assert (done.exit_code, "3 entries" in done.stdout) == (0, True), done.stderr
    again = invoke("backup", "--data", history.data, file)
    assert again.exit_code == 2
    assert "is there already" in again.stderr
    assert invoke("restore", "--data", tmp_path / "third", file).exit_code == 0
    refused = invoke("restore", "--data", tmp_path / "third", file)
    assert refused.exit_code == 2
    assert "something is kept there already" in refused.stderr
    assert invoke("backup", "--data", tmp_path / "none", tmp_path / "x.zip").exit_code == 2
    assert not (tmp_path / "none").exists()
    assert not list(tmp_path.glob(".*"))


def test_what_a_backup_that_was_killed_has_left_hinders_no_other(history: History, tmp_path: Path) -> None:
    left = [tmp_path / ".all.zip.part", tmp_path / ".all.zip.0.part"]
    for one in left:
        one.write_bytes(b"half a backup, or one that is being made")
    done = invoke("backup", "--data", history.data, tmp_path / "all.zip")
    assert done.exit_code == 0, done.stderr
    assert all(one.exists() for one in left), "it may be another's that is being made"
    nowhere = invoke("backup", "--data", history.data, tmp_path / "none" / "all.zip")
    assert nowhere.exit_code == 2
    assert "none is no folder" in " ".join(nowhere.stderr.split())


def test_a_backup_from_before_a_link_named_its_signer_is_restored(history: History, elsewhere: History) -> None:
    """Rows of a table to which a column came later lack it."""
    with_accounts(history)
    whole = backup_of(history)
    with zipfile.ZipFile(whole) as archive:
        rows = [json.loads(line) for line in archive.read("opener.jsonl").splitlines()]
    assert all(row.pop("signer") == "" for row in rows)
    old = changed(whole, "opener.jsonl", b"".join(json.dumps(row).encode() + b"\n" for row in rows))
    read_backup(elsewhere.engine, elsewhere.data, old)
    assert AccountStore(elsewhere.engine).signer_of(1) == ""
