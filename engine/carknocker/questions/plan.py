"""`plan`: the smallest set of work that makes the car ready, in workable order, and the day on which it can be."""

from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.explain import explain
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement, Refusal
from carknocker.questions.as_it_stood import as_it_stood
from carknocker.questions.check import CheckAnswer
from carknocker.questions.hypothetical import NOWHERE, with_evidence, with_spare
from carknocker.questions.plan_jobs import with_roll_outs
from carknocker.questions.plan_model import Job, Lack, Need, NotOffered, Plan, Step
from carknocker.questions.plan_order import FREE
from carknocker.questions.plan_out import trucks_out
from carknocker.questions.plan_prices import Prices
from carknocker.questions.plan_search import Found, smallest
from carknocker.questions.plan_steps import StepMaker
from carknocker.questions.plan_trial import Trial, Trials, need_of
from carknocker.questions.plan_work import after_work
from carknocker.record.model import Evidence
from carknocker.record.values import Day, Interval
from carknocker.rulebook.clauses import Fixed
from carknocker.rulebook.model import Rulebook

MOST_TRIALS = 400
"""Sets of work that are tried at most; a plan found by then is said not to be proven."""


def plan(check: CheckAnswer, prices: Prices | None = None) -> Plan:
    """The plan for a car that was judged. Fewest jobs (a roll-out is one), then none with a condition yet to be shown,
    then cost and hours where prices are given, then fewest wheelsets to be bought.

    Raises CannotJudge if a hypothetical car can't be judged.
    """
    priced = prices or Prices()
    judged = check.judgement
    day = max(judged.move.out, check.day)
    trials = Trials(as_it_stood(judged.car, check.day), judged.move, judged.rulebook, day)
    base = trials.tried(frozenset())
    hopeless = frozenset(need for need, options in base.left if not options)
    found = smallest(lambda jobs: weight(jobs, trials, priced), lambda jobs: trials.tried(jobs, hopeless),
                     most_trials=MOST_TRIALS)  # fmt: skip
    return _answer(check, priced, trials, found, base.result, hopeless)


def weight(jobs: frozenset[Job], trials: Trials, prices: Prices) -> tuple[Any, ...]:
    """What a set of jobs is compared by; its names come last and only order what is otherwise alike."""
    whole = with_roll_outs(jobs, trials.standing)
    cost = hours = Fraction(0)
    unpriced = 0
    for job in whole:
        price = prices.of_work(job.work)
        spares = [prices.spares.get(name) for name in (*price.parts, *(("wheelset",) if job.bought else ()))]
        cost += (price.cost or 0) + sum((one.cost or Fraction(0) for one in spares if one is not None), Fraction(0))
        hours += price.hours or 0
        unpriced += price.cost is None and price.hours is None
    unsure = sum(job in trials.provisos for job in jobs)
    asked = unpriced if prices.file else 0
    return len(whole), unsure, asked, cost, hours, sum(job.bought for job in jobs), tuple(sorted(jobs))


def _answer(
    check: CheckAnswer, prices: Prices, trials: Trials, found: Found, base: Trial, hopeless: frozenset[Need]
) -> Plan:
    trial: Trial = found.best.result
    clears = _clears(trial, base, trials)
    early = _early(trial, base, trials, check)
    maker = StepMaker(trial, trials.start, prices, check.day, clears, early)
    steps = maker.steps()
    ready_on = max((step.last for step in steps), default=check.day)
    after = _as_scheduled(check, trial, trials, steps, early) if ready_on <= check.judgement.move.out else None
    outcome = after or trial.judgement
    notice, departure = _departure(check, ready_on)
    lacks = tuple(_lack(one, outcome) for one in outcome.refusals)
    cost, hours = _sum(step.cost for step in steps), _sum(step.hours for step in steps)
    notes = _notes(check, prices, trial, outcome, found)
    chosen = tuple(sorted(trial.jobs))
    return Plan(
        check, outcome, outcome.outcome, chosen, steps, trucks_out(trials.start, chosen), lacks,
        tuple(one for one in trials.not_offered if isinstance(one, NotOffered)),
        tuple(tuple(_words(job, trials) for job in sorted(with_roll_outs(jobs, trials.standing) - trial.jobs))
              for jobs in found.others),
        tuple(trials.provisos[job] for job in chosen if job in trials.provisos),
        ready_on, departure, notice, cost, hours, tuple(maker.unpriced) if prices.file else (), notes,
        trials.judged, found.proven, len(base.left) - len(hopeless),
    )  # fmt: skip


def _sum(amounts: Any) -> Fraction | None:
    known = [one for one in amounts if one is not None]
    return sum(known, Fraction(0)) if known else None


def _words(job: Job, trials: Trials) -> str:
    labels = ", ".join(trials.start.parts[key].label for key in job.at if key in trials.start.parts)
    return f"{job.work} at {labels}" + (f" ({job.serial})" if job.serial else "")


def _clears(trial: Trial, base: Trial, trials: Trials) -> dict[Job, tuple[str, ...]]:
    """What each job clears, in words: of what stood in the way before any work."""
    found: dict[Job, list[str]] = {}
    for refusal in base.left:
        if refusal.finding is None:
            continue
        finding = refusal.finding
        for job in trials.answering(finding) & trial.jobs:
            found.setdefault(job, []).append(f"{finding.part.label}: {finding.criterion.title}")
    return {job: tuple(dict.fromkeys(words)) for job, words in found.items()}


def _early(trial: Trial, base: Trial, trials: Trials, check: CheckAnswer) -> frozenset[tuple[str, str]]:
    """What can be read before the work: it is wanted without it too, and no work of the plan makes it void."""
    wanted = {(one.evidence.part, one.evidence.attribute): one.evidence for one in base.assumed}
    both = [
        replace(wanted[key], after=frozenset(), facts=dict(one.evidence.facts))
        for one in trial.assumed
        if (key := (one.evidence.part, one.evidence.attribute)) in wanted and one.evidence.sort == "reading"
    ]
    if not trial.jobs or not both:
        return frozenset((one.part, one.attribute) for one in both)
    tested = trials.judged_with(with_evidence(trial.worked, both))
    void = {one.evidence.id for one in tested.voided}
    return frozenset((one.part, one.attribute) for one in both if one.id not in void)


def _as_scheduled(
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
    car = with_evidence(worked, [*readings, *trials.described(trial.jobs, worked_on), *dated])
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


def _departure(check: CheckAnswer, ready_on: date) -> tuple[int | None, date]:
    """The days of notice that the rulebook asks for, and the first day on which the car could depart."""
    move = check.judgement.move
    days = _notice(check.judgement.rulebook, check.day)
    requested = move.facts.get("requested_on")
    asked_on = getattr(requested, "last", None) if ready_on <= move.out else None
    notice_from = asked_on if isinstance(asked_on, date) else check.day
    return days, max(ready_on, notice_from + timedelta(days=days or 0))


def _notice(rulebook: Rulebook, day: date) -> int | None:
    longest: int | None = None
    for criterion in rulebook.criteria:
        for comparison in comparisons_in(criterion.must):
            if comparison.path.attribute.name != "notice_days" or not isinstance(comparison.limit, Fixed):
                continue
            for value in comparison.limit.values:
                if isinstance(value, Interval) and comparison.word in ("at_least", "over"):
                    longest = max(longest or 0, (value.period.after(day) - day).days + (comparison.word == "over"))
    return longest


def _lack(refusal: Refusal, judgement: Judgement) -> Lack:
    if refusal.finding is not None:
        finding = refusal.finding
        title = f"{finding.criterion.title} ({finding.verdict})"
        if finding.part.kind in ("move", "train", "leg"):
            return Lack(finding.part.label, title, "it is cleared by the move file: state it there, or plan otherwise")
        if not finding.criterion.remedies and finding.verdict != "not shown":
            return Lack(finding.part.label, title, "no work is known that clears it")
        if finding.verdict == "not shown":
            return Lack(finding.part.label, title, explain(judgement, finding).reason)
        works = ", ".join(dict.fromkeys(one.work for one in finding.criterion.remedies))
        return Lack(finding.part.label, title, f"of its remedies none suffices here ({works})")
    if refusal.duty is not None:
        duty = refusal.duty
        if duty.requirement.words:
            reason = "the program can't see it done: settle it with the host"
        else:
            reason = duty.note
        return Lack(duty.part.label, duty.consequence.title, reason)
    return Lack("the move", refusal.against, "it is cleared by changing the move")


def _notes(
    check: CheckAnswer, prices: Prices, trial: Trial, after: Judgement, found: Found
) -> tuple[str, ...]:  # fmt: skip
    notes: list[str] = []
    if trial.assumed:
        notes.append(
            f"{len(trial.assumed):,} readings, tests and papers are taken to turn out good. One that does not makes "
            "another plan."
        )
    if not prices.file:
        notes.append("No prices were given: the number of jobs alone decided, then wheelsets on record before bought.")
    if not found.proven:
        notes.append(f"The search ended after {found.tried:,} sets of work: a smaller set may exist.")
    names = {need_of(one) for one in trial.left}
    late = [one for one in after.refusals if need_of(one) not in names]
    if late:
        notes.append("On the days of this plan more stands in the way than if all were done on the day of departure.")
    if check.other is not None:
        other = judge(after.car, after.move, check.other.rulebook, after.as_of)
        editions = ", ".join(f"{one.ruleset} {one.name}" for one in check.other.rulebook.editions)
        notes.append(f"Under the other rulebook ({editions}) the car would then be {other.outcome}.")
    return tuple(notes)


__all__ = ["MOST_TRIALS", "Lack", "Plan", "plan", "weight"]
