"""One file with all that the service keeps, written while it runs, and put back into an empty place. The file is the
same whichever database it comes from, so that it also leads from SQLite to PostgreSQL.

It is a zip: `backup.json` (its format), a file of JSON lines for each table, and the bytes of every content by digest.
"""

import hashlib
import json
import re
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, BinaryIO

import msgspec
from sqlalchemy import Column, Connection, Engine, Table, func, insert, select, text
from sqlalchemy.exc import DataError, IntegrityError

from carknocker.service.access.names import known_as
from carknocker.service.storage.contents import MOST_BYTES_IN_DATABASE, file_of, write_file
from carknocker.service.storage.tables import (
    account,
    account_end,
    audit,
    car,
    content,
    entry,
    opener,
    opener_end,
    password,
)

FORMAT = "carknocker-backup/2"
_FORMAT_WITHOUT_ACCOUNTS = "carknocker-backup/1"
_OF_CARS: tuple[Table, ...] = (car, content, entry)
_OF_ACCESS: tuple[Table, ...] = (account, account_end, password, opener, opener_end, audit)
"""In the order in which they name each other. How cars stand is worked out again; answers to requests that were sent
twice are not kept."""
_AT_ONCE = 500


MOST_BYTES_OF_CONTENT = 64 * 1024**2
"""Of one file in it: more than a request may bring, or a dossier takes."""
_MOST_TIMES, _ALWAYS_UNPACKED = 200, 10 * 1024**2
"""How many times as large as its packed form all of it may be, beside what is always unpacked."""
_TIGHTLY = 50
"""How many times: what packs more tightly is written as it is."""
_MEMBER = re.compile(r"backup\.json|[a-z_]{1,40}\.jsonl|content/[0-9a-f]{64}")
_DIGEST = re.compile(r"[0-9a-f]{64}")
_MEDIA_TYPE = re.compile(r"[a-z]{1,40}/[a-z0-9.+-]{1,100}(; charset=utf-8)?")
_DAMAGED = (
    zipfile.BadZipFile, KeyError, ValueError, EOFError, OverflowError, RuntimeError, zlib.error, msgspec.MsgspecError,
    DataError, IntegrityError,
)  # fmt: skip


class BackupRefused(Exception):
    """The file can't be used, or there is something where it should go; says what."""


def write_backup(engine: Engine, data: Path, to: BinaryIO, made_at: str) -> int:
    """Writes the file; returns how many entries of the history it holds. What is written meanwhile is not in it.

    Raises BackupRefused where bytes that the history names are not at hand.
    """
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as archive, engine.connect() as connection:
        connection = connection.execution_options(reading=True)
        if connection.dialect.name == "postgresql":
            connection = connection.execution_options(isolation_level="REPEATABLE READ")
        counts = {}
        for table in (*_OF_CARS, *_OF_ACCESS):
            if table is content:
                continue  # below, with its bytes
            rows = connection.execute(select(table).order_by(*table.primary_key)).mappings()
            counts[table.name] = _write_lines(archive, table.name, map(dict, rows))
        known = connection.execute(select(*_described()).order_by(content.c.digest)).mappings()
        described = [_with_bytes(archive, connection, data, dict(row)) for row in known]
        counts["content"] = _write_lines(archive, "content", iter(described))
        head = {"format": FORMAT, "made_at": made_at, "counts": counts}
        archive.writestr(_member("backup.json"), json.dumps(head))
    return counts["entry"]


_DESCRIBED = ("digest", "size", "media_type", "place", "blanked_at", "blanked_by", "blanked_why")


def _described() -> list[Column[Any]]:
    return [content.c[name] for name in _DESCRIBED]


def _with_bytes(archive: zipfile.ZipFile, connection: Connection, data: Path, row: dict[str, Any]) -> dict[str, Any]:
    """Writes the bytes of a content, and returns what is known of it. A file that was blanked since the reading began
    is gone for good, and its row says so."""
    digest = row["digest"]
    if row["place"] == "database":
        body = connection.execute(select(content.c.body).where(content.c.digest == digest)).scalar_one()
        _write_content(archive, digest, bytes(body))
    elif row["place"] == "file":
        try:
            _write_content(archive, digest, file_of(data, digest).read_bytes())
        except FileNotFoundError:
            with connection.engine.connect() as now:
                newer = now.execute(select(*_described()).where(content.c.digest == digest)).mappings().one()
            if newer["place"] != "blanked":
                raise BackupRefused(f"the file of {digest[:8]} is not at hand") from None
            return dict(newer)
    return row


def _write_content(archive: zipfile.ZipFile, digest: str, body: bytes) -> None:
    """Packed, unless it packs so tightly (a file of blanks does) that `restore` would take it for a bomb."""
    tight = len(zlib.compress(body, 1)) * _TIGHTLY < len(body)
    member = _member(f"content/{digest}", zipfile.ZIP_STORED if tight else zipfile.ZIP_DEFLATED)
    archive.writestr(member, body)


def _member(name: str, packed: int = zipfile.ZIP_DEFLATED) -> zipfile.ZipInfo:
    """A member without a time of its own: a zip can't hold that of a clock which was set before 1980."""
    member = zipfile.ZipInfo(name)
    member.compress_type = packed
    member.external_attr = 0o600 << 16
    return member


def _write_lines(archive: zipfile.ZipFile, name: str, rows: Iterator[dict[str, Any]]) -> int:
    count = 0
    with archive.open(_member(f"{name}.jsonl"), "w", force_zip64=True) as lines:
        for row in rows:
            lines.write(msgspec.json.encode(row) + b"\n")
            count += 1
    return count


class Restored(msgspec.Struct, frozen=True):
    """What a backup has put back. entries: of the history; made_at: when the backup was made; accounts: name and role
    of those that can log in."""

    entries: int
    made_at: str
    accounts: tuple[tuple[str, str], ...]


def read_backup(engine: Engine, data: Path, source: BinaryIO, close: Sequence[str] = ()) -> Restored:
    """Puts a file back, whole or not at all. Log-ins, tokens and links open no longer: one that was taken back since
    would open again. close: names of accounts that are closed with it, since they were closed after the backup.

    Raises BackupRefused for a file that is not one, whose bytes are not what their digests say, where something is kept
    already, and for a name that no open account has.
    """
    written: list[Path] = []
    try:
        with zipfile.ZipFile(source) as archive, engine.begin() as connection:
            _check_members(archive)
            head = _head(archive)
            if any(_count(connection, table) for table in (entry, account, opener, audit)):
                raise BackupRefused("something is kept there already; restore into an empty folder or database")
            connection.execute(car.delete())  # what an opened service makes for itself comes with the backup
            counts = {}
            for table in _OF_CARS if head["format"] == _FORMAT_WITHOUT_ACCOUNTS else (*_OF_CARS, *_OF_ACCESS):
                columns = _DESCRIBED if table is content else None
                counts[table.name] = _read_rows(archive, connection, data, table, columns, written)
            if counts != head["counts"]:
                raise BackupRefused("it does not hold what it says that it holds")
            made_at = str(head["made_at"])[:20]
            _end_openers(connection, made_at)
            _close(connection, close, made_at)
            if connection.dialect.name == "postgresql":
                for name in ("entry", "opener", "audit"):
                    following = f"SELECT setval(pg_get_serial_sequence('{name}', 'id'), (SELECT max(id) FROM {name}))"
                    connection.execute(text(following))
            return Restored(counts["entry"], made_at, _open_accounts(connection))
    except BaseException as error:
        for file in written:
            file.unlink(missing_ok=True)
        if isinstance(error, _DAMAGED):
            raise BackupRefused(f"this is no backup, or it is damaged ({type(error).__name__})") from None
        raise


def _check_members(archive: zipfile.ZipFile) -> None:
    """Raises BackupRefused for a member that no backup has, one twice, and for more than is ever unpacked."""
    members = archive.infolist()
    names = {one.filename for one in members}
    strange = next((one.filename for one in members if _MEMBER.fullmatch(one.filename) is None), None)
    if strange is not None:
        raise BackupRefused("it holds a file that no backup has")
    if len(names) != len(members):
        raise BackupRefused("it holds a file twice")
    if any(one.file_size > MOST_BYTES_OF_CONTENT for one in members if one.filename.startswith("content/")):
        raise BackupRefused("it holds a file that is larger than any that the service keeps")
    unpacked, packed = (
        sum(sizes) for sizes in zip(*((one.file_size, one.compress_size) for one in members), strict=True)
    )
    if unpacked > _ALWAYS_UNPACKED + _MOST_TIMES * packed:
        raise BackupRefused("it is packed more tightly than any backup")


def _count(connection: Connection, table: Table) -> int:
    return connection.execute(select(func.count()).select_from(table)).scalar_one()


def _end_openers(connection: Connection, at: str) -> None:
    """Ends whatever opened the service to somebody when the backup was made."""
    still = select(opener.c.id).where(opener.c.id.not_in(select(opener_end.c.opener)))
    ends = [
        {"opener": number, "at": at, "by": "carknocker", "why": "restored"}
        for number in connection.execute(still).scalars()
    ]
    if ends:
        connection.execute(insert(opener_end), ends)


def _open_accounts(connection: Connection) -> tuple[tuple[str, str], ...]:
    closed = select(account_end.c.account)
    wanted = select(account.c.name, account.c.role).where(account.c.id.not_in(closed)).order_by(account.c.known_as)
    return tuple((row.name, row.role) for row in connection.execute(wanted))


def _close(connection: Connection, names: Sequence[str], at: str) -> None:
    """Closes accounts by name. Raises BackupRefused for a name that no open account has."""
    there = {known_as(name): name for name, _ in _open_accounts(connection)}
    for name in names:
        if known_as(name) not in there:
            raise BackupRefused(f"no open account of the name {name[:80]} is in it; it has {', '.join(there.values())}")
        found = select(account.c.id).where(account.c.known_as == known_as(name))
        number = connection.execute(found).scalar_one()
        connection.execute(insert(account_end), {"account": number, "at": at, "by": "carknocker"})
        line = {"at": at, "who": "carknocker", "what": "closed an account", "car": "", "about": there[known_as(name)]}
        connection.execute(insert(audit), line)


def _head(archive: zipfile.ZipFile) -> dict[str, Any]:
    with archive.open("backup.json") as opened:
        head: Any = json.loads(opened.read(100_000))
    if (
        not isinstance(head, dict)
        or head.get("format") not in (FORMAT, _FORMAT_WITHOUT_ACCOUNTS)
        or not isinstance(head.get("counts"), dict)
    ):
        raise BackupRefused(f"this is no backup of the format {FORMAT}")
    return head


def _read_rows(
    archive: zipfile.ZipFile, connection: Connection, data: Path, table: Table, columns: tuple[str, ...] | None,
    written: list[Path],
) -> int:  # fmt: skip
    wanted = set(columns or [column.name for column in table.columns])
    of_before = {column.name: "" for column in table.columns if column.server_default is not None}
    """Columns that a backup of an earlier version has not got, with what they say there."""
    batch: list[dict[str, Any]] = []
    count = 0
    with archive.open(f"{table.name}.jsonl") as lines:
        while line := lines.readline(64 * 1024**2):
            row: Any = msgspec.json.decode(line)
            if isinstance(row, dict):
                row = {**of_before, **row}
            if not isinstance(row, dict) or set(row) != wanted or not _fits(row, table):
                raise BackupRefused(f"a row of {table.name} that is none")
            batch.append(_with_body(archive, data, row, written) if table is content else row)
            count += 1
            if len(batch) == _AT_ONCE:
                connection.execute(insert(table), batch)
                batch = []
    if batch:
        connection.execute(insert(table), batch)
    return count


def _fits(row: dict[str, Any], table: Table) -> bool:
    """Whether each value is of the kind of its column: SQLite by itself would take any."""
    for name, value in row.items():
        column = table.columns[name]
        if value is None:
            if not column.nullable:
                return False
        elif not isinstance(value, column.type.python_type) or isinstance(value, bool):
            return False
    if table is not content:
        return True
    return bool(_MEDIA_TYPE.fullmatch(row["media_type"]) and _DIGEST.fullmatch(row["digest"]))


def _with_body(archive: zipfile.ZipFile, data: Path, row: dict[str, Any], written: list[Path]) -> dict[str, Any]:
    """A row of content with its bytes, or with their file written. Raises BackupRefused where they are not those of the
    digest."""
    if row["place"] == "blanked":
        return {**row, "body": None}
    with archive.open(f"content/{row['digest']}") as opened:
        body = opened.read(row["size"] + 1)
    if len(body) != row["size"] or hashlib.sha256(body).hexdigest() != row["digest"]:
        raise BackupRefused(f"the bytes of {str(row['digest'])[:8]} are not what they were")
    if len(body) <= MOST_BYTES_IN_DATABASE:
        return {**row, "place": "database", "body": body}
    file = file_of(data, row["digest"])
    if not file.exists():
        written.append(file)
    write_file(file, body)
    return {**row, "place": "file", "body": None}
