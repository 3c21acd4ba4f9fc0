"""What a consequence did, on the parts asked about, and why it did nothing where it did nothing."""

from carknocker.judgement.facts import DutyFact
from carknocker.judgement.model import Firing
from carknocker.questions.why.asked import Asked
from carknocker.questions.why.chain import duty_node, firing_node
from carknocker.questions.why.model import WhyNode
from carknocker.questions.why.why_not import why_not
from carknocker.record.model import Part
from carknocker.rulebook.model import Consequence


def consequence_nodes(consequence: Consequence, parts: tuple[Part, ...], asked: Asked) -> tuple[WhyNode, ...]:
    """Its firings, with the duties that they made; else, for each alternative cause, what does not hold."""
    near = reached(parts, asked) if parts else None
    of_it = [firing for firing in asked.judgement.firings if firing.consequence.id == consequence.id]
    keys = {part.key for part in parts}
    fired = of_it if near is None else [firing for firing in of_it if _touches(firing, keys)]
    if near is not None and not fired:
        keys = set(near)
        fired = [firing for firing in of_it if firing.cause.part in keys]
    if not fired:
        return why_not(consequence, near, asked)
    nodes: list[WhyNode] = []
    shown: set[DutyFact] = set()
    for firing in fired:
        duties = [(fact, asked.duty(fact)) for fact in firing.followed if isinstance(fact, DutyFact)]
        if not duties:
            nodes.append(firing_node(firing, asked))
        for fact, duty in duties:
            if duty is not None and fact not in shown and (not parts or {fact.part, firing.cause.part} & keys):
                shown.add(fact)
                nodes.append(duty_node(duty, asked))
    return tuple(nodes)


def _touches(firing: Firing, keys: set[str]) -> bool:
    """The cause lies on one of the parts, or something followed there."""
    return any(fact.parts & keys for fact in (firing.cause, *firing.followed))


def reached(parts: tuple[Part, ...], asked: Asked) -> frozenset[str]:
    """The parts, and all that is in reach of them: from there a consequence could come."""
    standing = asked.situation.standing
    found = {part.key for part in parts}
    for part in parts:
        for kind in standing.by_kind:
            found.update(standing.reach(part.key, kind))
    return frozenset(found)
