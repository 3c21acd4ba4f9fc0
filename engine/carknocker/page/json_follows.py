"""What follows from findings and work, as JSON data: consequences, refusals, restrictions, duties, reliefs."""

from typing import Any

from carknocker.judgement.facts import Fact
from carknocker.judgement.model import (
    Duty,
    DutyOnTheWay,
    Firing,
    Refusal,
    Relief,
    RestrictionInForce,
    Voided,
)  # fmt: skip
from carknocker.judgement.restrictions import restriction_words
from carknocker.page.context import Context
from carknocker.page.fact_words import fact_words
from carknocker.page.json_findings import evidence_form, part_form, source_form
from carknocker.record.model import Evidence, Spare, Work
from carknocker.rulebook.model import CarriesUp, Relieves, Requires, Restricts, Withdraws, Yield
from carknocker.wording.duties import requirement_of_duty
from carknocker.wording.refusals import against_words
from carknocker.wording.stops import stopped_by


def _fact_form(fact: Fact, context: Context) -> dict[str, Any]:
    return {"fact": list(fact.name), "words": fact_words(fact, context)}


def _cause_form(fact: Fact, context: Context) -> dict[str, Any]:
    since = None if fact.since is None else fact.since.isoformat()
    return {**_fact_form(fact, context), "part": fact.part or None, "since": since}


def consequence_form(firing: Firing, context: Context) -> dict[str, Any]:
    """One consequence that fired: the fact that fired it, and the facts that followed."""
    consequence = firing.consequence
    return {
        "consequence": consequence.id,
        "edition": consequence.edition,
        "title": consequence.title,
        "stage": firing.stage,
        "yield": _yield_word(consequence.yields[firing.yield_number]) if consequence.yields else None,
        "cause": _cause_form(firing.cause, context),
        "followed": [_fact_form(fact, context) for fact in firing.followed],
        "source": source_form(consequence.source),
    }


def _yield_word(produced: Yield) -> str:
    match produced:
        case Withdraws():
            return "withdraws"
        case CarriesUp():
            return "carries up"
        case Requires():
            return "requires"
        case Restricts():
            return "restricts"
        case Relieves():
            return "relieves"


def refusal_form(refusal: Refusal, context: Context) -> dict[str, Any]:
    """One thing that stands against the move: exactly one of finding, duty and against is not null."""
    finding, duty = refusal.finding, refusal.duty
    return {
        "finding": None if finding is None else {"criterion": finding.criterion.id, "part": finding.part.key},
        "duty": None if duty is None else {"consequence": duty.consequence.id, "part": duty.part.key},
        "against": None if refusal.against is None else against_words(refusal.against),
        "stops": list(stopped_by(refusal, context)),
        "reasons": [restriction_form(one, context) for one in refusal.reasons],
        "relieved_for_repair_by": [relief.consequence.id for relief in refusal.repair],
    }


def restriction_form(one: RestrictionInForce, context: Context) -> dict[str, Any]:
    """A restriction, the rule that says it, and the facts that it rests on."""
    said_by = context.criteria.get(one.said_by) or context.consequences.get(one.said_by)
    return {
        "sort": one.restriction.sort,
        "words": restriction_words(one.restriction),
        "said_by": one.said_by,
        "reasons": [_fact_form(fact, context) for fact in one.reasons],
        "source": None if said_by is None else source_form(said_by.source),
    }


def duty_form(duty: Duty, context: Context) -> dict[str, Any]:
    """Something that a consequence requires, and whether it is done."""
    requires = duty.requirement
    return {
        "consequence": duty.consequence.id,
        "title": duty.consequence.title,
        **part_form(duty.part),
        "requires": requirement_of_duty(requires, duty.part.label, duty.since),
        "test": requires.test or None,
        "spare": requires.spare or None,
        "when": requires.when,
        "effect": requires.effect,
        "routine": requires.routine,
        "since": None if duty.since is None else duty.since.isoformat(),
        "state": duty.state,
        "note": duty.note,
        "cause": _cause_form(duty.cause, context),
        "answered_by": _answer_form(duty.answered_by),
        "source": source_form(duty.consequence.source),
    }


def _answer_form(answer: Evidence | Spare | None) -> dict[str, Any] | None:
    if answer is None:
        return None
    if isinstance(answer, Evidence):
        return {"evidence": evidence_form(answer), "spare": None}
    at = f"{answer.where.file}:{answer.where.line}"
    return {"evidence": None, "spare": {"spare": answer.name, "serial": answer.serial or None, "at": at}}


def on_the_way_form(one: DutyOnTheWay, context: Context) -> dict[str, Any]:
    """What is to be done during the move, by whom and by which days: exactly one of finding and duty is not null."""
    finding, duty = one.finding, one.duty
    return {
        "finding": None if finding is None else {"criterion": finding.criterion.id, "part": finding.part.key},
        "duty": None if duty is None else {"consequence": duty.consequence.id, "part": duty.part.key},
        "title": finding.criterion.title if finding is not None else duty.consequence.title if duty is not None else "",
        "by": one.by,
        "due": [day.isoformat() for day in one.due],
        "routine": one.routine,
    }


def void_form(one: Voided, context: Context) -> dict[str, Any]:
    """Evidence that is void, the work or event that made it so, and the rule."""
    return {
        "evidence": evidence_form(one.evidence),
        "voided_by": _work_form(one.work),
        "consequence": one.consequence.id,
        "source": source_form(one.consequence.source),
    }


def _work_form(work: Work) -> dict[str, Any]:
    return {
        "id": work.id,
        "event": work.event,
        "name": work.name,
        "on": work.on.isoformat(),
        "parts": list(work.at),
        "at": f"{work.where.file}:{work.where.line}",
    }


def relief_form(relief: Relief, context: Context) -> dict[str, Any]:
    """An effect cancelled (`criterion`), or a consequence stopped (`stopped`): exactly one is not null."""
    leave = relief.leave
    return {
        "criterion": relief.criterion or None,
        "stopped": relief.stopped or None,
        "part": relief.part,
        "for": relief.relieves.purpose,
        "by": relief.consequence.id,
        "title": relief.consequence.title,
        "cause": _cause_form(relief.cause, context),
        "leave": None
        if leave is None
        else {
            "id": leave.id,
            "host": leave.host,
            "from": leave.first.isoformat(),
            "until": leave.last.isoformat(),
            "signed_by": leave.signed_by,
            "paper": leave.paper,
            "at": f"{leave.where.file}:{leave.where.line}",
        },
        "source": source_form(relief.consequence.source),
    }
