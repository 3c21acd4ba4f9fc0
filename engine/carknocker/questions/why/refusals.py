"""What stands against the move, with the firings that carry it up to the car."""

from carknocker.judgement.facts import Fact, UnfitFact
from carknocker.judgement.model import Refusal
from carknocker.questions.why.asked import Asked
from carknocker.questions.why.chain import NONE, duty_node, restriction_node, step_node
from carknocker.questions.why.findings import finding_node
from carknocker.questions.why.model import WhyNode
from carknocker.wording.refusals import against_words


def refusal_node(refusal: Refusal, asked: Asked) -> WhyNode:
    """What stands against the move: the firings that carry it up to the car, then what it is itself."""
    if refusal.against is not None:
        reasons = tuple(restriction_node(one, asked) for one in refusal.reasons)
        return WhyNode("against", f"against the move: {against_words(refusal.against)}", because=reasons)
    if refusal.finding is not None:
        start: Fact = refusal.finding.fact
        leaf = finding_node(refusal.finding, asked)
    else:
        duty = refusal.duty
        if duty is None:
            raise AssertionError("a refusal without a reason")
        start = duty.fact
        leaf = duty_node(duty, asked)
    ways = _ways_up(UnfitFact("car"), start, leaf, asked, NONE)
    up = tuple(node for _, node in ways)
    if not up:
        return leaf
    return up[0] if len(up) == 1 else WhyNode("unfit", "the car is unfit", because=up)


def _ways_up(
    target: Fact, start: Fact, leaf: WhyNode, asked: Asked, above: frozenset[Fact]
) -> list[tuple[int, WhyNode]]:
    """The firings by which `start` makes `target` unfit, each with the number of steps, the shortest way first."""
    ways: list[tuple[int, WhyNode]] = []
    for firing in asked.reasons(target):
        if firing.cause == start:
            ways.append((1, step_node(firing, (leaf,), asked)))
        elif isinstance(firing.cause, UnfitFact) and firing.cause not in above:
            lower = _ways_up(firing.cause, start, leaf, asked, above | {target})
            if lower:
                ways.append((1 + lower[0][0], step_node(firing, tuple(node for _, node in lower), asked)))
    return sorted(ways, key=lambda way: way[0])
