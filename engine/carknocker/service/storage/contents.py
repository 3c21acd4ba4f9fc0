"""Bytes kept by their SHA-256 digest: small ones in the database, large ones in files beside it."""

import hashlib
import os
import shutil
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

import msgspec
from sqlalchemy import Connection, Insert, insert, select, update

from carknocker.service.storage.tables import content

YAML = "text/yaml; charset=utf-8"
JPEG = "image/jpeg"
"""Media types of what is kept."""

MOST_BYTES_IN_DATABASE = 256 * 1024
FILES = "files"
LEAST_FREE_BYTES = 100 * 1024**2
"""Some requests of the largest size."""


class Content(msgspec.Struct, frozen=True):
    """What is known of some bytes that are at hand."""

    digest: str
    size: int
    media_type: str


class ContentMissing(Exception):
    """Bytes that are not at hand: blanked, or their file is gone or is not what it was. Says which."""


class TakenAway(ContentMissing):
    """Bytes that were blanked, and so are not taken again. Says when, by whom and why."""


def put(connection: Connection, data: Path, body: bytes, media_type: str) -> str:
    """Keeps the bytes, once; returns their digest. A file is whole, and on the disk, before the database names it.
    Raises TakenAway."""
    digest = hashlib.sha256(body).hexdigest()
    known = connection.execute(select(content).where(content.c.digest == digest)).one_or_none()
    if known is not None:
        if known.place == "blanked":
            raise TakenAway(blanked_words(known))
        return digest
    large = len(body) > MOST_BYTES_IN_DATABASE
    if large:
        write_file(file_of(data, digest), body)
    row = {"digest": digest, "size": len(body), "media_type": media_type, "place": "file" if large else "database"}
    statement = _insert_once(connection)
    connection.execute(statement, {**row, "body": None if large else body})
    return digest


def get(connection: Connection, data: Path, digest: str) -> tuple[Content, bytes]:
    """The bytes of a digest, looked at again: what is not what it was is not handed out. Raises KeyError for a digest
    that was never kept, ContentMissing where the bytes are not at hand."""
    row = connection.execute(select(content).where(content.c.digest == digest)).one_or_none()
    if row is None:
        raise KeyError(digest)
    if row.place == "blanked":
        raise ContentMissing(blanked_words(row))
    if row.place == "database":
        body = bytes(row.body)
    else:
        try:
            body = file_of(data, digest).read_bytes()
        except OSError:
            raise ContentMissing(f"the file of {digest[:8]} is not at hand") from None
    if hashlib.sha256(body).hexdigest() != digest:
        raise ContentMissing(f"the bytes of {digest[:8]} are not what they were")
    return Content(digest, row.size, row.media_type), body


def blanked_words(row: Any) -> str:
    """When, by whom and why bytes were blanked."""
    return f"taken away on {row.blanked_at[:10]} by {row.blanked_by}: {row.blanked_why}"


def blank(connection: Connection, digest: str, at: str, by: str, why: str) -> None:
    """Takes the bytes out of the database for good; digest, day, name and reason stay, and a file has to be unlinked
    then. Raises KeyError for a digest that was never kept or is blanked."""
    done = connection.execute(
        update(content)
        .where(content.c.digest == digest, content.c.place != "blanked")
        .values(place="blanked", body=None, blanked_at=at, blanked_by=by, blanked_why=why)
    )
    if done.rowcount != 1:
        raise KeyError(digest)


def unlink(data: Path, digests: Sequence[str]) -> None:
    """Deletes the files of bytes that were blanked, once the database says so."""
    for digest in digests:
        file_of(data, digest).unlink(missing_ok=True)


def _insert_once(connection: Connection) -> Insert:
    """The insertion that leaves a row alone that another writer put there meanwhile."""
    if connection.dialect.name == "postgresql":
        from sqlalchemy.dialects.postgresql import insert as insert_postgresql

        return insert_postgresql(content).on_conflict_do_nothing()
    return insert(content)


def file_of(data: Path, digest: str) -> Path:
    """Where the bytes of a digest lie, if they lie in a file."""
    return data / FILES / digest[:2] / digest


def has_room(data: Path) -> bool:
    """Whether the disk has room for more on which the folder is, or will be once a file is written into it."""
    there = next(one for one in (data.absolute(), *data.absolute().parents) if one.exists())
    with suppress(OSError):
        return shutil.disk_usage(there).free >= LEAST_FREE_BYTES
    return False


def write_file(path: Path, body: bytes) -> None:
    """Writes a file whole, and onto the disk, before it has its name."""
    if not path.parent.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        _sync(path.parent.parent)
    number, name = tempfile.mkstemp(prefix=".", dir=path.parent)
    try:
        with os.fdopen(number, "wb") as opened:
            opened.write(body)
            opened.flush()
            os.fsync(opened.fileno())
        os.replace(name, path)
    except BaseException:
        os.unlink(name)
        raise
    _sync(path.parent)


def _sync(path: Path) -> None:
    """Has what a folder names on the disk."""
    folder = os.open(path, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
