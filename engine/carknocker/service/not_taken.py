"""Why something is not there, or was not taken."""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as NoConnection

from carknocker.documents import Problem, show_problems
from carknocker.service.asked import Refused
from carknocker.service.storage.contents import TakenAway


class NotThere(Exception):
    """There is no car, version or dossier of that name."""


class KeyUsed(Exception):
    """A key of the sender that came with another request before."""


class NotUsable(Exception):
    """A text that can't be accepted, with every problem in it."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__(problems)
        self.problems = problems

    @property
    def words(self) -> str:
        """All that is wrong, as a page shows it."""
        return show_problems(self.problems)


NOT_NOW = "the database does not answer now; nothing was written; send it again in a few seconds"
NO_ROOM = "there is no room left on the disk; nothing was written; whoever runs the service has to make some"
BROKEN_OFF = (
    "the database broke off while it was asked; what you sent may have been written: look before you send it again"
)
_NO_ROOM_ON_DISK = (errno.ENOSPC, errno.EDQUOT)
_NO_ROOM_IN_POSTGRESQL = "53100"


def why_no_answer(error: Exception) -> str:
    """Why database or disk did nothing just now, where that is why; "" for any other error."""
    match error:
        case OSError() if error.errno in _NO_ROOM_ON_DISK:
            return NO_ROOM
        case OperationalError() if _has_no_room(error.orig):
            return NO_ROOM
        case DBAPIError(connection_invalidated=True):
            return BROKEN_OFF
        case OperationalError() | NoConnection():
            return NOT_NOW
    return ""


def _has_no_room(error: BaseException | None) -> bool:
    """Whether a database says that its disk is full."""
    if isinstance(error, sqlite3.Error):
        return getattr(error, "sqlite_errorcode", None) == sqlite3.SQLITE_FULL
    return getattr(error, "sqlstate", None) == _NO_ROOM_IN_POSTGRESQL


@contextmanager
def not_there(what: object) -> Iterator[None]:
    """Turns a key that the history does not have into NotThere."""
    try:
        yield
    except KeyError:
        raise NotThere(str(what)) from None


@contextmanager
def taken_away_in_words() -> Iterator[None]:
    """Turns bytes that are not taken again into Refused, which says why."""
    try:
        yield
    except TakenAway as gone:
        raise Refused(
            "input",
            f"the very same was taken away for good, and is not taken again: {gone}. Nothing was written. A text or a "
            "form is written without what had to go; a dossier is given out in another form, on another day, or once "
            "the record says something else",
        ) from None
