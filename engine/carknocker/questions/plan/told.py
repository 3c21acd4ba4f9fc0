"""What a plan says of itself: what each job clears, what is lacking, what should be known about it."""

from carknocker.judgement.explain import explain
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement, Refusal
from carknocker.questions.check import CheckAnswer
from carknocker.questions.plan.model import Job, Lack
from carknocker.questions.plan.prices import Prices
from carknocker.questions.plan.search import Found
from carknocker.questions.plan.showing import need_of
from carknocker.questions.plan.trial import Trial, Trials


def job_words(job: Job, trials: Trials) -> str:
    """A job and where it stands."""
    labels = ", ".join(trials.start.parts[key].label for key in job.at if key in trials.start.parts)
    return f"{job.work} at {labels}" + (f" ({job.serial})" if job.serial else "")


def cleared_by(trial: Trial, base: Trial, trials: Trials) -> dict[Job, tuple[str, ...]]:
    """What each job clears, in words: of what stood in the way before any work."""
    found: dict[Job, list[str]] = {}
    for refusal in base.left:
        if refusal.finding is None:
            continue
        finding = refusal.finding
        for job in trials.answering(finding) & trial.jobs:
            found.setdefault(job, []).append(f"{finding.part.label}: {finding.criterion.title}")
    return {job: tuple(dict.fromkeys(words)) for job, words in found.items()}


def lack_of(refusal: Refusal, judgement: Judgement) -> Lack:
    """What stands in the way even after the plan, and why no work on offer clears it."""
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
        unseen = "the program can't see it done: settle it with the host"
        return Lack(duty.part.label, duty.consequence.title, unseen if duty.requirement.words else duty.note)
    return Lack("the move", refusal.against, "it is cleared by changing the move")


def notes_of(
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
