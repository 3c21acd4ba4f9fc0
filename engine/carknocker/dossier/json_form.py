"""The whole answer as JSON (`carknocker-dossier/1`); docs/json.md describes every key."""

from collections.abc import Sequence
from datetime import date
from functools import partial
from typing import Any

from carknocker.dossier.evidence import history_of, papers_of, serials_of, sheets_of, signed_tests_of
from carknocker.dossier.first_page import Statement, first_page_of
from carknocker.dossier.heading import regime_of
from carknocker.dossier.photographs import photographs_of
from carknocker.dossier.view import Summary, summary_of, view_of
from carknocker.dossier.worked_lines import worked_lines_of
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.comparisons import comparison_test
from carknocker.judgement.facts import Fact
from carknocker.judgement.figures import SIDES
from carknocker.judgement.finer_gauge import SettlingReading, settling_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import (
    Duty,
    DutyOnTheWay,
    Finding,
    Firing,
    Judgement,
    Refusal,
    Relief,
    RestrictionInForce,
    Voided,
)
from carknocker.judgement.permissions import Permission
from carknocker.judgement.program import made_by
from carknocker.judgement.restrictions import restriction_words
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.page.json_encoder import Rule, Rules, encode, every_field, json_text, keys
from carknocker.record.model import Evidence, Leave, Leg, Move, Spare, Work
from carknocker.rulebook.clauses import Comparison
from carknocker.rulebook.model import CarriesUp, Edition, Relieves, Requires, Restricts, Source, Voids, Yield
from carknocker.wording.doubts import doubt_words
from carknocker.wording.duties import during_the_move, requirement_of_duty
from carknocker.wording.facts import fact_words, remedy_condition
from carknocker.wording.limits import clause_words
from carknocker.wording.refusals import against_words, stopped_by
from carknocker.wording.verdicts import finding_words

FORMAT = "carknocker-dossier/1"
FORMAT_OF_SEVERAL = "carknocker-dossiers/1"


def json_of(answers: Sequence[CheckAnswer]) -> str:
    """One answer as an object; several as an object that lists them. Ends in a line feed."""
    forms = [answer_form(answer) for answer in answers]
    whole = forms[0] if len(forms) == 1 else {"format": FORMAT_OF_SEVERAL, "dossiers": forms, "not_judged": []}
    return json_text(whole)


def answer_form(answer: CheckAnswer) -> dict[str, Any]:
    """One answer as plain data, keys in one fixed order."""
    judgement = answer.judgement
    editions = judgement.rulebook.editions
    index = JudgementIndex(judgement)
    form = {
        "format": FORMAT,
        "outcome": judgement.outcome,
        "outcome_line": view_of(answer, index).outcome_line,
        "complete": answer.complete,
        "not_at_hand": judgement.rulebook.not_at_hand,
        "first_page": first_page_of(index),
        "as_of": answer.day,
        "car": judgement.car,
        "move": judgement.move,
        "regime": regime_of(judgement),
        "rulebook": {"editions": editions, "other": answer.other},
        "notes": tuple(dict.fromkeys(answer.notes)),
        "summary": summary_of(judgement),
        "refusals": judgement.refusals,
        "findings": judgement.findings,
        "consequences": judgement.firings,
        "restrictions": judgement.restrictions,
        "duties": judgement.duties,
        "on_the_way": judgement.on_the_way,
        "during_the_move": encode(during_the_move(judgement), {Source: every_field(Source)}),
        "void_evidence": judgement.voided,
        "reliefs": judgement.reliefs,
        "workings": worked_lines_of(index),
        "serials": serials_of(index),
        "history": history_of(index),
        "tests": signed_tests_of(index),
        "papers": papers_of(index),
        "sheets": sheets_of(index),
        "photographs": photographs_of(index),
        "digests": {
            **judgement.digests,
            "editions": {f"{edition.ruleset} {edition.name}": edition.digest for edition in editions},
        },
        "made_by": made_by(),
    }
    plain: dict[str, Any] = encode(form, _rules(index))
    return plain


_RULES: Rules = {
    Move: keys("host", "train", "out", "back", "rides", "legs", "file"),
    Leg: keys("from=start", "to=end", "miles=miles.amount"),
    Judgement: keys("outcome", "editions=rulebook.edition_names", "digest=rulebook.digest"),
    SettlingReading: keys(
        "part=evidence.part", "attribute=evidence.attribute", "reads_to", "needed", "gauge=gauge.name"
    ),
    Statement: keys("sort", "words"),
    Spare: keys("spare=name", "serial?", "at=where"),
    Work: keys("id", "event", "name", "on", "parts=at", "at=where"),
    Voided: keys("evidence", "voided_by=work", "consequence=consequence.id", "source=consequence.source"),
    Leave: keys("id", "host", "from=first", "until=last", "signed_by", "paper", "at=where"),
    Summary: lambda summary: {
        "criteria": summary.criteria, "judged": summary.judged, "findings": summary.findings,
        "verdicts": dict(summary.verdicts),
    },
}  # fmt: skip


def _rules(index: JudgementIndex) -> Rules:
    """How each type in a judgement is written; some need to look up other parts of the judgement."""
    in_context: dict[type, Rule] = {
        Edition: partial(_edition, day=index.day),
        Finding: partial(_finding, index=index),
        Firing: partial(_firing, index=index),
        Refusal: partial(_refusal, index=index),
        Permission: _permission,
        RestrictionInForce: partial(_restriction, index=index),
        Duty: partial(_duty, index=index),
        DutyOnTheWay: _on_the_way,
        Relief: partial(_relief, index=index),
    }
    return {**_RULES, **in_context}


def _edition(edition: Edition, day: date) -> dict[str, Any]:
    return {
        "ruleset": edition.ruleset,
        "edition": edition.name,
        "title": edition.title,
        "layer": edition.layer,
        "publisher": edition.publisher,
        "in_force": edition.in_force,
        "until": edition.until,
        "checked": edition.checked,
        "days_since_check": (day - edition.checked).days,
        "checked_against": edition.checked_against or None,
        "revision": edition.revision,
        "corrections": edition.corrections,
    }


def _finding(finding: Finding, index: JudgementIndex) -> dict[str, Any]:
    """One criterion on one part, with everything that a page may say of it."""
    criterion = finding.criterion
    explanation = index.explain(finding)
    words = finding_words(explanation)
    settled = settling_of(finding, index.compiled(criterion), index.view(finding))
    return {
        "criterion": criterion.id,
        "edition": criterion.edition,
        "title": criterion.title,
        "part": finding.part,
        "label": finding.part.label,
        "kind": finding.part.kind,
        "fitted": finding.part.fitted,
        "verdict": finding.verdict,
        "effect": finding.effect,
        "unmet": finding.unmet,
        "relieved": finding.relieved,
        "attribute": str(explanation.attributes[0]) if explanation.attributes else None,
        "measured": words.measured,
        "limit": words.required,
        "side": _side(finding, index),
        "margin": words.margin or None,
        "reason": words.reason or None,
        "lapses_on": finding.lapses_on,
        "worked": explanation.worked,
        "settled_by": None if settled is None else settled.readings,
        "doubts": [{"doubt": one.name, "words": doubt_words(one)} for one in finding.doubts],
        "evidence": finding.evidence,
        "source": criterion.source,
        "shown_by": criterion.shown_by,
        "remedies": [
            {
                "work": remedy.work,
                "if": None if remedy.condition is None else clause_words(remedy.condition),
                "can_work": remedy_condition(remedy, finding, index),
                "note": remedy.note or None,
            }
            for remedy in criterion.remedies
        ],
        "relaxed_by": criterion.relaxed_by or None,
    }


def _side(finding: Finding, index: JudgementIndex) -> dict[str, Any] | None:
    """Which side of the limit passes, whether the limit itself passes, and on which side the value is."""
    comparison = _deciding_comparison(finding, index)
    if comparison is None or comparison.word not in SIDES:
        return None
    margin = index.explain(finding).margin
    return {
        "word": comparison.word.replace("_", " "),
        "limit_itself_passes": not SIDES[comparison.word][1],
        "value_is": None if margin is None else margin.side,
    }


def _deciding_comparison(finding: Finding, index: JudgementIndex) -> Comparison | None:
    """The comparison that the measured figure of a finding belongs to; None if the figure has none of its own."""
    paths = index.explain(finding).attributes
    sight = index.view(finding)
    own = [
        leaf.comparison
        for leaf in index.compiled(finding.criterion).leaves
        if paths and leaf.comparison.path == paths[0]
    ]
    wanted = {"breached": (FAILS,), "borderline": (NEAR,)}.get(finding.verdict)
    if wanted is not None:
        own.sort(key=lambda comparison: comparison_test(comparison)(sight) not in wanted)
    return own[0] if own else None


def _fact(fact: Fact, index: JudgementIndex) -> dict[str, Any]:
    return {"fact": fact.name, "words": fact_words(fact, index)}


def _cause(fact: Fact, index: JudgementIndex) -> dict[str, Any]:
    return {**_fact(fact, index), "part": fact.part or None, "since": fact.since}


def _firing(firing: Firing, index: JudgementIndex) -> dict[str, Any]:
    """One consequence that fired: the fact that fired it, and the facts that follow from it."""
    consequence = firing.consequence
    return {
        "consequence": consequence.id,
        "edition": consequence.edition,
        "title": consequence.title,
        "stage": firing.stage,
        "yield": _yield_word(consequence.yields[firing.yield_number]) if consequence.yields else None,
        "cause": _cause(firing.cause, index),
        "followed": [_fact(fact, index) for fact in firing.followed],
        "source": consequence.source,
    }


def _yield_word(produced: Yield) -> str:
    match produced:
        case Voids():
            return "voids"
        case CarriesUp():
            return "carries up"
        case Requires():
            return "requires"
        case Restricts():
            return "restricts"
        case Relieves():
            return "relieves"


def _about(finding: Finding | None, duty: Duty | None) -> dict[str, Any]:
    """The ids of the finding or the duty that a refusal, or a duty on the way, is about: at most one of the two is not
    null."""
    return {
        "finding": None if finding is None else {"criterion": finding.criterion.id, "part": finding.part},
        "duty": None if duty is None else {"consequence": duty.consequence.id, "part": duty.part},
    }


def _permission(permission: Permission) -> dict[str, Any]:
    return {"by": permission.rule.id, "for": permission.purpose}


def _refusal(refusal: Refusal, index: JudgementIndex) -> dict[str, Any]:
    """One item that keeps the car from moving. Exactly one of finding, duty and against is not null."""
    return {
        **_about(refusal.finding, refusal.duty),
        "against": None if refusal.against is None else against_words(refusal.against),
        "stops": stopped_by(refusal, index),
        "reasons": refusal.reasons,
        "relieved_for_repair_by": [relief.consequence.id for relief in refusal.repair],
        "permission": index.permissions.of(refusal),
    }


def _restriction(one: RestrictionInForce, index: JudgementIndex) -> dict[str, Any]:
    """A restriction, the rule that says it, and the facts that it rests on."""
    said_by = index.criteria.get(one.said_by) or index.consequences.get(one.said_by)
    return {
        "sort": one.restriction.sort,
        "words": restriction_words(one.restriction),
        "said_by": one.said_by,
        "reasons": [_fact(fact, index) for fact in one.reasons],
        "source": None if said_by is None else said_by.source,
    }


def _duty(duty: Duty, index: JudgementIndex) -> dict[str, Any]:
    """Something that a consequence requires, and whether it is done."""
    requires, answer = duty.requirement, duty.answered_by
    return {
        "consequence": duty.consequence.id,
        "title": duty.consequence.title,
        "part": duty.part,
        "label": duty.part.label,
        "requires": requirement_of_duty(requires, duty.part.label, duty.since),
        "test": requires.test or None,
        "spare": requires.spare or None,
        "when": requires.when,
        "effect": requires.effect,
        "routine": requires.routine,
        "since": duty.since,
        "state": duty.state,
        "note": duty.note,
        "cause": _cause(duty.cause, index),
        "answered_by": None
        if answer is None
        else {
            "evidence": answer if isinstance(answer, Evidence) else None,
            "spare": answer if isinstance(answer, Spare) else None,
        },
        "source": duty.consequence.source,
    }


def _on_the_way(one: DutyOnTheWay) -> dict[str, Any]:
    """What must be done during the move, by whom and by which days. Exactly one of finding and duty is not null."""
    finding, duty = one.finding, one.duty
    return {
        **_about(finding, duty),
        "title": finding.criterion.title if finding is not None else duty.consequence.title if duty is not None else "",
        "by": one.by,
        "due": one.due,
        "routine": one.routine,
    }


def _relief(relief: Relief, index: JudgementIndex) -> dict[str, Any]:
    """An effect that is cancelled (`criterion`) or a consequence that is stopped (`stopped`). Exactly one is not
    null."""
    return {
        "criterion": relief.criterion or None,
        "stopped": relief.stopped or None,
        "part": relief.part,
        "for": relief.relieves.purpose,
        "by": relief.consequence.id,
        "title": relief.consequence.title,
        "cause": _cause(relief.cause, index),
        "leave": relief.leave,
        "source": relief.consequence.source,
    }
