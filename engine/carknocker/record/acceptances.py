"""How long a host accepts what a person signs: to the last day that the record gives of him, or to the day on which an
event says that it ended."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

import msgspec

from carknocker.documents import Node
from carknocker.record.host_names import like_names, same_railroad
from carknocker.record.model import Person, Work
from carknocker.record.values import Word
from carknocker.vocabulary import does_of

END_AN_ACCEPTANCE = "end an acceptance"
_TAKEN_TOO = Word("does not count")


class AcceptanceEnded(msgspec.Struct, frozen=True):
    """That a person is accepted no longer, since a day. host: empty for every host. last: the last day on which what he
    signed counts; None where none does."""

    person: str
    host: str
    on: date
    last: date | None

    def ends(self, person: Person, host: str, day: date) -> bool:
        """Whether what the person signed on a day does not count because of this. An acceptance that began after it is
        another one."""
        if self.person != person.name:
            return False
        if self.host and not same_railroad(self.host, host) and not like_names(self.host, (host,)):
            return False
        if person.accepted_from is not None and person.accepted_from > self.on:
            return False
        return self.last is None or day > self.last


class Acceptances:
    """Who is accepted, by what people are said to be and by the events of some work on record."""

    def __init__(self, work: Iterable[Work]) -> None:
        self.ended = frozenset(_ended_by(work))

    def accepts(self, host: str, person: Person, day: date) -> bool:
        """Whether the host accepts what the person signs on that day."""
        ended = any(one.ends(person, host, day) for one in self.ended)
        return not ended and person.is_accepted(host, day)

    def who_does_not(self, signer: Person, by: Person, day: date) -> str:
        """The first host of those that accept what one person signs who does not accept on a day what another does;
        empty where there is none, or where it is the same person."""
        if signer.is_same(by):
            return ""
        return next((host for host in signer.accepted_by if not self.accepts(host, by, day)), "")


def _ended_by(work: Iterable[Work]) -> Iterator[AcceptanceEnded]:
    for entry in work:
        person, by = entry.facts.get("person"), entry.facts.get("host")
        if does_of(entry.name) == END_AN_ACCEPTANCE and isinstance(person, Word):
            last = None if entry.facts.get("signed_before") == _TAKEN_TOO else entry.on
            yield AcceptanceEnded(person.text, by.text if isinstance(by, Word) else "", entry.on, last)


def hosts_named(root: Node, people: Mapping[str, Person]) -> tuple[str, ...]:
    """The hosts that a record names: of people, of moves made, of papers and of written permissions."""
    found = [host for person in people.values() for host in person.accepted_by]
    return tuple(dict.fromkeys((*found, *_hosts_in(root))))


def _hosts_in(root: Node) -> Iterator[str]:
    for section in ("moves_made", "papers", "leaves"):
        listed = root.get(section)
        for entry in () if listed is None or listed.kind != "sequence" else listed.nodes:
            host = entry.get("host") if entry.kind == "mapping" else None
            if host is not None and host.kind == "scalar" and not host.is_empty:
                yield host.text.strip()
