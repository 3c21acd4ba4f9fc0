"""Everything that is said of a part: whether it is unfit, its findings, its duties, its void evidence."""

from collections.abc import Iterable, Sequence

from carknocker.judgement.facts import UnfitFact
from carknocker.judgement.model import UNMET, Finding
from carknocker.questions.why.asked import Asked
from carknocker.questions.why.chain import duty_node, fact_node, restriction_node
from carknocker.questions.why.evidence import evidence_node
from carknocker.questions.why.findings import finding_node, relief_node
from carknocker.questions.why.model import WhyNode
from carknocker.record.model import Part
from carknocker.rulebook.model import Criterion
from carknocker.wording.parts import part_words
from carknocker.wording.phrases import listed

_ORDER = ("breached", "withdrawn", "lapses", "not shown", "borderline", "for the day", "met", "not applicable")
_WORDS = {"not applicable": "do not apply", "for the day": "for the host's inspector on the day"}


def tally(findings: Iterable[Finding]) -> str:
    """`1 breached, 20 met, 30 do not apply`."""
    counts = dict.fromkeys(_ORDER, 0)
    for finding in findings:
        counts[finding.verdict] += 1
    words = [f"{number} {_WORDS.get(verdict, verdict)}" for verdict, number in counts.items() if number]
    return ", ".join(words) if words else "no criterion looks at it"


def group(said: str, nodes: Sequence[WhyNode], criterion: Criterion | None = None) -> WhyNode:
    """Many alike as one; of one criterion, with its source."""
    source, where = (None, None) if criterion is None else (criterion.source, criterion.where)
    lines = () if criterion is None else (("rule", criterion.id),)
    return WhyNode("group", said, lines, source, where, because=tuple(nodes))


def part_nodes(parts: tuple[Part, ...], asked: Asked) -> tuple[WhyNode, ...]:
    """All that is said of some parts: what is against them first."""
    keys = {part.key for part in parts}
    judgement = asked.judgement
    fitted = [part for part in parts if part.fitted]
    unfit = [part for part in fitted if UnfitFact(part.key) in asked.producing]
    nodes = [fact_node(UnfitFact(part.key), asked) for part in unfit]
    if len(unfit) < len(fitted):
        others = listed(part_words(part) for part in fitted if part not in unfit)
        nodes.append(WhyNode("nothing", f"no consequence makes unfit: {others}"))
    for verdict in _ORDER:
        own = [finding for finding in judgement.findings if finding.part.key in keys and finding.verdict == verdict]
        found = [finding_node(finding, asked) for finding in own]
        if verdict in UNMET:
            nodes.extend(found)
        elif found:
            nodes.append(group(f"{len(found)} {_WORDS.get(verdict, verdict)}", found))
    nodes.extend(duty_node(one, asked) for one in judgement.duties if one.part.key in keys)
    nodes.extend(
        restriction_node(one, asked) for one in judgement.restrictions if any(fact.parts & keys for fact in one.reasons)
    )
    nodes.extend(relief_node(one, asked) for one in judgement.reliefs if one.stopped and one.part in keys)
    void = [evidence_node(one.evidence, asked) for one in judgement.voided if one.evidence.part in keys]
    if void:
        nodes.append(group(f"{len(void)} void", void))
    return tuple(nodes)
