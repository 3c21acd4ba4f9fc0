"""The cache of parsed YAML files, so that the next start need not parse the rulesets again.

An entry is data of a known type in MessagePack. Its key is a digest of the texts that were parsed and of the sources of
the program that parsed them. An entry begins with a digest of its key and its bytes. Whatever is odd about the folder
or the entry, the files are parsed again, and nothing is said of it.
"""

import hashlib
import os
import re
import stat
import sys
import tempfile
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import TypeVar

import msgspec
import pydantic_core
import yaml

MOST_ENTRIES = 60
MOST_BYTES = 16_000_000
"""A larger entry is not read. The largest edition that is installed takes half a million bytes."""

_READER_ROOMS = ("documents", "quantities", "record", "rulebook", "vocabulary")
"""The rooms whose modules take part in parsing a ruleset or the vocabulary."""
_PACKAGE = Path(__file__).parent.parent
_DIGEST_BYTES = 32
_ENTRY_NAME = re.compile(r"[0-9a-f]{64}|new-\w+")
_OPEN_FLAGS = os.O_RDONLY | sum(getattr(os, name, 0) for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_CLOEXEC", "O_BINARY"))
_Parsed = TypeVar("_Parsed")


class ParseCache:
    """A folder of parsed files. Where it can't be used, each file is parsed every time.

    The folder and its entries must belong to the user, and nobody else may be able to write them.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def get(self, key: str, kind: type[_Parsed]) -> _Parsed | None:
        """What was parsed under a key, or None if it is not here or not sound."""
        try:
            if not key or not _is_safe_folder(self._folder):
                return None
            content = _read_entry(self._folder / key)
            payload = content[_DIGEST_BYTES:]
            if content[:_DIGEST_BYTES] != _entry_digest(key, payload):
                return None
            return msgspec.msgpack.decode(payload, type=kind, dec_hook=_decode_path)
        except (OSError, ValueError, msgspec.MsgspecError):
            return None

    def put(self, key: str, value: object) -> None:
        """Stores a value: written whole under another name first, then given its own."""
        if not key:
            return
        with suppress(OSError, ValueError):
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            if not _is_safe_folder(self._folder):
                return
            payload = msgspec.msgpack.encode(value, enc_hook=_encode_path)
            handle, name = tempfile.mkstemp(prefix="new-", dir=self._folder)
            try:
                with os.fdopen(handle, "wb") as file:
                    file.write(_entry_digest(key, payload) + payload)
                os.replace(name, self._folder / key)
            except OSError:
                os.unlink(name)
                raise
            _remove_oldest(self._folder)


def cache_key(*texts: str) -> str:
    """The key of what these sources parse from these texts; "" where the sources can't be read: nothing is cached."""
    sources = source_digest(_PACKAGE)
    if not sources:
        return ""
    digest = hashlib.blake2b(sources, digest_size=_DIGEST_BYTES)
    for text in texts:
        content = text.encode("utf-8", "surrogatepass")
        digest.update(b"%d\0%b" % (len(content), content))
    return digest.hexdigest()


@cache
def source_digest(package: Path) -> bytes:
    """A digest of the modules that take part in parsing, and of the versions of the libraries that do; b"" where they
    can't be read.

    It is taken from the content at each start: times and sizes of files may stay the same when their content changes.
    """
    versions = (sys.version, msgspec.__version__, pydantic_core.__version__, yaml.__version__)
    digest = hashlib.blake2b(" ".join(versions).encode(), digest_size=_DIGEST_BYTES)
    try:
        for room in _READER_ROOMS:
            _add_sources(digest, f"{package}{os.sep}{room}")
    except OSError:
        return b""
    return digest.digest()


def _add_sources(digest: hashlib.blake2b, folder: str) -> None:
    """Adds every module of a folder, and of the folders in it. Raises OSError, also for a folder without modules."""
    with os.scandir(folder) as listing:
        entries = sorted((entry.name, entry.is_dir()) for entry in listing)
    modules = 0
    for name, is_folder in entries:
        path = f"{folder}{os.sep}{name}"
        if is_folder:
            if os.path.exists(f"{path}{os.sep}__init__.py"):
                _add_sources(digest, path)
        elif name.endswith(".py"):
            with open(path, "rb", buffering=0) as file:
                content = file.read()
            digest.update(b"%b\0%d\0%b" % (name.encode(), len(content), content))
            modules += 1
    if not modules:
        raise OSError(f"no module in {folder}")


def _entry_digest(key: str, payload: "bytes | memoryview") -> bytes:
    """With the key in it, so that one entry does not stand for another."""
    digest = hashlib.blake2b(key.encode(), digest_size=_DIGEST_BYTES)
    digest.update(payload)
    return digest.digest()


def _is_safe_folder(folder: Path) -> bool:
    status = os.lstat(folder)
    return stat.S_ISDIR(status.st_mode) and _is_of_the_user_alone(status)


def _read_entry(file: Path) -> memoryview:
    """The bytes of an entry. Raises OSError for a link, for what is no regular file (opening a FIFO does not wait), for
    one that others can write, and for one that is too large."""
    handle = os.open(file, _OPEN_FLAGS)
    with os.fdopen(handle, "rb", buffering=0) as opened:
        status = os.fstat(handle)
        if not stat.S_ISREG(status.st_mode) or not _is_of_the_user_alone(status) or status.st_size > MOST_BYTES:
            raise OSError("no entry of this cache")
        return memoryview(opened.read(status.st_size) or b"")


def _is_of_the_user_alone(status: os.stat_result) -> bool:
    """Whether a file or folder belongs to the user, and nobody else may write it. Windows keeps other books of it: its
    folder for this is the user's own."""
    if not hasattr(os, "geteuid"):
        return True
    return status.st_uid == os.geteuid() and not status.st_mode & (stat.S_IWGRP | stat.S_IWOTH)


def _remove_oldest(folder: Path) -> None:
    entries = [entry for entry in folder.iterdir() if _ENTRY_NAME.fullmatch(entry.name)]
    by_age = sorted(entries, key=lambda entry: entry.lstat().st_mtime, reverse=True)
    for entry in by_age[MOST_ENTRIES:]:
        entry.unlink(missing_ok=True)


def _encode_path(value: object) -> str:
    if isinstance(value, Path):
        return str(value)
    raise TypeError(f"{type(value).__name__} can't be cached")


def _decode_path(kind: type, value: object) -> object:
    if issubclass(kind, Path) and isinstance(value, str):
        return Path(value)
    raise TypeError(f"{type(value).__name__} can't be cached")
