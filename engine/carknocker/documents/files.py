"""Reads the files that documents stand in: missing, too large or not UTF-8, they are refused in words."""

import os
from pathlib import Path

from carknocker.documents.location import Location
from carknocker.documents.node import Node
from carknocker.documents.problems import Problem, ProblemList
from carknocker.documents.reading import MOST_BYTES, read_document


def load_document(path: Path, problems: ProblemList) -> Node | None:
    """The document in a file, or None with the problems noted (missing, too large, not UTF-8, not YAML)."""
    text = load_text(path, problems)
    return None if text is None else read_document(text, str(path), problems)


def load_text(path: Path, problems: ProblemList) -> str | None:
    """The text of a file, or None with the problem noted."""
    start = Location(str(path), 1, 1)
    try:
        if not path.is_file():
            problems.add(Problem(start, _no_file(path), remedy="name a YAML file: check the name and the folder"))
            return None
        content = read_within(path, MOST_BYTES)
        if content is None:
            size = f"{path.stat().st_size:,}" if path.stat().st_size > MOST_BYTES else f"more than {MOST_BYTES:,}"
            problems.add(Problem(start, f"a file of {size} bytes", f"at most {MOST_BYTES:,} bytes"))
            return None
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        problems.add(Problem(start, f"byte {error.start:,} is not UTF-8 text", "a text file saved as UTF-8"))
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        problems.add(Problem(start, f"the file can't be read: {reason}", "a readable file"))
    return None


def read_within(path: Path, most: int) -> bytes | None:
    """The bytes of a file, or None if there are more than `most`: no more than that is ever read. Raises OSError."""
    with path.open("rb") as stream:
        if os.fstat(stream.fileno()).st_size > most:
            return None
        content = stream.read(most + 1)  # some files say that they are empty, and others grow while they are read
        return content if len(content) <= most else None


def _no_file(path: Path) -> str:
    if path.is_dir():
        return "this is a folder"
    return "this is no ordinary file" if path.exists() else "there is no such file"
