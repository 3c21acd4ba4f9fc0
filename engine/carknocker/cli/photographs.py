"""The photographs beside a record: only plain files in its own folder are read, and no link is followed."""

import hashlib
import os
import stat
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from pathlib import Path

from carknocker.cli.output import OutputRefused, write_whole
from carknocker.documents import InputRefused
from carknocker.documents.pictures import MOST_BYTES, SmallPicture, ending_of, small_picture
from carknocker.record.model import Photograph
from carknocker.record.new_photographs import NewPhotograph
from carknocker.record.photographs import FOLDER, MOST_BYTES_OF_COPY, ORIGINALS, is_good_name

MOST_ON_A_PAGE = 24
"""Photographs. The others are named."""


def digests_beside(record: Path, photographs: Iterable[Photograph]) -> dict[str, str]:
    """File → SHA-256 of what lies in the folder beside a record now; what is not there, or can't be read, has none."""
    return {name: hashlib.sha256(content).hexdigest() for name, content in _copies(record, photographs)}


def digests_of_all_beside(record: Path) -> dict[str, str]:
    """File → SHA-256 of everything in the folder beside a record that a record could name."""
    folder = record.parent / FOLDER
    if not _is_own_folder(folder):
        return {}
    named = [name for name in sorted(os.listdir(folder)) if is_good_name(name)]
    found = {name: _content(folder / name, MOST_BYTES_OF_COPY) for name in named}
    return {name: hashlib.sha256(content).hexdigest() for name, content in found.items() if content is not None}


def copies_beside(record: Path, photographs: Iterable[Photograph]) -> dict[str, bytes]:
    """File → reduced copy, of those that are as they were when they were put on record."""
    wanted = {one.file: one.sha256 for one in photographs}
    found = _copies(record, photographs)
    return {name: content for name, content in found if hashlib.sha256(content).hexdigest() == wanted[name]}


def pictures_beside(record: Path, photographs: Sequence[Photograph]) -> dict[str, SmallPicture]:
    """File → small picture for a page, of the newest that are as they were, MOST_ON_A_PAGE at most."""
    return small_pictures(copies_beside(record, newest_first(photographs)).items())


def newest_first(photographs: Iterable[Photograph]) -> list[Photograph]:
    """Photographs by the day on which they were taken, the newest first."""
    return sorted(photographs, key=lambda one: one.on, reverse=True)


def small_pictures(copies: Iterable[tuple[str, bytes]]) -> dict[str, SmallPicture]:
    """File → small picture for a page, of the first of some reduced copies, MOST_ON_A_PAGE at most."""
    found: dict[str, SmallPicture] = {}
    for name, content in copies:
        if len(found) < MOST_ON_A_PAGE:
            with suppress(InputRefused):  # what is no photograph is named, and not shown
                found[name] = small_picture(content, name)
    return found


def originals_beside(record: Path, photographs: Iterable[Photograph]) -> dict[str, bytes]:
    """Name → original, of those that lie in the folder for originals and are as they were."""
    folder = record.parent / FOLDER / ORIGINALS
    wanted = {one.original_sha256: one.file.removesuffix(".jpg") for one in photographs}
    found: dict[str, bytes] = {}
    for path in sorted(folder.iterdir()) if _is_own_folder(folder) and _is_own_folder(folder.parent) else ():
        content = _content(path, MOST_BYTES)
        stem = wanted.get(hashlib.sha256(content).hexdigest()) if content is not None else None
        if content is not None and stem is not None:
            found.setdefault(f"{stem}{path.suffix.lower()}", content)
    return found


def photograph_beside(record: Path, new: NewPhotograph) -> Path:
    """Where the reduced copy lies."""
    return record.parent / FOLDER / new.file


def write_photograph(record: Path, new: NewPhotograph, original: bytes | None = None) -> tuple[Path, ...]:
    """Writes the reduced copy beside a record, and the original where it is at hand; names where they lie.

    Raises OutputRefused where a folder is a link, or another file is there already: none is written over.
    """
    folder = record.parent / FOLDER
    own = folder / ORIGINALS
    wanted = {photograph_beside(record, new): new.copy}
    if original is not None:
        wanted[own / f"{Path(new.file).stem}{ending_of(original)}"] = original
    for one in dict.fromkeys(path.parent for path in wanted):
        if one.is_symlink() or (one.exists() and not one.is_dir()):
            raise OutputRefused(f"{one} is no folder of the record's own; nothing was written")
    for path, content in wanted.items():
        if path.is_symlink() or (path.exists() and path.read_bytes() != content):
            raise OutputRefused(f"{path} is there already, with something else in it; move it away")
    for path, content in wanted.items():
        path.parent.mkdir(exist_ok=True)
        write_whole(path, content)
    return tuple(wanted)


def _copies(record: Path, photographs: Iterable[Photograph]) -> Iterator[tuple[str, bytes]]:
    folder = record.parent / FOLDER
    names = [one.file for one in photographs if is_good_name(one.file)]
    for name in names if names and _is_own_folder(folder) else ():
        content = _content(folder / name, MOST_BYTES_OF_COPY)
        if content is not None:
            yield name, content


def _is_own_folder(folder: Path) -> bool:
    """Whether it is a folder, and no link to one elsewhere."""
    try:
        return stat.S_ISDIR(folder.lstat().st_mode)
    except (OSError, ValueError):
        return False


def _content(path: Path, most: int) -> bytes | None:
    """The bytes of a plain file that is not too large; None for anything else."""
    try:
        if not stat.S_ISREG(path.lstat().st_mode):
            return None
        # a link put there in the meantime is not followed, and nothing that would keep us waiting is opened
        number = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) |
                         getattr(os, "O_BINARY", 0))  # fmt: skip
        with os.fdopen(number, "rb") as stream:
            content = stream.read(most + 1)
    except (OSError, ValueError):
        return None
    return content if len(content) <= most else None
