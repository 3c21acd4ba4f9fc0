"""Commented starter files: text made safe for YAML, and all files written or none."""

import json
import re
from pathlib import Path

import msgspec

from carknocker.documents import InputRefused, Location, Problem
from carknocker.documents.system_words import system_words
from carknocker.documents.visible_text import one_line

_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9&.'/-]*( [A-Za-z0-9&.'/-]+)*")
"""A text that YAML reads as the same text, without quotes."""
_NOT_PLAIN = frozenset({"yes", "no", "true", "false", "on", "off", "null", "y", "n"})
"""Words that YAML reads as something else than text."""


class StarterFile(msgspec.Struct, frozen=True):
    """The name and the text of a file to be written."""

    name: str
    text: str


def plain_words(text: str) -> str:
    """The printable words of a text, with one space between them."""
    return one_line(text, hidden=" ")


def as_scalar(text: str, instead: str, *, quoted: bool = False) -> str:
    """A text as a YAML scalar, quoted unless it is plain words. instead: what to write if the text is empty."""
    words = plain_words(text) or instead
    if not quoted and _PLAIN.fullmatch(words) and words.casefold() not in _NOT_PLAIN:
        return words
    return json.dumps(words, ensure_ascii=False)


def refuse_files_there(folder: Path, names: tuple[str, ...]) -> tuple[Path, ...]:
    """The paths of files to be written into a folder. Raises InputRefused if one of them is there already."""
    paths = tuple(folder / name for name in names)
    there = [path for path in paths if path.exists() or path.is_symlink()]
    if there:
        raise InputRefused(tuple(
            Problem(Location(str(path), 1, 1), "the file is there already", "a folder without it",
                    remedy="name another folder: nothing was written") for path in there
        ))  # fmt: skip
    return paths


def write_starter(folder: Path, files: tuple[StarterFile, ...]) -> tuple[Path, ...]:
    """Writes all of the files into the folder, or none. Makes the folder if it is not there.

    Raises InputRefused if one of them is there already, or if they can't be written.
    """
    paths = refuse_files_there(folder, tuple(file.name for file in files))
    made_folder = not folder.exists()
    written: list[Path] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path, file in zip(paths, files, strict=True):
            with path.open("x", encoding="utf-8", newline="\n") as stream:
                written.append(path)
                stream.write(file.text)
    except OSError as error:
        for path in written:
            path.unlink(missing_ok=True)
        if made_folder and folder.is_dir() and not any(folder.iterdir()):
            folder.rmdir()
        found = f"the files can't be written: {system_words(error)}"
        place = Location(str(folder), 1, 1)
        raise InputRefused((Problem(place, found, "a folder that can be written to"),)) from error
    return paths
