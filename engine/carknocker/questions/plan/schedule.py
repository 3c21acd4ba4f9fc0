"""A plan on its days: what can be read before the work, the car judged on the days of the plan, when it can depart."""

from datetime import date, timedelta

from msgspec.structs import replace

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.questions.plan.assumed import Trial
from carknocker.questions.plan.model import Step
from carknocker.questions.plan.order import FREE
from carknocker.questions.plan.trial import Trials
from carknocker.questions.plan.work import after_work
from carknocker.record.model import Evidence
from carknocker.record.part_keys import serial_of
from carknocker.record.values import Day, Interval
from carknocker.rulebook.clauses import Fixed
from carknocker.rulebook.model import Rulebook
from carknocker.vocabulary.program_names import NOTICE_DAYS, REQUESTED_ON
from carknocker.whatif.hypothetical_car import NOWHERE, with_evidence, with_spare


def early_readings(trial: Trial, base: Trial, trials: Trials) -> frozenset[tuple[str, str]]:
    """What can be read before the work: it is wanted without it too, or is of a wheelset at hand that goes on, and no
    work of the plan makes it void."""
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
    """The car judged anew with everything on the days of the plan: work on the last day of work, what is read and
    tested on the day on which the last reading or test of its sort is done."""
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
    """Assumed evidence on another day; where the day itself is what it tells, that day too."""
    value = evidence.value
    if value == Day(before, before, before.isoformat()):
        value = Day(day, day, day.isoformat())
    return replace(evidence, on=day, after=after, value=value)


def departure(check: CheckAnswer, ready_on: date) -> tuple[int | None, date]:
    """The days of notice that the rulebook asks for, and the first day on which the car could depart."""
    move = check.judgement.move
    days = _notice(check.judgement.rulebook, check.day)
    requested = move.facts.get(REQUESTED_ON)
    asked_on = getattr(requested, "last", None) if ready_on <= move.out else None
    notice_from = asked_on if isinstance(asked_on, date) else check.day
    return days, max(ready_on, notice_from + timedelta(days=days or 0))


def _notice(rulebook: Rulebook, day: date) -> int | None:
    longest: int | None = None
    for criterion in rulebook.criteria:
        for comparison in comparisons_in(criterion.must):
            if comparison.path.attribute.name != NOTICE_DAYS or not isinstance(comparison.limit, Fixed):
                continue
            for value in comparison.limit.values:
                if isinstance(value, Interval) and comparison.word in ("at_least", "over"):
                    longest = max(longest or 0, (value.period.after(day) - day).days + (comparison.word == "over"))
    return longest
