"""Editions that a move pins: `editions: {us-federal: "2020"}`."""

from collections.abc import Mapping
from datetime import date

from carknocker.documents import InputRefused, Problem, nearest, some
from carknocker.record.model import Move
from carknocker.rulebook.edition_head import EditionHead


def read_pins(heads: Mapping[str, tuple[EditionHead, ...]], move: Move) -> dict[str, EditionHead]:
    """The editions that a move pins, by ruleset. Raises InputRefused for one that is not here."""
    found: dict[str, EditionHead] = {}
    for ruleset, name in move.editions.items():
        if ruleset not in heads:
            raise refused(
                move, f"the pinned ruleset `{ruleset[:60]}`", f"one of {some(heads)}", nearest(ruleset, heads)
            )
        names = [head.name for head in heads[ruleset]]
        if name not in names:
            raise refused(
                move, f"the pinned edition `{name[:60]}` of {ruleset}", f"one of {some(names)}", nearest(name, names)
            )
        found[ruleset] = heads[ruleset][names.index(name)]
    return found


def pin_notes(pins: Mapping[str, EditionHead], move: Move) -> tuple[str, ...]:
    """Says what is pinned, and on which days of the move that is not in force."""
    notes: list[str] = []
    for ruleset, head in sorted(pins.items()):
        days = [day for day in dict.fromkeys((move.out, move.back)) if day < head.in_force or _ended(head, day)]
        outside = f", which is not in force on {' and '.join(map(str, days))}" if days else ""
        notes.append(f"the move pins edition {head.name} of {ruleset}{outside}")
    return tuple(notes)


def _ended(head: EditionHead, day: date) -> bool:
    return head.until is not None and head.until < day


def refused(move: Move, found: str, expected: str, near: str = "", remedy: str = "") -> InputRefused:
    """A refusal of a move, at its place in its file."""
    return InputRefused((Problem(move.where, found, expected, near, remedy),))
