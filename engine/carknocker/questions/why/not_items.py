"""The facts that the cause of a rule, as written, is about: those of the record, of the findings, of the chain."""

from collections.abc import Iterator

from carknocker.judgement.chain import causes
from carknocker.judgement.chain.rules import Rule, may_be_cause
from carknocker.judgement.criteria import prepare
from carknocker.judgement.facts import ChainFact, DutyFact, RestrictedFact, UnfitFact
from carknocker.judgement.reliefs import left_by
from carknocker.questions.why.asked import Asked
from carknocker.vocabulary import load_vocabulary


def facts_for(rule: Rule, asked: Asked) -> list[ChainFact]:
    """The facts of the record, of the findings and of the chain that the cause as written is about."""
    return [fact for fact in _of_sort(rule, asked) if may_be_cause(rule, fact)]


def _of_sort(rule: Rule, asked: Asked) -> list[ChainFact]:
    situation, judgement = asked.situation, asked.judgement
    match rule.cause.sort:
        case "work" | "event":
            return causes.work_facts(situation, fitted_only=rule.stage != "withdraws")
        case "test":
            return causes.test_facts(situation, load_vocabulary())
        case "leave":
            return causes.leave_facts(situation)
        case "seen":
            prepared = prepare(judgement.rulebook)
            return causes.seen_facts(situation, prepared.criteria, prepared.chain)
        case "finding":
            return [causes.finding_fact(finding) for finding in judgement.findings if finding.part.fitted]
        case "restricted":
            left = left_by(judgement.reliefs, judgement.findings, "move")
            own = {one.fact: one for one in causes.restriction_facts(judgement.findings, left)}
            return [*own.values(), *(one for one in _derived(asked) if one.fact not in own)]
        case _:
            return list(_derived(asked))


def _derived(asked: Asked) -> Iterator[ChainFact]:
    """What the chain itself found to be so, as causes."""
    parts = asked.judgement.parts
    for fact in asked.producing:
        if isinstance(fact, UnfitFact):
            kind = parts[fact.part].kind
            yield ChainFact(fact, kind, kind)
        elif isinstance(fact, DutyFact):
            duty = asked.duty(fact)
            state = "" if duty is None else duty.state
            yield ChainFact(fact, fact.consequence, parts[fact.part].kind, verdict=state)
        elif isinstance(fact, RestrictedFact):
            yield ChainFact(fact, fact.what)
