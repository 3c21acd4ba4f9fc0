"""Names of a host that are spelt in two ways: whoever accepts one spelling is not asked about the other."""

from collections.abc import Iterator
from itertools import combinations

import msgspec

from carknocker.record.host_names import differ_by_one_letter, same_railroad
from carknocker.record.model import CarRecord, Move
from carknocker.record.values import Word


class UnlikeHostNames(msgspec.Struct, frozen=True):
    """Two names that differ by a slip of the pen. Nothing is taken for anything."""

    one: str
    other: str


def unlike_host_names(car: CarRecord, move: Move) -> Iterator[UnlikeHostNames]:
    """The pairs of names, among the hosts of the move, of the people and of the papers, that are nearly the same."""
    said: dict[str, str] = {}
    for name in _names(car, move):
        said.setdefault(name.strip().casefold(), name.strip())
    for one, other in combinations(said.values(), 2):
        if same_railroad(one, other) or differ_by_one_letter(one, other):
            yield UnlikeHostNames(one, other)


def _names(car: CarRecord, move: Move) -> Iterator[str]:
    yield move.host
    for person in car.people.values():
        yield from person.accepted_by
    for entry in car.evidence:
        host = entry.facts.get("host") if entry.sort == "paper" else None
        if isinstance(host, Word):
            yield host.text
