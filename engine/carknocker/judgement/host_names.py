"""Names of a host that are spelt in two ways: whoever accepts one spelling is not asked about the other."""

from collections.abc import Iterator
from itertools import combinations

import msgspec

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
        if _nearly(_letters(one), _letters(other)):
            yield UnlikeHostNames(one, other)


def _names(car: CarRecord, move: Move) -> Iterator[str]:
    yield move.host
    for person in car.people.values():
        yield from person.accepted_by
    for entry in car.evidence:
        host = entry.facts.get("host") if entry.sort == "paper" else None
        if isinstance(host, Word):
            yield host.text


def _letters(name: str) -> str:
    """Its letters and digits, `&` read as `and`."""
    return "".join(one for one in name.casefold().replace("&", "and") if one.isalnum())


def _nearly(one: str, other: str) -> bool:
    """Whether two names are the same but for one letter: more or less, another one, or two exchanged. Eastern and
    Western differ by two."""
    if one == other:
        return True
    shorter, longer = sorted((one, other), key=len)
    at = next((n for n, (a, b) in enumerate(zip(shorter, longer, strict=False)) if a != b), len(shorter))
    if len(shorter) != len(longer):
        return len(longer) - len(shorter) == 1 and shorter[at:] == longer[at + 1 :]
    rest = shorter[at + 1 :] == longer[at + 1 :]
    exchanged = shorter[at : at + 2] == longer[at : at + 2][::-1] and shorter[at + 2 :] == longer[at + 2 :]
    return rest or exchanged
