"""Work that has not been done: jobs, what they are offered for, and what a trial of them takes to be shown."""

import msgspec

from carknocker.judgement.model import Judgement, Refusal, RefusalIdentity
from carknocker.record.model import CarRecord, Evidence, Spare

BOUGHT = "to be bought"


class Job(msgspec.Struct, frozen=True, order=True):
    """One job. at: keys of the parts it stands on. serial: of the wheelset that goes on, `BOUGHT` for one that the
    record has not got; empty for any other work."""

    work: str
    at: tuple[str, ...]
    serial: str = ""

    @property
    def bought(self) -> bool:
        """Whether it wants a wheelset that is not on record."""
        return self.serial == BOUGHT

    def clashes_with(self, other: "Job") -> bool:
        """Two wheelsets at one axle, or one wheelset at two."""
        if not self.serial or not other.serial or self == other:
            return False
        return self.at == other.at or (self.serial == other.serial and not self.bought)


Need = RefusalIdentity | str
"""What stands in the way, by the identity of its refusal; or a word for what no refusal is about."""


class Offer(msgspec.Struct, frozen=True):
    """A job that can clear a need. proviso: the condition that nothing shows yet, in words; empty where it is known to
    hold. label: the part it would be done for."""

    job: Job
    proviso: str = ""
    label: str = ""

    @property
    def proviso_words(self) -> str:
        """The condition with the work it is about; empty without one."""
        return f"{self.job.work} at {self.label}: {self.proviso}" if self.proviso else ""


class NotOffered(msgspec.Struct, frozen=True):
    """A remedy, or a wheelset, that was looked at and can't work."""

    label: str
    work: str
    reason: str


class Assumed(msgspec.Struct, frozen=True):
    """Evidence that a trial assumes. needs: what wants it (criteria and consequences, by id)."""

    evidence: Evidence
    needs: tuple[str, ...]


class Shown:
    """What one trial has assumed yet. after: the ids of the work, after which it is all shown."""

    def __init__(self, jobs: frozenset[Job], after: frozenset[str]) -> None:
        self.jobs, self.after = jobs, after
        self.assumed: dict[tuple[str, str], Assumed] = {}
        self.spares: dict[str, Spare] = {}


class Trial(msgspec.Struct, frozen=True):
    """jobs: with their roll-outs. worked: the car after the work, nothing read or tested yet; first: its judgement.
    judgement: at the end. left: what still refuses. spares: that ride along besides. beside: what is written down with
    what is assumed: the tape of a size."""

    jobs: frozenset[Job]
    worked: CarRecord
    first: Judgement
    judgement: Judgement
    left: tuple[Refusal, ...]
    assumed: tuple[Assumed, ...]
    spares: tuple[Spare, ...]
    beside: tuple[Evidence, ...] = ()
