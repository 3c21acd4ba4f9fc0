"""What stands directly under the outcome: short statements about what the answer rests on, in one fixed order.

A statement is one line of plain words. Where there is nothing to say, there is none.
"""

from collections.abc import Callable, Iterator
from typing import Literal

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.rulebook.model import Edition

StatementSort = Literal["circular"]
"""What a statement is about. `circular`: who typed the host's circular, and whether he confirmed it."""


class Statement(msgspec.Struct, frozen=True):
    """One line under the outcome. words: a sentence without its full stop."""

    sort: StatementSort
    words: str


def first_page_of(index: JudgementIndex) -> tuple[Statement, ...]:
    """The statements of one judgement, in the order of `STATEMENTS`."""
    return tuple(statement for statements in STATEMENTS for statement in statements(index))


def _circulars(index: JudgementIndex) -> Iterator[Statement]:
    """Who typed each host's circular that binds, and who of the host confirmed it."""
    for edition in index.judgement.rulebook.editions:
        if edition.layer == "host":
            typed = edition.typed_by or "the owner"
            named = f"Circular {edition.ruleset} {edition.name}"
            yield Statement("circular", f"{named}: typed by {typed}, {_confirmed(edition, index)}")


def _confirmed(edition: Edition, index: JudgementIndex) -> str:
    """A confirmation of a later day than the one that is judged does not count."""
    said = edition.confirmed_by
    if said is None or said.on > index.judgement.as_of:
        return "not confirmed by the host"
    return f"confirmed by {said.name} ({said.role}) on {said.on.isoformat()}"


STATEMENTS: tuple[Callable[[JudgementIndex], Iterator[Statement]], ...] = (_circulars,)
"""One function for each sort of statement."""
