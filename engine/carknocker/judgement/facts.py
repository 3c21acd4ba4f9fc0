"""The facts of the chain: one frozen type for each kind of fact.

The fields of a fact are its identity: two facts that say the same are equal, wherever they were made. Nothing that a
fact holds leads back to it, so the collector of cycles has nothing to do with them (`gc=False`).
"""

from collections.abc import Mapping
from datetime import date
from typing import ClassVar, Literal

import msgspec

from carknocker.record.model import Evidence, Leave, Spare, Work
from carknocker.record.values import Value

FactSort = Literal[
    "finding", "work", "event", "state", "test", "leave", "seen", "unfit", "duty", "restricted", "void", "relieved",
    "stopped",
]  # fmt: skip


class Fact(msgspec.Struct, frozen=True, gc=False):
    """What every fact can be asked.

    part: key of the part it is about, "" for none. since: the day since which it holds, None where no day matters.
    """

    sort: ClassVar[FactSort]

    @property
    def part(self) -> str:
        return ""

    @property
    def since(self) -> date | None:
        return None

    @property
    def parts(self) -> frozenset[str]:
        """The keys of the parts that it names."""
        return frozenset((self.part,)) if self.part else frozenset()

    @property
    def name(self) -> tuple[str, ...]:
        """Its sort and its fields as words. Facts are written so in JSON, and are put in order by it."""
        return (self.sort,)


class FindingFact(Fact, frozen=True, gc=False):
    """A finding: what a criterion says of a part."""

    sort: ClassVar[FactSort] = "finding"
    criterion: str
    part: str

    @property
    def name(self) -> tuple[str, ...]:
        return self.sort, self.criterion, self.part


class EntryFact(Fact, frozen=True, gc=False):
    """Work done or an event, by the id of its entry. about: the part it happened to. part: where it is a cause: that
    part, or for an event on a wheelset also the place where the wheelset then was."""

    entry: str
    about: str
    part: str
    since: date

    @property
    def parts(self) -> frozenset[str]:
        return frozenset((self.about, self.part))

    @property
    def name(self) -> tuple[str, ...]:
        if self.part == self.about:
            return self.sort, self.entry, self.about
        return self.sort, self.entry, self.about, "at", self.part


class WorkFact(EntryFact, frozen=True, gc=False):
    """Work done."""

    sort: ClassVar[FactSort] = "work"


class EventFact(EntryFact, frozen=True, gc=False):
    """Something that happened."""

    sort: ClassVar[FactSort] = "event"


class StateFact(Fact, frozen=True, gc=False):
    """The state of a part that one cause of a consequence, by its number, asks for."""

    sort: ClassVar[FactSort] = "state"
    consequence: str
    cause_number: int
    part: str

    @property
    def name(self) -> tuple[str, ...]:
        return self.sort, self.consequence, str(self.cause_number), self.part


class PassedTestFact(Fact, frozen=True, gc=False):
    """A test that is valid and passed, by the id of its evidence."""

    sort: ClassVar[FactSort] = "test"
    evidence: str
    part: str
    since: date | None

    @property
    def name(self) -> tuple[str, ...]:
        return self.sort, self.evidence


class LeaveFact(Fact, frozen=True, gc=False):
    """A host's written permission in writing, by its id, for one part."""

    sort: ClassVar[FactSort] = "leave"
    leave: str
    part: str

    @property
    def name(self) -> tuple[str, ...]:
        return self.sort, self.leave, self.part


class SeenFact(Fact, frozen=True, gc=False):
    """A reading that was once beyond the limit of a criterion, by the id of its evidence, at the place it then had."""

    sort: ClassVar[FactSort] = "seen"
    criterion: str
    evidence: str
    part: str
    since: date | None

    @property
    def name(self) -> tuple[str, ...]:
        return self.sort, self.criterion, self.evidence, self.part


class UnfitFact(Fact, frozen=True, gc=False):
    """A part is unfit."""

    sort: ClassVar[FactSort] = "unfit"
    part: str

    @property
    def name(self) -> tuple[str, ...]:
        return self.sort, self.part


class DutyFact(Fact, frozen=True, gc=False):
    """Something is required on a part.

    A duty is known by the consequence that asks for it and the number of the yield, by what is asked (the test, the
    spare, or the words), by the part, and by the day and the dated entry that began it. It is never known by the whole
    history behind it, so that chains end. Two editions may number their yields differently: so `asks` is part of it.
    """

    sort: ClassVar[FactSort] = "duty"
    consequence: str
    yield_number: int
    asks: str
    part: str
    since: date | None
    entry: str

    @property
    def name(self) -> tuple[str, ...]:
        since = "" if self.since is None else self.since.isoformat()
        return self.sort, self.consequence, str(self.yield_number), self.part, since, self.entry


class RestrictedFact(Fact, frozen=True, gc=False):
    """The car is restricted: in its speed, say, and how. Two restrictions that say the same are one fact."""

    sort: ClassVar[FactSort] = "restricted"
    what: str
    words: str

    @property
    def name(self) -> tuple[str, ...]:
        return self.sort, self.what, self.words


class VoidFact(Fact, frozen=True, gc=False):
    """A piece of evidence is void."""

    sort: ClassVar[FactSort] = "void"
    evidence: str

    @property
    def name(self) -> tuple[str, ...]:
        return self.sort, self.evidence


class RelievedFact(Fact, frozen=True, gc=False):
    """The effect of a criterion on a part is cancelled, for the move or for a repair move."""

    sort: ClassVar[FactSort] = "relieved"
    criterion: str
    part: str
    purpose: str

    @property
    def name(self) -> tuple[str, ...]:
        return self.sort, self.criterion, self.part, self.purpose


class StoppedFact(Fact, frozen=True, gc=False):
    """A consequence does not follow from causes on a part, for the move or for a repair move."""

    sort: ClassVar[FactSort] = "stopped"
    consequence: str
    part: str
    purpose: str

    @property
    def name(self) -> tuple[str, ...]:
        return self.sort, self.consequence, self.part, self.purpose


class DutyState(msgspec.Struct, frozen=True, gc=False):
    """How a duty stands. note: in words, what answered it or what it lacks. answered_by: the evidence or the spare that
    answered it."""

    state: Literal["done", "on the way", "open"]
    note: str
    answered_by: Evidence | Spare | None = None


class ChainFact(msgspec.Struct, frozen=True, gc=False):
    """A fact in the chain, with all that a cause may ask about it.

    subject: what a cause may name: the work, event or test; the criterion; the kind of part that is unfit; what is
    restricted; the consequence behind a duty or a state. kind: of the part it is about. verdict: of a finding; the
    state of a duty. effect: of a finding; empty once the effect is relieved. own_parts_only: what happened to a
    wheelset reaches, by way of the wheelset, only its own parts; what it reaches from the place where it happened is a
    fact of its own. duty: of a duty, its state with what answered it. found_on: of a finding, the day of the reading
    that decided it.
    """

    fact: Fact
    subject: str
    kind: str = ""
    verdict: str = ""
    unmet: bool = False
    effect: str = ""
    work: Work | None = None
    leave: Leave | None = None
    facts: Mapping[str, Value] | None = None
    own_parts_only: bool = False
    duty: DutyState | None = None
    found_on: date | None = None

    @property
    def since(self) -> date | None:
        """The day since which it holds; of a finding, that of its reading."""
        return self.fact.since or self.found_on
