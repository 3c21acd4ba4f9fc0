"""A file of its own format, read whole or refused whole with every problem in it."""

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from carknocker.documents import InputRefused, Node, ProblemList, load_text, read_document
from carknocker.record.format import check_format
from carknocker.record.notes import Notes
from carknocker.vocabulary import load_vocabulary

_Read = TypeVar("_Read")


def read_file(path: Path, read_text: Callable[[str, str], _Read]) -> _Read:
    """What `read_text` makes of the text of a file and its name. Raises InputRefused with every problem found."""
    problems = ProblemList()
    text = load_text(path, problems)
    if text is None:
        raise InputRefused(problems.problems)
    return read_text(text, str(path))


def read_whole(text: str, file: str, wanted: str, read: Callable[[Node, Notes], _Read | None]) -> _Read:
    """What `read` makes of a document of the wanted format, noting what is wrong; `file` names it. Raises InputRefused
    with every problem found."""
    problems = ProblemList()
    root = read_document(text, file, problems)
    notes = Notes(problems, load_vocabulary())
    made = read(root, notes) if root is not None and check_format(root, wanted, notes) else None
    problems.refuse_if_any()
    if made is None:
        raise AssertionError("a file is refused without a problem")
    return made
