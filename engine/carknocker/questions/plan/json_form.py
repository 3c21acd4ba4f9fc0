"""The answer to *plan* as JSON (`carknocker-plan/1`); docs/planning.md describes every key."""

from typing import Any

from carknocker.page.json_text import amount_text, digests_of, json_text
from carknocker.questions.plan.model import Plan, Step

FORMAT = "carknocker-plan/1"


def plan_json(plan: Plan) -> str:
    """The whole plan. Ends in a line feed."""
    judgement = plan.check.judgement
    form = {
        "format": FORMAT,
        "as_of": plan.check.day.isoformat(),
        "car": {"mark": judgement.car.mark, "name": judgement.car.name, "file": judgement.car.file},
        "move": {
            "host": judgement.move.host, "out": judgement.move.out.isoformat(),
            "back": judgement.move.back.isoformat(), "file": judgement.move.file,
        },
        "outcome_now": plan.check.outcome,
        "outcome_after": plan.outcome,
        "suffices": plan.suffices,
        "in_time": plan.in_time,
        "done_on": plan.ready_on.isoformat(),
        "ready_on": plan.ready_on.isoformat() if plan.car_ready else None,
        "earliest_departure": plan.earliest_departure.isoformat() if plan.car_ready else None,
        "notice_days": plan.notice,
        "cost": amount_text(plan.cost),
        "currency": plan.currency or None,
        "hours": amount_text(plan.hours),
        "jobs": [{"work": job.work, "at": list(job.at), "wheelset": job.serial or None} for job in plan.jobs],
        "steps": [_step(step) for step in plan.steps],
        "trucks_out": [
            {
                "truck": one.label, "because": list(one.because),
                "disconnect": None if one.disconnect is None else list(one.disconnect),
                "due": list(one.due), "look_at": list(one.look_at),
            }
            for one in plan.trucks_out
        ],
        "lacks": [
            {"part": one.label, "title": one.title, "reason": one.reason, "of_move": one.of_move}
            for one in plan.lacks
        ],
        "others": [list(words) for words in plan.others],
        "not_offered": [{"part": one.label, "work": one.work, "reason": one.reason} for one in plan.not_offered],
        "provisos": list(plan.provisos),
        "unpriced": list(plan.unpriced),
        "notes": list(plan.notes),
        "judged": plan.judged,
        "proven": plan.proven,
        "digests": digests_of(judgement),
    }  # fmt: skip
    return json_text(form)


def _step(step: Step) -> dict[str, Any]:
    return {
        "number": step.number,
        "stage": step.stage,
        "sort": step.sort,
        "what": step.what,
        "where": step.where or None,
        "why": list(step.why),
        "details": list(step.details),
        "after": list(step.after),
        "first": step.first.isoformat(),
        "last": step.last.isoformat(),
        "days": step.days,
        "lead_days": step.lead,
        "not_before": None if step.not_before is None else step.not_before.isoformat(),
        "critical": step.critical,
        "cost": amount_text(step.cost),
        "hours": amount_text(step.hours),
    }
