"""What a trial of work takes to be shown."""

import msgspec

from carknocker.judgement.model import Judgement, Refusal
from carknocker.questions.plan.model import Job
from carknocker.record.model import CarRecord, Evidence, Spare


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
