"""Work that has not been done: jobs, what they are offered for, the evidence that a trial of them assumes, and the
trial."""

import msgspec

from carknocker.judgement.model import Judgement, Refusal, RefusalIdentity
from carknocker.record.model import CarRecord, Evidence, Spare
from carknocker.record.values import Value

BOUGHT = "to be bought"


class Job(msgspec.Struct, frozen=True, order=True):
    """One job. at: keys of the parts it is done on. serial: of the wheelset to be fitted, `BOUGHT` for one that is not
    on record; empty for other work."""

    work: str
    at: tuple[str, ...]
    serial: str = ""

    @property
    def bought(self) -> bool:
        """Whether it needs a wheelset that is not on record."""
        return self.serial == BOUGHT

    def clashes_with(self, other: "Job") -> bool:
        """Whether both can't be done: two wheelsets for one axle, or one wheelset for two axles."""
        if not self.serial or not other.serial or self == other:
            return False
        return self.at == other.at or (self.serial == other.serial and not self.bought)


Need = RefusalIdentity | str
"""What keeps the car from moving: the identity of its refusal, or a word if it is no refusal."""


class Offer(msgspec.Struct, frozen=True):
    """A job that can clear a need. proviso: a condition that nothing shows yet, in words; empty if it is known to hold.
    label: the part it would be done for."""

    job: Job
    proviso: str = ""
    label: str = ""

    @property
    def proviso_words(self) -> str:
        """The condition with the work it belongs to; empty if there is none."""
        return f"{self.job.work} at {self.label}: {self.proviso}" if self.proviso else ""


class NotOffered(msgspec.Struct, frozen=True):
    """A remedy or a wheelset that was considered and can't work."""

    label: str
    work: str
    reason: str


class AssumedEvidence(msgspec.Struct, frozen=True):
    """Evidence that a trial assumes. needs: ids of the criteria and consequences that need it."""

    evidence: Evidence
    needs: tuple[str, ...]


class TrialEvidence:
    """The evidence that one trial has assumed so far. after: ids of the work; all of the evidence is taken after it.
    taken_back: what was assumed and is doubtful beside the rest, by part and attribute."""

    def __init__(self, jobs: frozenset[Job], after: frozenset[str]) -> None:
        self.jobs, self.after = jobs, after
        self.assumed: dict[tuple[str, str], AssumedEvidence] = {}
        self.spares: dict[str, Spare] = {}
        self.taken_back: set[tuple[tuple[str, str], Value]] = set()


class Trial(msgspec.Struct, frozen=True):
    """A trial of some jobs. jobs: roll-outs included. worked: the car after the work, before anything is read or
    tested; first: the judgement of that car. judgement: the last one. left: what still refuses. spares: carried in
    addition. beside: evidence that accompanies the assumed one: the tape of a tape size."""

    jobs: frozenset[Job]
    worked: CarRecord
    first: Judgement
    judgement: Judgement
    left: tuple[Refusal, ...]
    assumed: tuple[AssumedEvidence, ...]
    spares: tuple[Spare, ...]
    beside: tuple[Evidence, ...] = ()
