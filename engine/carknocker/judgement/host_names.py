"""Names of a host that are spelt in two ways: whoever accepts one spelling is not asked about the other."""

from collections.abc import Iterator
from itertools import combinations

import msgspec

from carknocker.record.host_names import differ_by_one_letter, same_railroad
from carknocker.record.model import CarRecord, Move
from carknocker.record.values import Word

_NAMED_IN = ("host", "names_host")
"""The facts of a paper or a test that name a host."""


class UnlikeHostNames(msgspec.Struct, frozen=True):
    """Two names that differ by a slip of the pen. Nothing is taken for anything."""

    one: str
    other: str


def unlike_host_names(car: CarRecord, move: Move) -> Iterator[UnlikeHostNames]:
    """The pairs of names that are nearly the same, among the hosts of the move, of the moves made, of the people, of
    the papers and of the tests."""
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
    for made in car.moves_made:
        yield made.host
    for entry in car.evidence:
        for fact in _NAMED_IN if entry.sort in ("paper", "test") else ():
            host = entry.facts.get(fact)
            if isinstance(host, Word):
                yield host.text
