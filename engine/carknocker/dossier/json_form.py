"""The answer as JSON (`carknocker-dossier/3`), and its appendix (`carknocker-appendix/2`); docs/json.md describes every
key. Both name a rule by its id and a part by its key, and say once what each is; findings and refusals that are alike
are told once, with their parts."""

from collections.abc import Iterable, Sequence
from datetime import date
from functools import partial
from typing import Any

from carknocker.dossier.car_facts import car_facts_of
from carknocker.dossier.evidence import history_of, papers_of, serials_of, sheets_of, signed_tests_of
from carknocker.dossier.first_page import Statement
from carknocker.dossier.gauges import GaugeOnRecord, gauges_of
from carknocker.dossier.heading import regime_of
from carknocker.dossier.issue_digest import issue_digest
from carknocker.dossier.items import Item, fault_text
from carknocker.dossier.missing import Missing
from carknocker.dossier.move_facts import NoticeAsked, move_facts_of
from carknocker.dossier.papers_wanted import PaperWanted, papers_wanted
from carknocker.dossier.people import PersonOnRecord, people_of
from carknocker.dossier.photographs import photographs_of
from carknocker.dossier.rests_on import SaidNone, rests_on
from carknocker.dossier.spares_on_record import SpareOnRecord, spares_on_record
from carknocker.dossier.view import Summary, View, summary_of, view_of
from carknocker.dossier.wheelsets_by_axle import wheelsets_by_axle
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
from carknocker.page.json_encoder import Rule, Rules, encode, json_text, keys
from carknocker.record.model import Evidence, Leave, Leg, Move, Spare, Work
from carknocker.rulebook.clauses import Comparison
from carknocker.rulebook.model import (
    CarriesUp,
    Consequence,
    Criterion,
    Edition,
    Relieves,
    Requires,
    Restricts,
    Voids,
    Yield,
)
from carknocker.wording.causes import fact_words
from carknocker.wording.doubts import doubt_words
from carknocker.wording.duties import Due, during_the_move, requirement_of_duty
from carknocker.wording.facts import remedy_condition
from carknocker.wording.faults import fault_of_part
from carknocker.wording.last_good_days import LastGoodDay, last_good_days
from carknocker.wording.limits import clause_words
from carknocker.wording.refusals import against_words, stopped_by
from carknocker.wording.verdicts import finding_words

FORMAT = "carknocker-dossier/3"
FORMAT_OF_SEVERAL = "carknocker-dossiers/3"
FORMAT_OF_APPENDIX = "carknocker-appendix/2"
FORMAT_OF_APPENDICES = "carknocker-appendices/2"
_IN_APPENDIX = frozenset(("met", "not applicable"))
"""The verdicts of findings that the answer only counts."""


def json_of(answers: Sequence[CheckAnswer]) -> str:
    """One answer as an object; several as an object that lists them. Ends in a line feed."""
    forms = [answer_form(answer) for answer in answers]
    whole = forms[0] if len(forms) == 1 else {"format": FORMAT_OF_SEVERAL, "dossiers": forms, "not_judged": []}
    return json_text(whole)


def appendix_json_of(answers: Sequence[CheckAnswer], *, everything: bool) -> str:
    """The appendix of one answer as an object; of several as an object that lists them. everything: with what does not
    apply."""
    forms = [appendix_form(answer, everything=everything) for answer in answers]
    return json_text(forms[0] if len(forms) == 1 else {"format": FORMAT_OF_APPENDICES, "appendices": forms})


def answer_form(answer: CheckAnswer) -> dict[str, Any]:
    """One answer as plain data, keys in one fixed order: what a host decides by. What is met is in the appendix."""
    judgement = answer.judgement
    index = JudgementIndex(judgement)
    findings = [one for one in judgement.findings if one.verdict not in _IN_APPENDIX]
    papers, spares, lasting = papers_wanted(index), spares_on_record(index), last_good_days(index)
    view = view_of(answer, index)
    during, move = during_the_move(judgement), move_facts_of(answer, index)
    rules = [
        *(one.criterion.id for one in findings),
        *(one.said_by for one in judgement.restrictions),
        *(one.consequence.id for one in judgement.duties),
        *(one.rule for leg in during.legs for one in leg.duties),
        *(one.rule for one in during.at_any_time),
        *(one.consequence.id for one in judgement.voided),
        *(one.consequence.id for one in judgement.reliefs),
        *(one.criterion or one.stopped for one in judgement.reliefs),
        *(one.criterion for one in papers),
        "" if move.notice is None else move.notice.criterion,
        *(rule for one in spares for rule in one.rules),
        *(rule for one in lasting for rule in one.criteria),
    ]
    form = {
        "format": FORMAT,
        "outcome": judgement.outcome,
        "outcome_line": view.outcome_line,
        "complete": answer.complete,
        "not_at_hand": judgement.rulebook.not_at_hand,
        "first_page": view.first_page,
        "as_of": answer.day,
        "issue": issue_digest(judgement),
        "car": judgement.car,
        "car_facts": car_facts_of(index),
        "move": judgement.move,
        "move_facts": move,
        "regime": regime_of(judgement),
        "rulebook": {"editions": judgement.rulebook.editions, "other": answer.other},
        "notes": tuple(dict.fromkeys(answer.notes)),
        "summary": summary_of(judgement),
        "faults": _faults(view),
        "refusals": _refusals(index),
        "findings": _findings(findings, index),
        "restrictions": judgement.restrictions,
        "duties": judgement.duties,
        "on_the_way": judgement.on_the_way,
        "during_the_move": during,
        "void_evidence": judgement.voided,
        "reliefs": judgement.reliefs,
        "papers_wanted": papers,
        "rests_on": rests_on(index),
        "last_good_days": lasting,
        "tests": signed_tests_of(index),
        "people": people_of(index),
        "gauges": gauges_of(index),
        "spares": spares,
        "wheelsets": wheelsets_by_axle(index),
        "history": history_of(index),
        "papers": papers_of(index),
        "sheets": sheets_of(index),
        "photographs": photographs_of(index),
        "rules": _rules_by_id(rules, index),
        "parts": _parts_by_key(findings, judgement.refusals),
        "digests": _digests(judgement),
        "made_by": made_by(),
    }
    plain: dict[str, Any] = encode(form, _rules(index))
    return plain


def appendix_form(answer: CheckAnswer, *, everything: bool) -> dict[str, Any]:
    """The rest: what is met, with its margins; what followed from what; workings; serials part by part. everything:
    also what does not apply, which else is only counted."""
    judgement = answer.judgement
    index = JudgementIndex(judgement)
    findings = [
        one for one in judgement.findings if one.verdict == "met" or (everything and one.verdict == "not applicable")
    ]
    rules = [*(one.criterion.id for one in findings), *(one.consequence.id for one in judgement.firings)]
    form = {
        "format": FORMAT_OF_APPENDIX,
        "outcome": judgement.outcome,
        "as_of": answer.day,
        "issue": issue_digest(judgement),
        "car": judgement.car,
        "move": judgement.move,
        "everything": everything,
        "summary": summary_of(judgement),
        "findings": _findings(findings, index),
        "consequences": judgement.firings,
        "workings": worked_lines_of(index),
        "serials": serials_of(index),
        "rules": _rules_by_id(rules, index),
        "parts": _parts_by_key(findings, ()),
        "digests": _digests(judgement),
        "made_by": made_by(),
    }
    plain: dict[str, Any] = encode(form, _rules(index))
    return plain


def _faults(view: View) -> list[dict[str, Any]]:
    """What keeps the car from moving, numbered as on the page. All that is not shown is one item."""
    return [{"number": number, **_fault(one)} for number, one in enumerate(view.items.in_order, start=1)]


def _fault(item: Item) -> dict[str, Any]:
    if isinstance(item, Missing):
        return {"fault": fault_text(item), "subject": None, "said": None, "must": None, "rests_on": None,
                "verdict": "not shown", "layers": (), "rules": (), "stops": item.stops, "clears": (),
                "write": ()}  # fmt: skip
    fault = item.fault
    return {
        "fault": fault.text,
        "subject": fault.subject,
        "said": fault.said,
        "must": fault.must or None,
        "rests_on": fault.rests_on or None,
        "verdict": item.verdict,
        "layers": item.layers,
        "rules": [rule for rule in item.criterion.split(", ") if rule],
        "stops": item.stops,
        "clears": item.clears,
        "write": item.write,
    }


def _digests(judgement: Judgement) -> dict[str, Any]:
    editions = {f"{edition.ruleset} {edition.name}": edition.digest for edition in judgement.rulebook.editions}
    return {**judgement.digests, "editions": editions}


def _rules_by_id(ids: Iterable[str], index: JudgementIndex) -> dict[str, dict[str, Any]]:
    """Each rule once, in the order of their ids."""
    return {one: _rule(index.criteria.get(one) or index.consequences[one]) for one in sorted(set(filter(None, ids)))}


def _rule(rule: Criterion | Consequence) -> dict[str, Any]:
    """What a rule says of itself, the same wherever it is named. A consequence has no remedies of its own."""
    criterion = rule if isinstance(rule, Criterion) else None
    return {
        "sort": "consequence" if criterion is None else "criterion",
        "edition": rule.edition,
        "title": rule.title,
        "effect": None if criterion is None else criterion.effect,
        "shown_by": None if criterion is None else criterion.shown_by,
        "remedies": ()
        if criterion is None
        else tuple(
            {
                "work": remedy.work,
                "if": None if remedy.condition is None else clause_words(remedy.condition),
                "note": remedy.note or None,
            }
            for remedy in criterion.remedies
        ),
        "relaxed_by": None if criterion is None else criterion.relaxed_by or None,
        "source": rule.source,
    }


_RULES: Rules = {
    Move: keys("host", "train", "out", "back", "rides", "legs", "file"),
    Leg: keys("from=start", "to=end", "miles=miles.amount"),
    Judgement: keys("outcome", "editions=rulebook.edition_names", "digest=rulebook.digest"),
    SettlingReading: keys(
        "part=evidence.part", "attribute=evidence.attribute", "reads_to", "needed", "gauge=gauge.name"
    ),
    Statement: keys("sort", "words", "at_once"),
    Spare: keys("spare=name", "serial?", "at=where"),
    Work: keys("id", "event", "name", "on", "parts=at", "at=where"),
    Voided: keys("evidence", "voided_by=work", "consequence=consequence.id"),
    Due: keys("days", "latest", "when", "title", "asked", "labels", "by", "routine", "rule"),
    SpareOnRecord: keys("spare", "serial?", "aboard", "shelf", "more?", "asked_by=rules", "short?", "at?"),
    PaperWanted: keys("paper", "form?", "state", "until?", "holds_up", "criterion"),
    LastGoodDay: keys("what", "parts?", "sort", "state", "since", "last", "criteria"),
    GaugeOnRecord: keys(
        "name", "kind", "reads_to?", "uncertainty?", "checked?", "due?", "state", "last_read", "when_read", "readings",
        "not_counted", "at",
    ),
    PersonOnRecord: keys("name", "full_name?", "role", "telephone?", "accepted", "until?", "tests", "sheets", "at"),
    NoticeAsked: keys("period", "days", "last_day", "given", "in_time", "criterion"),
    SaidNone: keys("what", "parts?", "by?"),
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
        Firing: partial(_firing, index=index),
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


def _parts_by_key(findings: Iterable[Finding], refusals: Iterable[Refusal]) -> dict[str, dict[str, Any]]:
    """Each part that a finding or a refusal names, once, in the order of their keys."""
    of_duties = (refusal.duty.part for refusal in refusals if refusal.duty is not None)
    parts = {part.key: part for part in (*(one.part for one in findings), *of_duties)}
    return {key: {"label": part.label, "kind": part.kind, "fitted": part.fitted} for key, part in sorted(parts.items())}


def _findings(findings: Iterable[Finding], index: JudgementIndex) -> list[dict[str, Any]]:
    """The findings in their order, those that say the same of several parts as one."""
    alike: dict[str, tuple[list[str], dict[str, Any]]] = {}
    rules = _rules(index)
    for finding in findings:
        said = encode(_finding(finding, index), rules)
        alike.setdefault(repr(said), ([], said))[0].append(finding.part.key)
    return [{"criterion": said.pop("criterion"), "parts": parts, **said} for parts, said in alike.values()]


def _finding(finding: Finding, index: JudgementIndex) -> dict[str, Any]:
    """What one criterion says of a part, with everything that a page may say of it."""
    criterion = finding.criterion
    explanation = index.explain(finding)
    words = finding_words(explanation)
    settled = settling_of(finding, index.compiled(criterion), index.view(finding))
    return {
        "criterion": criterion.id,
        "verdict": finding.verdict,
        "fault": fault_of_part(finding, index) or None,
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
        "can_work": [remedy_condition(remedy, finding, index) for remedy in criterion.remedies],
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
        "stage": firing.stage,
        "yield": _yield_word(consequence.yields[firing.yield_number]) if consequence.yields else None,
        "cause": _cause(firing.cause, index),
        "followed": [_fact(fact, index) for fact in firing.followed],
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
    """The ids of the finding or the duty that a duty on the way is about: exactly one of the two is not null."""
    return {
        "finding": None if finding is None else {"criterion": finding.criterion.id, "part": finding.part},
        "duty": None if duty is None else {"consequence": duty.consequence.id, "part": duty.part},
    }


def _permission(permission: Permission) -> dict[str, Any]:
    return {"by": permission.rule.id, "for": permission.purpose}


def _refusals(index: JudgementIndex) -> list[dict[str, Any]]:
    """What keeps the car from moving, in its order; that of one rule as one, with what it stops of which parts."""
    alike: dict[str, tuple[dict[str, Any], dict[tuple[str, ...], list[str]]]] = {}
    rules = _rules(index)
    for refusal in index.judgement.refusals:
        said = encode(_refusal(refusal, index), rules)
        on = refusal.finding or refusal.duty
        stops = alike.setdefault(repr(said), (said, {}))[1].setdefault(tuple(stopped_by(refusal, index)), [])
        stops.extend(() if on is None else (on.part.key,))
    return [
        {**said, "of": [{"parts": parts, "stops": list(stops)} for stops, parts in of.items()]}
        for said, of in alike.values()
    ]


def _refusal(refusal: Refusal, index: JudgementIndex) -> dict[str, Any]:
    """What refuses. Exactly one of finding, duty and against is not null."""
    return {
        "finding": None if refusal.finding is None else refusal.finding.criterion.id,
        "duty": None if refusal.duty is None else refusal.duty.consequence.id,
        "against": None if refusal.against is None else against_words(refusal.against),
        "reasons": refusal.reasons,
        "relieved_for_repair_by": [relief.consequence.id for relief in refusal.repair],
        "permission": index.permissions.of(refusal),
    }


def _restriction(one: RestrictionInForce, index: JudgementIndex) -> dict[str, Any]:
    """A restriction, the rule that says it, and the facts that it rests on."""
    return {
        "sort": one.restriction.sort,
        "words": restriction_words(one.restriction),
        "said_by": one.said_by,
        "reasons": [_fact(fact, index) for fact in one.reasons],
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
    }
