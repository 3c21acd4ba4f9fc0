"""The answer to *plan* as JSON (`carknocker-plan/1`); docs/planning.md describes every key."""

from carknocker.page.json_encoder import Rules, answer_json, keys
from carknocker.questions.plan.model import Lack, Plan, Step, TruckOut
from carknocker.questions.plan.work_days import WorkDays
from carknocker.record.model import Move
from carknocker.rulebook.model import Source
from carknocker.whatif.work.model import Job, NotOffered
from carknocker.wording.sources import place_words

FORMAT = "carknocker-plan/1"
_RULES: Rules = {
    Plan: keys(
        "as_of=check.day", "car=check.judgement.car", "move=check.judgement.move", "outcome_now=check.outcome",
        "complete=check.complete",
        "outcome_after=outcome", "suffices", "in_time", "done_on", "ready_on=car_ready_on", "not_before=ready_on",
        "after_arrival[part days]", "work_days", "earliest_departure=car_departs_on", "notice_days=notice",
        "cost", "currency?", "hours",
        "jobs", "steps",
        "trucks_out", "lacks", "others", "not_offered", "provisos", "unpriced", "notes", "judged", "proven",
        "digests=check.judgement.digests",
    ),
    Move: keys("host", "out", "back", "file"),
    Job: keys("work", "at", "wheelset=serial?"),
    Step: keys(
        "number", "stage", "sort", "what", "where?", "why", "rules", "details", "after", "first", "last", "days",
        "lead_days=lead", "not_before", "critical", "waits_on", "earliest", "cost", "hours",
    ),
    TruckOut: keys("truck=label", "because", "disconnect", "due", "look_at"),
    WorkDays: lambda days: None if days.every_day else str(days),
    Source: place_words,
    Lack: keys("part=label", "title", "fault=fault.text", "reason", "of_move"),
    NotOffered: keys("part=label", "work", "reason"),
}  # fmt: skip


def plan_json(plan: Plan) -> str:
    """The whole plan. Ends in a line feed."""
    return answer_json(FORMAT, plan, _RULES)
