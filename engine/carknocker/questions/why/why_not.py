"""Why a consequence does not follow: for each alternative cause the first thing that does not hold. Asks the rules,
items and compiled clauses that the judgement itself ran on."""

from collections.abc import Iterator

from carknocker.judgement.chain import causes
from carknocker.judgement.chain.conclusions import asked_on
from carknocker.judgement.chain.excuses import excuses
from carknocker.judgement.chain.rules import Rule, may_be_cause
from carknocker.judgement.facts import ChainFact, DutyFact, RestrictedFact, StateFact, UnfitFact
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.part_view import PartView
from carknocker.judgement.prepared_rulebook import prepare
from carknocker.judgement.reliefs import left_by
from carknocker.questions.why.findings import (
    Decided,
    clause_node,
    evidence_node,
    finding_node,
    first_deciding,
    relief_node,
    work_node,
)
from carknocker.questions.why.model import WhyNode
from carknocker.rulebook.clauses import Clause
from carknocker.rulebook.model import Consequence
from carknocker.vocabulary import load_vocabulary
from carknocker.wording.evidence import leave_words
from carknocker.wording.parts import part_by_key
from carknocker.wording.phrases import counted
from carknocker.wording.rules import cause_words, nothing_reached


def facts_for(rule: Rule, index: JudgementIndex) -> list[ChainFact]:
    """The facts of the record, of the findings and of the chain that the cause as written is about."""
    return [fact for fact in _of_sort(rule, index) if may_be_cause(rule, fact)]


def _of_sort(rule: Rule, index: JudgementIndex) -> list[ChainFact]:
    situation, judgement = index.situation, index.judgement
    match rule.cause.sort:
        case "work" | "event":
            return causes.work_facts(situation, fitted_only=rule.stage != "voids")
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
            return [*own.values(), *(one for one in _derived(index) if one.fact not in own)]
        case _:
            return list(_derived(index))


def _derived(index: JudgementIndex) -> Iterator[ChainFact]:
    """What the chain itself found to be so, as causes."""
    parts = index.judgement.parts
    for fact in index.producing:
        if isinstance(fact, UnfitFact):
            kind = parts[fact.part].kind
            yield ChainFact(fact, kind, kind)
        elif isinstance(fact, DutyFact):
            duty = index.duty(fact)
            state = "" if duty is None else duty.state
            yield ChainFact(fact, fact.consequence, parts[fact.part].kind, verdict=state)
        elif isinstance(fact, RestrictedFact):
            yield ChainFact(fact, fact.what)


Keys = frozenset[str] | None


def why_not(consequence: Consequence, keys: Keys, index: JudgementIndex) -> tuple[WhyNode, ...]:
    """One node for each alternative cause. keys: the parts asked about; None: all of them."""
    prepared = prepare(index.judgement.rulebook)
    rules: dict[int, Rule] = {}
    for stage in (prepared.voids, prepared.relieves, prepared.chain):
        for rule in stage.rules:
            if rule.consequence.id == consequence.id:
                rules.setdefault(rule.cause_number, rule)
    return tuple(_of_cause(rules[number], keys, index) for number in sorted(rules))


def _of_cause(rule: Rule, keys: Keys, index: JudgementIndex) -> WhyNode:
    return WhyNode(
        "nothing",
        f"does not follow from: {cause_words(rule.cause, index.title)}",
        (("rule", rule.consequence.id),),
        rule.consequence.source,
        rule.cause.where,
        because=tuple(_reasons(rule, keys, index)),
    )


def _reasons(rule: Rule, keys: Keys, index: JudgementIndex) -> Iterator[WhyNode]:
    chapter = _chapter(rule, index)
    if chapter is not None:
        yield chapter
        return
    if rule.cause.sort == "state":
        yield from _states(rule, keys, index)
        return
    any_of_it = False
    for cause in facts_for(rule, index):
        if keys is None or cause.fact.part in keys or not cause.fact.part:
            any_of_it = True
            yield _of_candidate(rule, cause, index)
    if not any_of_it:
        yield from _none(rule, keys, index)


def _chapter(rule: Rule, index: JudgementIndex) -> WhyNode | None:
    when = rule.consequence.when
    if rule.chapter_when is None or when is None:
        return None
    sight = _sight("car", index)
    if rule.chapter_when(sight) >= rule.least_truth:
        return None
    decided = _deciding(when, sight, rule.least_truth)
    return clause_node(decided, "its chapter does not apply: the first condition that fails")


def _deciding(clause: Clause, sight: PartView, least: int) -> Decided:
    """What decides that a clause does not hold: on departure, or where it holds there, on arrival."""
    decided = first_deciding(clause, sight)
    return decided if decided.truth < least else first_deciding(clause, sight.on_arrival())


def _sight(key: str, index: JudgementIndex, cause: ChainFact | None = None) -> PartView:
    situation = index.situation
    return PartView(
        situation, key, situation.values_of(key), situation.move.out, facts=None if cause is None else cause.facts
    )


def _states(rule: Rule, keys: Keys, index: JudgementIndex) -> Iterator[WhyNode]:
    kind = rule.cause.of or "car"
    parts = [part for part in index.situation.standing.by_kind.get(kind, ()) if part.fitted]
    chosen = [part for part in parts if keys is None or part.key in keys]
    if not chosen:
        yield WhyNode("nothing", f"no {kind} is among the parts asked about" if parts else f"there is no {kind}")
    for part in chosen:
        sight = _sight(part.key, index)
        if rule.cause.when is None or rule.when is None or rule.when(sight) >= rule.least_truth:
            cause = ChainFact(StateFact(rule.consequence.id, rule.cause_number, part.key), rule.consequence.id)
            yield _held_back(rule, cause, index)
        else:
            decided = _deciding(rule.cause.when, sight, rule.least_truth)
            because = (evidence_node(decided.evidence, index),) if decided.evidence is not None else ()
            said = f"{part_by_key(index.judgement.parts, part.key)}: the first condition that does not hold"
            yield clause_node(decided, said, because)


def _of_candidate(rule: Rule, cause: ChainFact, index: JudgementIndex) -> WhyNode:
    """A cause that is there: what narrows it fails, a relief stopped it, or it reaches nothing."""
    key = asked_on(cause, index.situation)
    sight = _sight(key, index, cause)
    if rule.when is not None and rule.cause.when is not None and rule.when(sight) < rule.least_truth:
        because = (work_node(cause.work),) if cause.work is not None else ()
        where = f"{part_by_key(index.judgement.parts, key)}: the first condition that does not hold"
        return clause_node(_deciding(rule.cause.when, sight, rule.least_truth), where, because)
    return _held_back(rule, cause, index)


def _held_back(rule: Rule, cause: ChainFact, index: JudgementIndex) -> WhyNode:
    for relief in index.reliefs.get((rule.consequence.id, cause.fact.part), ()):
        reaches = excuses(relief.cause, cause.fact, cause.since, index.standing)
        if relief.stopped and relief.relieves.purpose == "move" and reaches:
            return relief_node(relief, index)
    because = (work_node(cause.work),) if cause.work is not None else ()
    said = f"{part_by_key(index.judgement.parts, cause.fact.part or 'car')}: {nothing_reached(rule.produces)}"
    return WhyNode("nothing", said, because=because)


def _none(rule: Rule, keys: Keys, index: JudgementIndex) -> Iterator[WhyNode]:
    """Nothing of what the cause is about is there: what comes nearest."""
    cause, day = rule.cause, index.judgement.as_of.isoformat()
    near = ""
    here = "" if keys is None else " on these parts or in their reach"
    match cause.sort:
        case "work" | "event":
            near = f"no {' or '.join(cause.names)} is on record up to {day}{here}"
        case "test":
            near = f"no {' or '.join(cause.names)} that counts and is passed is on record{here}"
        case "leave":
            near = "no written permission of this host covers the whole move"
            for leave in index.leaves.values():
                yield WhyNode("leave", leave_words(leave), where=leave.where, about=leave)
        case "seen":
            titles = " or ".join(f"“{index.title(one)}”" for one in cause.criteria)
            near = f"no reading on record{here} is beyond the limit of {titles}"
        case "unfit":
            near = f"no {' or '.join(cause.names)} is unfit{here}"
        case "restricted":
            near = f"nothing restricts the {' or the '.join(cause.names)}"
        case "duty":
            near = f"no such duty is open{here}"
        case "finding":
            yield from _findings(rule, keys, index)
            return
    yield WhyNode("nothing", near)


def _findings(rule: Rule, keys: Keys, index: JudgementIndex) -> Iterator[WhyNode]:
    """The findings that the cause could be about, each as it is."""
    cause = rule.cause
    found = [
        finding
        for finding in index.judgement.findings
        if finding.part.fitted and cause.of in ("", finding.part.kind) and (keys is None or finding.part.key in keys)
        if not cause.criteria or finding.criterion.id in cause.criteria
    ]
    if cause.criteria and found:
        yield from (finding_node(finding, index) for finding in found)
        return
    effect = f" with the effect {cause.effect} standing" if cause.effect else ""
    wanted = " or ".join(cause.verdicts) if cause.verdicts else "unmet"
    where = f"{counted(len(found), 'finding')} on {cause.of or 'these parts'}"
    yield WhyNode("nothing", f"no finding is {wanted}{effect} among {where}")
