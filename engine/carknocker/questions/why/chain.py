"""Facts of the chain as reasons: what is unfit, required, restricted, and the firings that it follows from."""

from collections.abc import Iterable

from carknocker.judgement.model import Duty, Fact, Firing, RestrictionInForce
from carknocker.judgement.part_view import PartView
from carknocker.judgement.restrictions import restriction_name, restriction_words
from carknocker.questions.why.asked import Asked, FactName
from carknocker.questions.why.clauses import clause_node, first_deciding
from carknocker.questions.why.evidence import evidence_node, work_node
from carknocker.questions.why.findings import finding_node
from carknocker.questions.why.model import WhyNode
from carknocker.questions.why.words import duty_words, leave_words, listed, part_words, spare_words
from carknocker.record.model import Evidence, Spare

NONE: frozenset[FactName] = frozenset()


def fact_node(name: FactName, asked: Asked, above: frozenset[FactName] = NONE) -> WhyNode:
    """A fact by its name, with its reasons. above: the facts that it is a reason of, so that a ring ends."""
    match name:
        case ("finding", criterion, key) if (criterion, key) in asked.findings:
            return finding_node(asked.findings[criterion, key], asked)
        case ("work" | "event", entry, *_) if entry in asked.work:
            return work_node(asked.work[entry])
        case ("leave", entry, *_) if entry in asked.leaves:
            leave = asked.leaves[entry]
            return WhyNode("leave", leave_words(leave), where=leave.where, about=leave)
        case ("test", entry) if entry in asked.evidence:
            return evidence_node(asked.evidence[entry], asked)
        case ("seen", criterion, entry, _) if entry in asked.evidence:
            return _seen_node(criterion, entry, asked)
        case ("state", consequence, number, key):
            return _state_node(consequence, int(number), key, asked)
        case ("duty", *_):
            duty = asked.duty(name)
            if duty is not None:
                return duty_node(duty, name, asked, above)
        case ("unfit", key):
            said = f"{asked.part(key)} is unfit"
            return WhyNode("unfit", said, because=firing_nodes(name, asked, above))
        case ("restricted", _, words):
            own = (
                finding_node(finding, asked)
                for finding in asked.judgement.findings
                if finding.unmet and not finding.relieved and finding.criterion.effect == "restrict"
                and any(restriction_name(one) == name for one in finding.criterion.restrictions)
            )  # fmt: skip
            return WhyNode("restriction", words, because=(*own, *firing_nodes(name, asked, above)))
    return WhyNode("nothing", " ".join(name))


def _seen_node(criterion: str, entry: str, asked: Asked) -> WhyNode:
    evidence = asked.evidence[entry]
    found = asked.criteria.get(criterion)
    said = f"seen beyond the limit of “{asked.title(criterion)}”, whatever was measured since"
    where = found.where if found is not None else None
    source = found.source if found is not None else None
    return WhyNode("clause", said, (("rule", criterion),), source, where, because=(evidence_node(evidence, asked),))


def _state_node(consequence: str, number: int, key: str, asked: Asked) -> WhyNode:
    cause = asked.consequences[consequence].causes[number]
    said = f"{asked.part(key)} is as “{asked.title(consequence)}” says"
    if cause.when is None:
        return WhyNode("clause", said, where=cause.where)
    situation = asked.situation
    decided = first_deciding(cause.when, PartView(situation, key, situation.view(key), situation.move.out))
    because = (evidence_node(decided.evidence, asked),) if decided.evidence is not None else ()
    return clause_node(decided, said, because)


def firing_nodes(name: FactName, asked: Asked, above: frozenset[FactName] = NONE) -> tuple[WhyNode, ...]:
    """Every firing from which a fact follows."""
    inner = above | {name}
    return tuple(firing_node(one, asked, inner) for one in asked.reasons(name) if one.cause.name not in inner)


def firing_node(firing: Firing, asked: Asked, above: frozenset[FactName] = NONE) -> WhyNode:
    """One consequence that fired, what followed, and its cause."""
    return step_node(firing, (fact_node(firing.cause.name, asked, above),), asked)


def followed_words(names: Iterable[FactName], asked: Asked) -> str:
    """What followed, in words."""
    groups: dict[str, list[str]] = {}
    for name in sorted(names, key=lambda name: (name[0], -_depth(name, asked), name)):
        match name:
            case ("unfit", key):
                groups.setdefault("unfit: ", []).append(asked.part(key))
            case ("void", entry):
                evidence = asked.evidence.get(entry)
                words = entry if evidence is None else evidence_node(evidence, asked).said.removesuffix(" (void)")
                groups.setdefault("void: ", []).append(words)
            case ("duty", _, _, key, *_):
                duty = asked.duty(name)
                words = "" if duty is None else f"{duty_words(duty.requirement)}, {duty.state}"
                groups.setdefault("required: ", []).append(f"{asked.part(key)}: {words}")
            case ("relieved" | "stopped", rule, key, purpose):
                groups.setdefault(f"relieved for {purpose}: ", []).append(f"{asked.part(key)}: {asked.title(rule)}")
            case ("restricted", _, words):
                groups.setdefault("restricted: ", []).append(words)
    return "; ".join(beginning + listed(words) for beginning, words in groups.items())


def _depth(name: FactName, asked: Asked) -> int:
    return len(asked.situation.standing.containers(name[1])) if name[0] == "unfit" else 0


def duty_node(duty: Duty, name: FactName | None, asked: Asked, above: frozenset[FactName] = NONE) -> WhyNode:
    """Something required on a part, what called for it, and what answered it."""
    since = () if duty.since is None else (("since", duty.since.isoformat()),)
    lines = (
        ("required", duty_words(duty.requirement)), *since, ("state", duty.state), ("why", duty.note),
        ("effect", duty.requirement.effect), ("rule", duty.consequence.id),
    )  # fmt: skip
    causes = [one.cause for one in asked.reasons(name)] if name is not None else [duty.cause]
    inner = above | ({name} if name is not None else set())
    because = tuple(fact_node(cause.name, asked, inner) for cause in _once(causes) if cause.name not in inner)
    return WhyNode(
        "duty", f"{part_words(duty.part)}: {duty.consequence.title}: {_DUTY[duty.state]}", lines,
        duty.consequence.source, duty.consequence.where, because=(*because, *_answers(duty, asked)), about=duty,
    )  # fmt: skip


_DUTY = {"open": "open", "done": "done", "on the way": "to be done on the way"}


def _once(causes: Iterable[Fact]) -> list[Fact]:
    return list({cause.name: cause for cause in causes}.values())


def _answers(duty: Duty, asked: Asked) -> tuple[WhyNode, ...]:
    answer = duty.answered_by
    if isinstance(answer, Evidence):
        return (evidence_node(answer, asked),)
    if isinstance(answer, Spare):
        return (WhyNode("spare", spare_words(answer), where=answer.where, about=answer),)
    return ()


def restriction_node(one: RestrictionInForce, asked: Asked) -> WhyNode:
    """A restriction in force, and everything that asks for it."""
    rule = asked.criteria.get(one.said_by) or asked.consequences.get(one.said_by)
    because = tuple(fact_node(name, asked) for name in one.reasons)
    return WhyNode(
        "restriction", restriction_words(one.restriction), (("says", asked.title(one.said_by)), ("rule", one.said_by)),
        None if rule is None else rule.source, None if rule is None else rule.where, because=because, about=one,
    )  # fmt: skip


def step_node(firing: Firing, because: tuple[WhyNode, ...], asked: Asked) -> WhyNode:
    """A firing with reasons that are known already."""
    lines = (("follows", followed_words(firing.followed, asked)), ("rule", firing.consequence.id))
    return WhyNode(
        "firing", firing.consequence.title, lines, firing.consequence.source, firing.consequence.where,
        because=because, about=firing,
    )  # fmt: skip
