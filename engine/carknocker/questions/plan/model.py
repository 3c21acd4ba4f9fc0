"""A plan as plain data: steps with their days, trucks to roll out, and what stands in the way even after the work."""

from datetime import date, timedelta
from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Judgement, Outcome
from carknocker.questions.plan.work_days import EVERY_DAY, WorkDays
from carknocker.rulebook.model import Source
from carknocker.vocabulary import Hazard, Stage
from carknocker.whatif.work.model import Job, NotOffered
from carknocker.wording.faults import FaultLine


class Lack(msgspec.Struct, frozen=True):
    """A refusal that no work on offer clears. title: of its rule. fault: what is wrong. of_move: it is about the move
    as stated, not about the car."""

    label: str
    title: str
    fault: FaultLine
    reason: str
    of_move: bool = False


class Step(msgspec.Struct, frozen=True):
    """One step in workable order. number: from 1. after: numbers of the steps that must be finished first.

    first, last: its first and last day. lead: calendar days to wait for a part, from the day of the plan; None where a
    part must be bought and nobody says how long that takes (`waits_on`). earliest: such a part comes first, so that its
    days are the earliest. not_before: a reading or test made before this day would be too old at the end of the move.
    critical: each day longer that it takes delays readiness by a day. job: what is done when the step is; None for a
    step that is no job, or not the last of one. hazards: of the work. A look at parts that are
    not on record takes no time of a shop: `days` is 0. rules: of those that ask for what is read, tested or
    written down.
    """

    number: int
    stage: Stage
    sort: Literal["look", "job", "roll out", "roll back", "reading", "test", "paper", "spare"]
    what: str
    where: str
    why: tuple[str, ...]
    rules: tuple[Source, ...]
    details: tuple[str, ...]
    after: tuple[int, ...]
    first: date
    last: date
    days: int
    lead: int | None
    not_before: date | None
    critical: bool
    cost: Fraction | None = None
    hours: Fraction | None = None
    hazards: tuple[Hazard, ...] = ()
    waits_on: tuple[str, ...] = ()
    earliest: bool = False
    job: Job | None = None


class TruckOut(msgspec.Struct, frozen=True):
    """A truck that rolls out. disconnect: None if the record does not list the connections. due: duties and advice that
    are best met while it is out. look_at: readings that can be taken only while it is out."""

    label: str
    because: tuple[str, ...]
    disconnect: tuple[str, ...] | None
    due: tuple[str, ...]
    look_at: tuple[str, ...]


def leaves_from(ready_on: date, *, nothing_to_do: bool) -> date:
    """The first day on which a car can leave whose last step ends with `ready_on`."""
    return ready_on if nothing_to_do else ready_on + timedelta(days=1)


class Plan(msgspec.Struct, frozen=True):
    """The answer. jobs: the chosen set, roll-outs included. steps: in workable order. ready_on: the day at the end of
    which the last step before departure is done, whether the car is then ready (`car_ready`) or not; the earliest day
    there is where parts must be bought and nobody says when they arrive. The car leaves on the day after it at the
    earliest (`leaves_from`). after_arrival: each of these parts, with the work days from its arrival to the end.
    notice: days that the host wants between request and departure.

    outcome: of the hypothetical car after all the work. lacks: what stands in the way even then. judged: how many
    hypothetical cars were judged. proven: no smaller set clears as much. others: sets that are as good by count and
    price. currency: of the costs, as the file of prices names it.
    """

    check: CheckAnswer
    after: Judgement
    outcome: Outcome
    jobs: tuple[Job, ...]
    steps: tuple[Step, ...]
    trucks_out: tuple[TruckOut, ...]
    lacks: tuple[Lack, ...]
    not_offered: tuple[NotOffered, ...]
    others: tuple[tuple[str, ...], ...]
    provisos: tuple[str, ...]
    ready_on: date
    earliest_departure: date
    notice: int | None
    cost: Fraction | None
    hours: Fraction | None
    unpriced: tuple[str, ...]
    notes: tuple[str, ...]
    judged: int
    proven: bool
    currency: str = ""
    after_arrival: tuple[tuple[str, int], ...] = ()
    work_days: WorkDays = EVERY_DAY

    @property
    def suffices(self) -> bool:
        """Whether the car is ready after the work."""
        return not self.lacks

    @property
    def only_not_shown(self) -> bool:
        """Whether nothing is known against the car, no work is planned, and what is lacking is not shown."""
        findings = [one.finding for one in self.after.refusals]
        return not self.jobs and all(one is not None and one.verdict == "not shown" for one in findings)

    @property
    def car_ready(self) -> bool:
        """Whether the car itself is ready after the work: nothing but the move as stated may still be in the way."""
        return all(one.of_move for one in self.lacks)

    @property
    def car_ready_on(self) -> date | None:
        """The day on which the car itself is ready; None if it never is, or nobody says when parts arrive."""
        return self.ready_on if self.car_ready and self.dated else None

    @property
    def car_departs_on(self) -> date | None:
        """The earliest day on which the car can depart; None if it is never ready, or nobody says when parts arrive."""
        return self.earliest_departure if self.car_ready and self.dated else None

    @property
    def done_on(self) -> date | None:
        """The day of the last step before departure; None where nobody says when parts arrive."""
        return self.ready_on if self.dated else None

    @property
    def dated(self) -> bool:
        """Whether the plan has a day: no part has to be bought of which nobody says when it arrives."""
        return not self.after_arrival

    @property
    def leaves_from(self) -> date:
        """The first day on which the car can leave by the work alone: steps take whole days, so the day after the last
        of them; the day of the plan where there is nothing to do."""
        return leaves_from(self.ready_on, nothing_to_do=not self.steps)

    @property
    def too_late(self) -> bool:
        """Whether it can't be done by the end of the day of departure, even if all parts were there today."""
        return self.ready_on > self.check.judgement.move.out

    @property
    def ends_on_departure(self) -> bool:
        """Whether the last step falls on the very day of departure: in time only if it is done before the car
        leaves."""
        return not self.too_late and self.leaves_from > self.check.judgement.move.out

    @property
    def in_time(self) -> bool:
        """Whether it is known to be done before the day of departure."""
        return self.dated and self.leaves_from <= self.check.judgement.move.out
