"""A judgement: findings, firings and the outcome for one car, one move, one rulebook, one day."""

from collections.abc import Mapping
from datetime import date
from typing import Literal

import msgspec

from carknocker.judgement.doubts import StandingDoubt
from carknocker.judgement.facts import DutyFact, Fact, FindingFact
from carknocker.judgement.refused_tests import RefusedTest
from carknocker.judgement.situation import Situation
from carknocker.quantities import Quantity
from carknocker.record.model import CarRecord, Evidence, Leave, Move, Part, Spare, Work
from carknocker.rulebook.model import Consequence, Criterion, Relieves, Requires, Restriction, Rulebook, Verdict

Outcome = Literal["ready", "ready with restrictions", "repair move only", "not ready"]
UNMET: frozenset[str] = frozenset({"breached", "not shown", "void", "lapses"})


class Finding(msgspec.Struct, gc=False):
    """One criterion applied to one part. Holds references; figures, margins and words are worked out when shown.
    Nothing that it holds leads back to it: so the collector of cycles, which slows the making of many, is not needed.

    evidence: what decided it (valid, or for `void` the void one); None if there is none.
    lapses_on: last day on which it is met, for what is met on departure and not on the last day.
    unmet: its criterion's effect applies, unless relieved.
    relieved: its effect is cancelled for this move.
    oldest: of what is renewed on the way, the day of the oldest reading that it rests on, where it rests on several.
    as_said: it is so by what is on record as it stands, though some of that counts only against the car: a doubtful
    reading, one of an overdue gauge. doubts: those about readings at which it looked.
    """

    criterion: Criterion
    part: Part
    verdict: Verdict
    evidence: Evidence | None
    lapses_on: date | None = None
    unmet: bool = False
    relieved: bool = False
    oldest: date | None = None
    as_said: bool = False
    doubts: tuple[StandingDoubt, ...] = ()

    @property
    def effect(self) -> str:
        """What it costs where it is unmet."""
        return self.criterion.effect

    @property
    def fact(self) -> FindingFact:
        """The fact of the chain that it is."""
        return FindingFact(self.criterion.id, self.part.key)


class Voided(msgspec.Struct, frozen=True):
    """Evidence made void (stage 1), by which work or event under which consequence."""

    evidence: Evidence
    work: Work
    consequence: Consequence


class Firing(msgspec.Struct, frozen=True):
    """One consequence fired: its cause (a fact), which of its yields, and what followed."""

    stage: Literal["voids", "relieves", "chain"]
    consequence: Consequence
    yield_number: int
    cause: Fact
    followed: tuple[Fact, ...]


class Duty(msgspec.Struct, frozen=True):
    """Something required on a part since a day. state: `done`, `on the way`, or `open`. fact: the fact of the chain
    that it is; no other duty of the judgement has the same."""

    fact: DutyFact
    consequence: Consequence
    requirement: Requires
    part: Part
    since: date | None
    state: Literal["done", "on the way", "open"]
    note: str  # what answered it, or what is short
    cause: Fact
    answered_by: Evidence | Spare | None = None


class Relief(msgspec.Struct, frozen=True):
    """The effect of a finding cancelled (`finding`), or a consequence stopped for a cause on `part` (`stopped`)."""

    consequence: Consequence
    relieves: Relieves
    cause: Fact
    criterion: str
    part: str
    stopped: str
    leave: Leave | None


class FoundLater(msgspec.Struct, frozen=True):
    """A fault that a permission names and does not cover, since it was found on a day after the signature."""

    leave: Leave
    criterion: str
    part: str
    on: date


class RestrictionInForce(msgspec.Struct, frozen=True):
    restriction: Restriction
    reasons: tuple[Fact, ...]  # a finding, a leave, or the cause of a consequence
    said_by: str  # id of the criterion or consequence


class AgainstMove(msgspec.Struct, frozen=True):
    """What the move as planned states against what is restricted. stated: the speed, the place in the train, where it
    goes (empty: it does not say) or who rides; empty where no place satisfies all that restricts it. allowed: the
    highest speed, the places, the destinations, or who may ride."""

    sort: Literal["speed", "place", "destination", "riders"]
    stated: Quantity | str
    allowed: Quantity | tuple[str, ...]


RefusalIdentity = Fact | AgainstMove


class Refusal(msgspec.Struct, frozen=True):
    """One item that keeps the car from moving. Exactly one of finding, duty, against is set."""

    finding: Finding | None = None
    duty: Duty | None = None
    against: AgainstMove | None = None
    reasons: tuple[RestrictionInForce, ...] = ()
    repair: tuple[Relief, ...] = ()  # reliefs `for: repair` that cover it
    stops: tuple[str, ...] = ()  # keys of unfit parts it leads to, nearest first, the car last

    @property
    def identity(self) -> RefusalIdentity:
        """What tells it from any other refusal: the fact of its finding or duty, or what is against the move."""
        if self.finding is not None:
            return self.finding.fact
        if self.duty is not None:
            return self.duty.fact
        if self.against is None:
            raise AssertionError("a refusal of nothing")
        return self.against


class DutyOnTheWay(msgspec.Struct, frozen=True):
    """What the crew or the host must do during the move, and by when."""

    finding: Finding | None
    duty: Duty | None
    by: str
    due: tuple[date, ...]
    routine: bool


class Judgement(msgspec.Struct):
    """Everything that was judged, in one order, so that the same inputs give the same bytes."""

    car: CarRecord
    move: Move
    rulebook: Rulebook
    as_of: date
    outcome: Outcome
    findings: tuple[Finding, ...]
    refusals: tuple[Refusal, ...]
    restrictions: tuple[RestrictionInForce, ...]
    duties: tuple[Duty, ...]
    on_the_way: tuple[DutyOnTheWay, ...]
    voided: tuple[Voided, ...]
    reliefs: tuple[Relief, ...]
    firings: tuple[Firing, ...]
    parts: Mapping[str, Part]
    situation: Situation  # what was believed; for explanations
    notes: tuple[str, ...] = ()
    doubts: tuple[StandingDoubt, ...] = ()
    as_said: Situation | None = None  # with what counts only against the car; None where that is nothing
    refused_tests: tuple[RefusedTest, ...] = ()  # they say `passed`, and failed all the same
    found_later: tuple[FoundLater, ...] = ()

    def situation_of(self, finding: Finding) -> Situation:
        """The situation in which a finding is as it is."""
        return self.as_said if finding.as_said and self.as_said is not None else self.situation

    @property
    def digests(self) -> Mapping[str, str]:
        """What names the content of all that was judged."""
        return {"car": self.car.digest, "move": self.move.digest, "rulebook": self.rulebook.digest}


class CannotJudge(Exception):
    """The proof of the chain failed, or a refusal does not reach the car: there is no answer. Says why."""
