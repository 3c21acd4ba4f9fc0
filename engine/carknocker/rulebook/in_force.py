"""Which edition of a ruleset is in force on a day."""

from collections.abc import Iterable
from datetime import date

from carknocker.documents import InputRefused, Problem
from carknocker.rulebook.edition_head import EditionHead


def in_force_on(heads: Iterable[EditionHead], day: date) -> tuple[EditionHead, ...]:
    """The editions of one ruleset in force on a day: one, or none, or (a fault of the editions) several.

    An edition without `until` is superseded on the day the next one comes into force; with `until`, that is the last
    day on which it is in force.
    """
    begun = [head for head in heads if head.in_force <= day]
    newest = max((head.in_force for head in begun), default=day)
    return tuple(
        head for head in begun if (head.in_force == newest if head.until is None else day <= head.until)
    )  # fmt: skip


def overlaps(heads: Iterable[EditionHead]) -> list[Problem]:
    """Two editions of one ruleset that are in force at once: `until` reaches into the next, or both begin at once."""
    found: list[Problem] = []
    ordered = sorted(heads, key=lambda head: (head.in_force, head.name))
    for number, head in enumerate(ordered):
        for later in ordered[number + 1 :]:
            if later.in_force == head.in_force or (head.until is not None and head.until >= later.in_force):
                found.append(_overlap(head, later))
    return found


def the_one_in_force(ruleset: str, heads: Iterable[EditionHead], day: date) -> EditionHead:
    """The edition in force. Raises InputRefused, with the dates, if there is none or more than one."""
    known = sorted(heads, key=lambda head: (head.in_force, head.name))
    found = in_force_on(known, day)
    if len(found) == 1:
        return found[0]
    if len(found) > 1:
        raise InputRefused((_overlap(found[0], found[1]),))
    raise InputRefused((
        Problem(
            known[0].where, f"no edition of {ruleset} in force on {day}: " + "; ".join(h.dates() for h in known),
            f"an edition in force on {day}", remedy="add the edition of that day, or pin one in the move: `editions:`",
        ),
    ))  # fmt: skip


def _overlap(head: EditionHead, later: EditionHead) -> Problem:
    return Problem(
        later.where,
        f"two editions of {head.ruleset} in force at once: {head.dates()}; {later.dates()}",
        f"`until` of edition {head.name} before {later.in_force}, or no `until`: the next edition supersedes it",
        remedy="correct the dates, or pin one edition in the move: `editions:`",
    )
