"""Why something is not there, or was not taken."""

from collections.abc import Iterator
from contextlib import contextmanager

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
