"""`plan`: the smallest set of work that makes the car ready, in workable order, and the day on which it can be
ready."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from carknocker.dossier.missing import missing_now, readings_now
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.explanation import explain
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Finding, Judgement, Refusal
from carknocker.judgement.permissions import Permission, Permissions
from carknocker.questions.plan.model import Lack, Plan, leaves_from
from carknocker.questions.plan.schedule import as_scheduled, departure, early_readings
from carknocker.questions.plan.steps import StepMaker, waits_for_log
from carknocker.questions.plan.trucks_out import trucks_out
from carknocker.questions.plan.work_days import EVERY_DAY, WorkDays
from carknocker.rulebook.clauses import AttributePath, ByTable, FromPart
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import MOVE_KINDS, NOTICE_DAYS
from carknocker.whatif.work.least_work import LeastWork, least_work
from carknocker.whatif.work.model import Job, NotOffered, Trial
from carknocker.whatif.work.offers import with_roll_outs
from carknocker.whatif.work.parts_put_on_record import PutOnRecord
from carknocker.whatif.work.prices import Prices
from carknocker.whatif.work.trial import SmallestSet, Trials
from carknocker.wording.faults import FaultLine, fault_of, faults_of
from carknocker.wording.limits import path_words
from carknocker.wording.refusals import against_words, label_of_refusal, permission_words
from carknocker.wording.verdicts import reason_words, required_words


def job_words(job: Job, trials: Trials) -> str:
    """A job and the part it is done on."""
    labels = ", ".join(trials.start.parts[key].label for key in job.at if key in trials.start.parts)
    return f"{job.work} at {labels}" + (f" ({job.serial})" if job.serial else "")


def cleared_by(trial: Trial, base: Trial, trials: Trials) -> dict[Job, tuple[str, ...]]:
    """For each job, the faults that it clears of all that stood in the way before any work."""
    found: dict[Job, list[Refusal]] = {}
    index = JudgementIndex(base.judgement)
    for refusal in base.left:
        if refusal.finding is None:
            continue
        finding = refusal.finding
        for job in trials.answering(finding) & trial.jobs:
            found.setdefault(job, []).append(refusal)
    return {job: tuple(one.text for one in faults_of(refusals, index)) for job, refusals in found.items()}


def lack_of(refusal: Refusal, judgement: Judgement, first_departure: date) -> Lack:
    """What stands in the way even after the plan, and why no work on offer clears it."""
    label, fault = label_of_refusal(refusal), fault_of((refusal,), JudgementIndex(judgement))
    if refusal.finding is not None:
        finding = refusal.finding
        title = f"{finding.criterion.title} ({finding.verdict})"
        if finding.verdict == "not shown":  # the reason says what is not on record
            fault = FaultLine(label, title)
        return Lack(label, title, fault, _reason(finding, judgement, first_departure), of_the_move(finding))
    if refusal.duty is not None:
        duty = refusal.duty
        unseen = "the program can't see it done: settle it with the host"
        return Lack(label, duty.consequence.title, fault, unseen if duty.requirement.words else duty.note)
    title = "" if refusal.against is None else against_words(refusal.against)
    return Lack("the move", title, fault, "it is cleared by changing the move", True)


def with_permission(lack: Lack, permission: Permission | None) -> Lack:
    """What is lacking, with the host's written permission where the rules let him give one."""
    return lack if permission is None else replace(lack, reason=f"{lack.reason}; or: {permission_words(permission)}")


def permitted_note(judgement: Judgement) -> str:
    """What the host could let pass in writing as it now is, of what is known to be wrong; empty where nothing."""
    allowed = Permissions(judgement)
    known = [one for one in judgement.refusals if one.finding is None or one.finding.verdict != "not shown"]
    may = [one for one in known if (found := allowed.of(one)) is not None and found.purpose == "move"]
    faults = faults_of(may, JudgementIndex(judgement))
    named = "; ".join(f"({number}) {one.text}" for number, one in enumerate(faults, start=1))
    return f"With the host's written permission these could stay as they are: {named}." if named else ""


def of_the_move(finding: Finding) -> bool:
    """Whether a finding is about the move as stated, not about the car."""
    return finding.part.kind in MOVE_KINDS


def _reason(finding: Finding, judgement: Judgement, first_departure: date) -> str:
    if any(one.path.attribute.name == NOTICE_DAYS for one in comparisons_in(finding.criterion.must)):
        return f"with the notice that the host wants the car can depart from {first_departure.isoformat()} on"
    if finding.verdict == "not shown":
        unknown = unknown_words(finding, judgement)
        if unknown:
            return f"not on record: {unknown}"
        explained = explain(judgement, finding)
        return reason_words(explained.reasons) or required_words(explained.required)
    if of_the_move(finding):
        return "it is cleared by planning the move otherwise"
    if not finding.criterion.remedies:
        return "no work is known that clears it"
    works = ", ".join(dict.fromkeys(one.work for one in finding.criterion.remedies))
    return f"of its remedies none suffices here ({works})"


def unknown_words(finding: Finding, judgement: Judgement) -> str:
    """The values that a criterion looks at and that are not on record, in words; limits given by other parts count
    too, and for a limit of miles the log that they are counted from."""
    situation, key, criterion = judgement.situation, finding.part.key, finding.criterion
    paths: dict[AttributePath, None] = {}
    for clause in (criterion.when, criterion.unless, criterion.must):
        for comparison in comparisons_in(clause):
            paths[comparison.path] = None
            if isinstance(comparison.limit, (FromPart, ByTable)):
                paths[comparison.limit.path] = None
    words: list[str] = []
    for path in paths:
        owner = situation.owner(key, path.owner) if path.owner else key
        if owner is None or path.attribute.derived or path.attribute.name not in _attributes_of(owner, judgement):
            continue
        if situation.values_of(owner).get(path.attribute.name) is None:
            words.append(path_words(path))
    if waits_for_log(finding, judgement):
        words.append("since when the log of moves is complete (`log:`)")
    return "; ".join(words)


def _attributes_of(part: str, judgement: Judgement) -> Mapping[str, object]:
    """The attributes of a part's kind. A clause about parts inside a part looks at attributes of another kind."""
    return load_vocabulary().kinds[judgement.parts[part].kind].attributes


def _taken_as_good(judgement: Judgement) -> str:
    """What a plan assumes of what nobody has shown, with the count that `check` and the worksheet give."""
    missing = missing_now(JudgementIndex(judgement))
    if missing is None or not missing.numbers:
        return "The readings, tests and papers that this work calls for are taken to turn out good."
    return (
        f"What is not shown now ({missing.numbers}) is taken to turn out good, and so is what is asked for once that "
        "is known or the work is done."
    )


def notes_of(
    check: CheckAnswer, prices: Prices, trial: Trial, after: Judgement, found: SmallestSet,
    put: tuple[PutOnRecord, ...],
) -> tuple[str, ...]:  # fmt: skip
    notes: list[str] = []
    if put:
        notes.append(
            "Parts that are not on record are taken to be there and good: look first, before anything is ordered."
        )
    if trial.assumed:
        notes.append(f"{_taken_as_good(check.judgement)} One that does not makes another plan.")
    permitted = permitted_note(check.judgement)
    if permitted:
        notes.append(permitted)
    if not prices.file and trial.jobs:
        notes.append("No prices were given: the number of jobs alone decided, then wheelsets on record before bought.")
    if not found.complete:
        notes.append("Every set of the work on offer leaves something in the way; this is the one that leaves least.")
    elif not found.proven:
        notes.append(f"The search ended after {found.tried:,} sets of work: a smaller set may exist.")
    names = {one.identity for one in trial.left}
    late = [one for one in after.refusals if one.identity not in names]
    if late:
        notes.append(
            "On the days of this plan more keeps the car from moving than if all were done on the day of departure."
        )
    if check.other is not None:
        other = judge(after.car, after.move, check.other.rulebook, after.as_of)
        editions = ", ".join(f"{one.ruleset} {one.name}" for one in check.other.rulebook.editions)
        notes.append(f"Under the other rulebook ({editions}) the car would then be {other.outcome}.")
    return tuple(notes)


_LATE = (
    "Number of jobs and price chose this set, not the day: another of the sets that `why` lists may be done sooner, "
    "such as one without a part to wait for."
)


def plan(check: CheckAnswer, prices: Prices | None = None, work_days: WorkDays = EVERY_DAY) -> Plan:
    """The plan for a car that was judged, of the least work (`least_work`).

    Raises CannotJudge if a hypothetical car can't be judged.
    """
    priced = prices or Prices()
    return _answer(check, priced, least_work(check, priced), work_days)


def _answer(check: CheckAnswer, prices: Prices, least: LeastWork, work_days: WorkDays) -> Plan:
    trials, found, put, trial = least.trials, least.found, least.put, least.trial
    base: Trial = trials.tried(frozenset()).result
    clears = cleared_by(trial, base, trials)
    early = early_readings(trial, base, trials)
    not_shown = readings_now(JudgementIndex(check.judgement))
    maker = StepMaker(trial, trials.start, prices, check.day, clears, early, put, work_days, not_shown)
    steps = maker.steps()
    ready_on = max((step.last for step in steps), default=check.day)
    after = as_scheduled(check, trial, trials, steps, early) if ready_on <= check.judgement.move.out else None
    outcome = after or trial.judgement
    first_day = leaves_from(ready_on, nothing_to_do=not steps)
    notice, first_departure = departure(check, first_day)
    allowed = Permissions(outcome)
    lacks = tuple(with_permission(lack_of(one, outcome, first_departure), allowed.of(one)) for one in outcome.refusals)
    cost, hours = _sum(step.cost for step in steps), _sum(step.hours for step in steps)
    notes = notes_of(check, prices, trial, outcome, found, put)
    if prices.file and trial.jobs and first_day > check.judgement.move.out:
        notes = (*notes, _LATE)
    chosen = tuple(sorted(trial.jobs))
    return Plan(
        check, outcome, outcome.outcome, chosen, steps, trucks_out(trials.start, chosen), lacks,
        tuple(one for one in trials.not_offered if isinstance(one, NotOffered)),
        tuple(tuple(job_words(job, trials) for job in sorted(with_roll_outs(jobs, trials.standing) - trial.jobs))
              for jobs in found.others),
        tuple(trials.provisos[job] for job in chosen if job in trials.provisos),
        ready_on, first_departure, notice, cost, hours, tuple(maker.costs.unpriced) if prices.file else (), notes,
        trials.judged, found.proven and found.complete, prices.currency, maker.days_after_arrival(), work_days,
    )  # fmt: skip


def _sum(amounts: Any) -> Fraction | None:
    known = [one for one in amounts if one is not None]
    return sum(known, Fraction(0)) if known else None
