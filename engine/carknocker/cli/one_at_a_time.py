"""Car records are written by one command at a time, and only where they still say what the command read."""

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from carknocker.cli.statuses import say
from carknocker.documents import ProblemList, load_text

try:
    import fcntl
except ImportError:  # where a folder can't be locked, the texts are still compared right before they are written
    fcntl = None  # type: ignore[assignment]


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Waits until no other command writes records in a folder, and keeps others waiting until the end of the block."""
    number = None
    with suppress(OSError):  # a file system that knows no locks
        if fcntl is not None:
            number = os.open(folder, os.O_RDONLY)
            fcntl.flock(number, fcntl.LOCK_EX)
    try:
        yield
    finally:
        if number is not None:
            os.close(number)


def are_as_read(texts: Mapping[Path, str]) -> bool:
    """Whether files still hold the texts that were read from them; if not, that is told, since the work is done anew
    with what they hold now."""
    for file, text in texts.items():
        if load_text(file, ProblemList()) != text:
            say(f"{file} was written by another command meanwhile: this is done anew, with what it says now.")
            return False
    return True
