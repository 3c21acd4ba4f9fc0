"""`why`: from the outcome down to the reading, the gauge, the person and the sentence; and why a rule says what it says
of a part. Nothing is judged anew: the functions that decided are asked again."""

from collections.abc import Iterable

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Duty, Finding
from carknocker.questions.why.asked import Asked
from carknocker.questions.why.findings import finding_node
from carknocker.questions.why.model import WhyAnswer, WhyNode
from carknocker.questions.why.names import find_parts, find_rules
from carknocker.questions.why.outcome import outcome_node
from carknocker.questions.why.part import part_nodes, tally
from carknocker.questions.why.rule import consequence_nodes
from carknocker.record.model import Part
from carknocker.rulebook.model import Consequence, Criterion
from carknocker.wording.parts import part_words
from carknocker.wording.phrases import listed

_OUTCOMES = {
    "ready": "Why is the car ready?",
    "ready with restrictions": "Why is the car ready only with restrictions?",
    "repair move only": "Why may the car make a repair move only?",
    "not ready": "Why is the car not ready?",
}


def why(answer: CheckAnswer, part: str | None = None, criterion: str | None = None) -> WhyAnswer:
    """Why the outcome is what it is; or, for a part, a rule or both, what is said there and why.

    part: a label, a position, a serial, a kind (`wheel L3`, `L3`, `W-31`, `truck B`, `car`). criterion: the short or
    full id of a criterion or a consequence. Raises NotFound for a word that names nothing, with the nearest right one.
    """
    judgement = answer.judgement
    asked = Asked(judgement)
    parts = find_parts(judgement, part) if part is not None else ()
    rules = find_rules(judgement.rulebook, criterion) if criterion is not None else ()
    if not parts and not rules:
        node = outcome_node(asked)
        return WhyAnswer(answer, _OUTCOMES[judgement.outcome], node.said, (), (), (node,))
    if not rules:
        findings = [finding for finding in judgement.findings if finding.part in parts]
        words = f"{_names(parts)}: {tally(findings)}"
        return WhyAnswer(answer, f"Why: {_names(parts)}?", words, parts, (), part_nodes(parts, asked))
    nodes = tuple(node for rule in rules for node in _of_rule(rule, parts, asked))
    titles = listed(dict.fromkeys(rule.title for rule in rules))
    found = tuple(dict.fromkeys(node.about.part for node in nodes if isinstance(node.about, Finding | Duty)))
    on = f"{_names(found or parts)}: " if parts else ""
    ids = tuple(rule.id for rule in rules)
    return WhyAnswer(answer, f"Why: {on}{titles}?", _answer(nodes), parts, ids, nodes)


def _of_rule(rule: Criterion | Consequence, parts: tuple[Part, ...], asked: Asked) -> tuple[WhyNode, ...]:
    if isinstance(rule, Consequence):
        return consequence_nodes(rule, parts, asked)
    standing = asked.situation.standing
    if parts:
        own = [part.key for part in parts if part.kind == rule.of]
        keys = own or list(dict.fromkeys(key for part in parts for key in standing.reach(part.key, rule.of)))
    else:
        keys = [part.key for part in standing.by_kind.get(rule.of, ())]
    found = [asked.findings[rule.id, key] for key in keys if (rule.id, key) in asked.findings]
    if not found:
        where = "the car and the move have none" if not parts else f"{_names(parts)} leads to none"
        said = f"{rule.title}: it is about a {rule.of}, and {where}"
        return (WhyNode("nothing", said, (("rule", rule.id),), rule.source, rule.where),)
    return tuple(finding_node(finding, asked) for finding in _worst_first(found, asked))


def _worst_first(findings: Iterable[Finding], asked: Asked) -> list[Finding]:
    """What stands against the car first, then the other verdicts; else in walking order."""
    order = ("breached", "withdrawn", "lapses", "not shown", "borderline", "for the day", "met", "not applicable")
    return sorted(findings, key=lambda f: (order.index(f.verdict), asked.order[f.part.key]))


def _answer(nodes: tuple[WhyNode, ...]) -> str:
    if len(nodes) == 1:
        return nodes[0].said
    findings = [node.about for node in nodes if isinstance(node.about, Finding)]
    if len(findings) == len(nodes):
        return tally(findings)
    fired = sum(node.sort in ("firing", "duty") for node in nodes)
    return f"{fired} of {len(nodes)} follow" if fired else "it does not follow"


def _names(parts: tuple[Part, ...]) -> str:
    return listed(part_words(part) for part in parts[:4]) + (f" and {len(parts) - 4} more" if len(parts) > 4 else "")
