"""What an arrangement makes void and calls for, found by judging the car with the work done."""

from carknocker.judgement.answer import CheckAnswer
from carknocker.questions.arrange.levels import Levels
from carknocker.questions.arrange.model import Arrangement
from carknocker.questions.plan.model import Job
from carknocker.questions.plan.rows import lines_of, row_of
from carknocker.questions.plan.trial import Trials
from carknocker.record.model import CarRecord
from carknocker.vocabulary import work_to
from carknocker.wording.refusals import refusal_name


def after_change(
    check: CheckAnswer, car: CarRecord, levels: Levels, arrangement: Arrangement
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """What has to be read anew, what has to be tested, and what stands in the way even then, in lines."""
    judged = check.judgement
    trials = Trials(car, judged.move, judged.rulebook, max(judged.move.out, check.day))
    fitted = set(levels.now.values())
    jobs = frozenset(
        Job(work_to("move a wheelset" if serial in fitted else "renew a wheelset"), (f"axle position {axle}",), serial)
        for axle, serial in zip(levels.axles, arrangement.serials, strict=True)
        if axle in arrangement.moved
    )
    before = {(one.evidence.part, one.evidence.attribute) for one in trials.trial(frozenset()).assumed}
    trial = trials.trial(jobs)
    rows = [
        row_of(one, trial.judgement)
        for one in trial.assumed
        if (one.evidence.part, one.evidence.attribute) not in before
    ]  # fmt: skip
    tests = tuple(f"{row.label}: {row.attribute.label}" for row in rows if row.attribute.type == "test")
    readings = lines_of(row for row in rows if row.attribute.type not in ("test", "paper"))
    left: dict[str, None] = {}
    for refusal in trial.left:
        name = refusal_name(refusal)
        words = f"{name.label}: {name.title}" if name.label else name.title
        left[words if refusal.finding is None else f"{words} ({refusal.finding.verdict})"] = None
    return readings, tests, tuple(left)
