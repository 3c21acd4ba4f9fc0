"""Keeps what was read from the installed YAML files, so that the next start need not read it again.

What is kept is data of known types, in MessagePack: reading it back builds nothing else, and what does not fit the
type is read anew from its source. The key holds a digest of the very texts that it was read from, so that a changed
file is never answered from here.
"""

import hashlib
import os
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

import msgspec

from carknocker import __version__

MOST_KEPT = 60
_Kept = TypeVar("_Kept")


def key_of(texts: Iterable[str]) -> str:
    """The key of what is read from these texts by this version of the program."""
    digest = hashlib.sha256(__version__.encode())
    for text in texts:
        digest.update(f"\0{len(text)}\0{text}".encode())
    return digest.hexdigest()


def _text(value: object) -> str:
    if isinstance(value, Path):
        return str(value)
    raise TypeError(f"{type(value).__name__} is nothing that is kept")


def _path(kind: type, value: object) -> object:
    if issubclass(kind, Path) and isinstance(value, str):
        return Path(value)
    raise TypeError(f"{type(value).__name__} is nothing that is kept")


class Keep:
    """A folder of what was read. Where it can't be read or written, nothing is kept and nothing is lost."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def get(self, key: str, kind: type[_Kept]) -> _Kept | None:
        """What was kept under a key, or None."""
        try:
            return msgspec.msgpack.decode((self._folder / key).read_bytes(), type=kind, dec_hook=_path)
        except (OSError, msgspec.MsgspecError, UnicodeDecodeError):
            return None

    def put(self, key: str, value: object) -> None:
        """Keeps a value: written whole under another name first, then given its own."""
        with suppress(OSError):
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(dir=self._folder)
            try:
                with os.fdopen(handle, "wb") as file:
                    file.write(msgspec.msgpack.encode(value, enc_hook=_text))
                os.replace(name, self._folder / key)
            except OSError:
                os.unlink(name)
                raise
            self._forget_the_oldest()

    def _forget_the_oldest(self) -> None:
        kept = sorted(self._folder.iterdir(), key=lambda file: file.stat().st_mtime, reverse=True)
        for file in kept[MOST_KEPT:]:
            file.unlink(missing_ok=True)
