"""Workable order and days: which step waits for which, the critical path, and the car judged on those days."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import get_args

import msgspec
from msgspec.structs import replace

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.questions.plan.model import Step
from carknocker.questions.plan.work_days import EVERY_DAY, WorkDays
from carknocker.record.model import Evidence
from carknocker.record.part_keys import serial_of
from carknocker.record.values import Day
from carknocker.vocabulary.model import Stage
from carknocker.vocabulary.program_names import REQUESTED_ON
from carknocker.whatif.hypothetical_car import NOWHERE, with_evidence, with_spare
from carknocker.whatif.notice import notices_of
from carknocker.whatif.work.model import Trial
from carknocker.whatif.work.record_after import after_work
from carknocker.whatif.work.trial import Trials

STAGES = get_args(Stage)
"""Stages in the order in which a shop can work: lift, roll-out, wheels, and so on; tests last."""
ROLL_OUT: Stage = "lift and roll out"
FREE: frozenset[Stage] = frozenset({"read first", "papers", "spares aboard"})
"""Stages that wait for no other, and that no other waits for."""


class Draft(msgspec.Struct, frozen=True):
    """A step without its days. truck: key of its truck, empty for the whole car. ready_from: the first day on which it
    can begin: a part has arrived, evidence will not be too old. waits_on: parts to be bought of which nobody says when
    they arrive."""

    name: str
    stage: Stage
    truck: str
    days: int
    ready_from: date
    waits_on: tuple[str, ...] = ()


class DatedStep(msgspec.Struct, frozen=True):
    """A step with its days. after: the steps it waits for directly. earliest: its days are the earliest, since a part
    must arrive first and nobody says when."""

    after: tuple[int, ...]
    first: date
    last: date
    critical: bool
    earliest: bool = False


def waits_for(drafts: Sequence[Draft]) -> tuple[tuple[int, ...], ...]:
    """For each step the earlier ones that it waits for: of an earlier stage, and in the same truck or about the whole
    car."""
    rank = {stage: number for number, stage in enumerate(STAGES)}
    closed: list[frozenset[int]] = []
    direct: list[tuple[int, ...]] = []
    for step in drafts:
        before = [
            number
            for number, other in enumerate(drafts[: len(closed)])
            if step.stage not in FREE
            and other.stage not in FREE
            and rank[other.stage] < rank[step.stage]
            and (not step.truck or not other.truck or step.truck == other.truck)
        ]
        implied = {one for number in before for one in closed[number]}
        direct.append(tuple(number for number in before if number not in implied))
        closed.append(frozenset(before) | implied)
    return tuple(direct)


def days_of_steps(drafts: Sequence[Draft], start: date, work_days: WorkDays = EVERY_DAY) -> tuple[DatedStep, ...]:
    """Each step with its days, as early as possible, with crews in parallel for all steps that can be done at once.
    Only a truck rolls out as late as possible. A part of which nobody says when it arrives is taken to be there.
    drafts: in the order of their stages. start: the first day on which work may begin."""
    dated = _dated(drafts, start, work_days)
    if not any(one.waits_on for one in drafts):
        return dated
    later = _dated(_arriving_late(drafts, start), start, work_days)
    return tuple(replace(one, earliest=other.first != one.first) for one, other in zip(dated, later, strict=True))


def days_after_arrival(
    drafts: Sequence[Draft], start: date, work_days: WorkDays = EVERY_DAY
) -> tuple[tuple[str, int], ...]:
    """(part, work days from its arrival to the end, that of the arrival counted), for each part of which nobody says
    when it arrives, and which arrives after all else can be done."""
    found: list[tuple[str, int]] = []
    for part in dict.fromkeys(part for one in drafts for part in one.waits_on):
        late = _arriving_late(drafts, start, part)
        arrival = work_days.from_(max(one.ready_from for one in late))
        last = max(one.last for one in _dated(late, start, work_days))
        found.append((part, work_days.number(arrival, last)))
    return tuple(found)


def _arriving_late(drafts: Sequence[Draft], start: date, part: str = "") -> list[Draft]:
    """The steps as if a part (without a name: each of them) arrived on a day by which all else is done long since."""
    begin = max([start, *(one.ready_from for one in drafts)])
    late = begin + timedelta(days=7 * sum(max(one.days, 1) for one in drafts))
    return [replace(one, ready_from=late) if one.waits_on and (not part or part in one.waits_on) else one
            for one in drafts]  # fmt: skip


def _dated(drafts: Sequence[Draft], start: date, work_days: WorkDays) -> tuple[DatedStep, ...]:
    after = waits_for(drafts)
    first: list[date] = []
    last: list[date] = []
    for step, before in zip(drafts, after, strict=True):
        begin = max([start, step.ready_from, *(last[number] + timedelta(days=1) for number in before)])
        first.append(work_days.from_(begin))
        last.append(work_days.last_of(first[-1], step.days))
    for number, step in enumerate(drafts):
        if step.stage == ROLL_OUT:  # the body should not stand on trestles longer than the work needs
            _just_before(number, drafts, after, first, last, work_days)
    end = max(last, default=start)
    latest = [end] * len(drafts)
    for number in range(len(drafts) - 1, -1, -1):
        must_end = work_days.before(work_days.first_of(latest[number], drafts[number].days))
        for earlier in after[number]:
            latest[earlier] = min(latest[earlier], must_end)
    return tuple(
        DatedStep(after[number], first[number], last[number], last[number] == latest[number])
        for number in range(len(drafts))
    )


def _just_before(
    number: int, drafts: Sequence[Draft], after: Sequence[tuple[int, ...]], first: list[date], last: list[date],
    work_days: WorkDays,
) -> None:  # fmt: skip
    """Moves a step to the work days just before the first step that waits for it."""
    waiting = [first[one] for one in range(len(drafts)) if number in after[one]]
    if waiting:
        last[number] = work_days.before(min(waiting))
        first[number] = work_days.first_of(last[number], drafts[number].days)


def in_stages(drafts: Mapping[str, Draft]) -> list[Draft]:
    """The steps in the order of their stages; within a stage, by truck (B first) and by name."""
    rank = {stage: number for number, stage in enumerate(STAGES)}
    return sorted(drafts.values(), key=lambda one: (rank[one.stage], one.truck != "truck B", one.truck, one.name))


def early_readings(trial: Trial, base: Trial, trials: Trials) -> frozenset[tuple[str, str]]:
    """The (part, attribute) pairs that can be read before the work: they are wanted with or without it, or belong to a
    wheelset at hand that will be fitted, and no work of the plan makes them void."""
    wanted = {(one.evidence.part, one.evidence.attribute): one.evidence for one in base.assumed}
    goes_on = {job.serial for job in trial.jobs if job.serial and not job.bought}
    both = [
        replace(wanted.get(key, one.evidence), after=frozenset(), facts=dict(one.evidence.facts))
        for one in trial.assumed
        if one.evidence.sort == "reading"
        and ((key := (one.evidence.part, one.evidence.attribute)) in wanted or serial_of(one.evidence.part) in goes_on)
    ]
    if not trial.jobs or not both:
        return frozenset((one.part, one.attribute) for one in both)
    tested = trials.judged_with(with_evidence(trial.worked, both))
    void = {one.evidence.id for one in tested.voided}
    return frozenset((one.part, one.attribute) for one in both if one.id not in void)


def as_scheduled(
    check: CheckAnswer, trial: Trial, trials: Trials, steps: tuple[Step, ...], early: frozenset[tuple[str, str]]
) -> Judgement:
    """The car judged again with everything on the days of the plan: work on the last day of work, readings and tests on
    the day on which the last of their kind is made."""
    work_days = [step.last for step in steps if step.sort in ("job", "roll out", "roll back")]
    worked_on = max(work_days, default=check.day)
    shown_on = max((step.last for step in steps if step.stage not in FREE), default=check.day)
    first_on = max((step.last for step in steps if step.stage in FREE), default=check.day)
    worked, readings = after_work(trials.car, trials.start, trial.jobs, worked_on)
    after = frozenset(one.id for one in worked.work if one.where == NOWHERE)
    dated = [
        _on_day(one.evidence, first_on, frozenset(), trials.day)
        if (one.evidence.part, one.evidence.attribute) in early
        else _on_day(one.evidence, max(shown_on, worked_on), after, trials.day)
        for one in trial.assumed
    ]
    beside = [_on_day(one, max(shown_on, worked_on), after, trials.day) for one in trial.beside]
    car = with_evidence(worked, [*readings, *trials.described(trial.jobs, worked_on), *dated, *beside])
    for spare in trial.spares:
        car = with_spare(car, spare)
    last = max(worked_on, shown_on, first_on)
    return judge(car, check.judgement.move, check.judgement.rulebook, last)


def _on_day(evidence: Evidence, day: date, after: frozenset[str], before: date) -> Evidence:
    """Assumed evidence moved to another day. If its value is that day, the value moves too."""
    value = evidence.value
    if value == Day(before, before, before.isoformat()):
        value = Day(day, day, day.isoformat())
    return replace(evidence, on=day, after=after, value=value)


def departure(check: CheckAnswer, leaves_from: date) -> tuple[int | None, date]:
    """The days of notice that the rulebook asks for, and the first day on which the car could depart. leaves_from: by
    the work alone. A request for another day of departure is sent anew."""
    move = check.judgement.move
    days = max((one.days_from(check.day) for one in notices_of(check.judgement.rulebook)), default=None)
    requested = move.facts.get(REQUESTED_ON)
    asked_on = getattr(requested, "last", None) if leaves_from <= move.out else None
    notice_from = asked_on if isinstance(asked_on, date) else check.day
    return days, max(leaves_from, notice_from + timedelta(days=days or 0))
