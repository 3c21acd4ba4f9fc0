"""Facts of the chain as reasons: what is unfit, required, restricted, and the firings that it follows from."""

from collections.abc import Iterable

from msgspec.structs import replace

from carknocker.documents import listed
from carknocker.judgement.facts import (
    DutyFact,
    EntryFact,
    Fact,
    FindingFact,
    LeaveFact,
    PassedTestFact,
    RelievedFact,
    RestrictedFact,
    SeenFact,
    StateFact,
    StoppedFact,
    UnfitFact,
    VoidFact,
)
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Duty, Firing, RestrictionInForce
from carknocker.judgement.part_view import PartView
from carknocker.judgement.restrictions import restricted_fact, restriction_words
from carknocker.judgement.truth import UNKNOWN
from carknocker.questions.why.findings import (
    clause_node,
    evidence_node,
    finding_node,
    first_deciding,
    permitted_lines,
    said_of,
    work_node,
)
from carknocker.questions.why.model import WhyNode
from carknocker.record.model import Evidence, Spare
from carknocker.wording.duties import DUTY_STATES, duty_words
from carknocker.wording.evidence import leave_words, spare_words
from carknocker.wording.faults import fault_of_duties
from carknocker.wording.parts import part_by_key, part_words

NONE: frozenset[Fact] = frozenset()


def fact_node(fact: Fact, index: JudgementIndex, above: frozenset[Fact] = NONE) -> WhyNode:
    """A fact with its reasons. above: the facts that it is a reason of, so that a ring ends."""
    match fact:
        case FindingFact(criterion, key) if (criterion, key) in index.findings:
            return finding_node(index.findings[criterion, key], index)
        case EntryFact(entry) if entry in index.work:
            return work_node(index.work[entry])
        case LeaveFact(entry) if entry in index.leaves:
            leave = index.leaves[entry]
            return WhyNode("leave", leave_words(leave), where=leave.where, about=leave)
        case PassedTestFact(entry) if entry in index.evidence:
            return evidence_node(index.evidence[entry], index)
        case SeenFact(evidence=entry) if entry in index.evidence:
            return _seen_node(fact, index)
        case StateFact():
            return _state_node(fact, index)
        case DutyFact():
            duty = index.duty(fact)
            if duty is not None:
                return duty_node(duty, index, above)
        case UnfitFact(key):
            said = f"{part_by_key(index.judgement.parts, key)} is unfit"
            return WhyNode("unfit", said, because=firing_nodes(fact, index, above))
        case RestrictedFact(words=words):
            own = (
                finding_node(finding, index)
                for finding in index.judgement.findings
                if finding.unmet and not finding.relieved and finding.effect == "restrict"
                and any(restricted_fact(one) == fact for one in finding.criterion.restrictions)
            )  # fmt: skip
            return WhyNode("restriction", words, because=(*own, *firing_nodes(fact, index, above)))
    return WhyNode("nothing", " ".join(fact.name))


def _seen_node(fact: SeenFact, index: JudgementIndex) -> WhyNode:
    criterion, evidence = fact.criterion, index.evidence[fact.evidence]
    found = index.criteria.get(criterion)
    said = f"seen beyond the limit of “{index.title(criterion)}”, whatever was measured since"
    where = found.where if found is not None else None
    source = found.source if found is not None else None
    return WhyNode("clause", said, (("rule", criterion),), source, where, because=(evidence_node(evidence, index),))


def _state_node(fact: StateFact, index: JudgementIndex) -> WhyNode:
    cause, key = index.consequences[fact.consequence].causes[fact.cause_number], fact.part
    label, state = part_by_key(index.judgement.parts, key), f" is as “{index.title(fact.consequence)}” says"
    said = f"{label}{state}"
    if cause.when is None:
        return WhyNode("clause", f"{label}: asked of every such part", where=cause.where)
    situation = index.situation
    decided = first_deciding(cause.when, PartView(situation, key, situation.values_of(key), situation.move.out))
    if decided.truth == UNKNOWN:
        said = f"{label}: nothing shows that it is not as “{index.title(fact.consequence)}” says"
        because = () if decided.evidence is None else (evidence_node(decided.evidence, index),)
        return clause_node(decided, said, because)
    if decided.evidence is None:
        return clause_node(decided, said)
    node = clause_node(decided, said, (evidence_node(decided.evidence, index),))
    return replace(node, around=("", state), label=label) if decided.evidence.part == key else node


def firing_nodes(fact: Fact, index: JudgementIndex, above: frozenset[Fact] = NONE) -> tuple[WhyNode, ...]:
    """Every firing from which a fact follows."""
    inner = above | {fact}
    return tuple(firing_node(one, index, inner) for one in index.reasons(fact) if one.cause not in inner)


def firing_node(firing: Firing, index: JudgementIndex, above: frozenset[Fact] = NONE) -> WhyNode:
    """One consequence that fired, what followed, and its cause."""
    return step_node(firing, (fact_node(firing.cause, index, above),), index)


def followed_words(facts: Iterable[Fact], index: JudgementIndex) -> str:
    """What followed, in words."""
    groups: dict[str, list[str]] = {}
    for fact in sorted(facts, key=lambda fact: (fact.sort, -_depth(fact, index), fact.name)):
        match fact:
            case UnfitFact(key):
                groups.setdefault("unfit: ", []).append(part_by_key(index.judgement.parts, key))
            case VoidFact(entry):
                evidence = index.evidence.get(entry)
                words = entry if evidence is None else said_of(evidence, index)
                groups.setdefault("void: ", []).append(words)
            case DutyFact(part=key):
                duty = index.duty(fact)
                words = "" if duty is None else f"{duty_words(duty.requirement)}, {DUTY_STATES[duty.state]}"
                groups.setdefault("required: ", []).append(f"{part_by_key(index.judgement.parts, key)}: {words}")
            case RelievedFact(rule, key, purpose) | StoppedFact(rule, key, purpose):
                groups.setdefault(f"relieved for {purpose}: ", []).append(
                    f"{part_by_key(index.judgement.parts, key)}: {index.title(rule)}"
                )
            case RestrictedFact(words=words):
                groups.setdefault("restricted: ", []).append(words)
    return "; ".join(beginning + listed(words) for beginning, words in groups.items())


def _depth(fact: Fact, index: JudgementIndex) -> int:
    return len(index.situation.standing.containers(fact.part)) if isinstance(fact, UnfitFact) else 0


def duty_node(duty: Duty, index: JudgementIndex, above: frozenset[Fact] = NONE) -> WhyNode:
    """Something required on a part, what called for it, and what answered it."""
    since = () if duty.since is None else (("since", duty.since.isoformat()),)
    lines = (
        ("required", duty_words(duty.requirement)), *since, ("state", DUTY_STATES[duty.state]), ("why", duty.note),
        ("effect", duty.requirement.effect), ("rule", duty.consequence.id), *permitted_lines(duty.fact, index),
    )  # fmt: skip
    inner = above | {duty.fact}
    causes = dict.fromkeys(one.cause for one in index.reasons(duty.fact))
    because = tuple(fact_node(cause, index, inner) for cause in causes if cause not in inner)
    label, state = part_words(duty.part), f": {duty.consequence.title}: {DUTY_STATES[duty.state]}"
    if duty.state == "open":
        fault = fault_of_duties((duty,), index)
        label, state = fault.subject, f": {fault.words} ({DUTY_STATES[duty.state]})"
    return WhyNode(
        "duty", f"{label}{state}", lines, duty.consequence.source, duty.consequence.where,
        because=(*because, *_answers(duty, index)), about=duty, around=("", state), label=label,
    )  # fmt: skip


def _answers(duty: Duty, index: JudgementIndex) -> tuple[WhyNode, ...]:
    answer = duty.answered_by
    if isinstance(answer, Evidence):
        return (evidence_node(answer, index),)
    if isinstance(answer, Spare):
        return (WhyNode("spare", spare_words(answer), where=answer.where, about=answer),)
    return ()


def restriction_node(one: RestrictionInForce, index: JudgementIndex) -> WhyNode:
    """A restriction in force, and everything that asks for it."""
    rule = index.criteria.get(one.said_by) or index.consequences.get(one.said_by)
    because = tuple(fact_node(fact, index) for fact in one.reasons)
    return WhyNode(
        "restriction", restriction_words(one.restriction), (("says", index.title(one.said_by)), ("rule", one.said_by)),
        None if rule is None else rule.source, None if rule is None else rule.where, because=because, about=one,
    )  # fmt: skip


def step_node(firing: Firing, because: tuple[WhyNode, ...], index: JudgementIndex) -> WhyNode:
    """A firing with reasons that are known already."""
    lines = (("follows", followed_words(firing.followed, index)), ("rule", firing.consequence.id))
    return WhyNode(
        "firing", firing.consequence.title, lines, firing.consequence.source, firing.consequence.where,
        because=because, about=firing,
    )  # fmt: skip
