"""What a consequence did, on the parts asked about, and why it did nothing where it did nothing."""

from carknocker.judgement.model import Firing
from carknocker.questions.why_asked import Asked
from carknocker.questions.why_chain import duty_node, firing_node
from carknocker.questions.why_model import WhyNode
from carknocker.questions.why_not import why_not
from carknocker.record.model import Part
from carknocker.rulebook.model import Consequence


def consequence_nodes(consequence: Consequence, parts: tuple[Part, ...], asked: Asked) -> tuple[WhyNode, ...]:
    """Its firings, with the duties that they made; else, for each alternative cause, what does not hold."""
    fired = [
        firing
        for firing in asked.judgement.firings
        if firing.consequence.id == consequence.id and (not parts or _touches(firing, {part.key for part in parts}))
    ]
    if not fired:
        return why_not(consequence, _near(parts, asked) if parts else None, asked)
    nodes: list[WhyNode] = []
    shown: set[tuple[str, ...]] = set()
    for firing in fired:
        duties = [(name, asked.duty(name)) for name in firing.followed if name[0] == "duty"]
        if not duties:
            nodes.append(firing_node(firing, asked))
        for name, duty in duties:
            if duty is not None and name not in shown and (not parts or _about(firing, duty.part.key, parts)):
                shown.add(name)
                nodes.append(duty_node(duty, name, asked))
    return tuple(nodes)


def _about(firing: Firing, key: str, parts: tuple[Part, ...]) -> bool:
    keys = {part.key for part in parts}
    return key in keys or firing.cause.part in keys


def _touches(firing: Firing, keys: set[str]) -> bool:
    """The cause lies on one of the parts, or something followed there."""
    return firing.cause.part in keys or any(keys & set(name) for name in (firing.cause.name, *firing.followed))


def _near(parts: tuple[Part, ...], asked: Asked) -> frozenset[str]:
    """The parts, what they are in, and what is in them: from there a consequence could come."""
    standing = asked.situation.standing
    found: set[str] = set()
    for part in parts:
        found.update((part.key, *standing.containers(part.key)))
        waiting = [part.key]
        while waiting:
            inside = standing.inside.get(waiting.pop(), ())
            found.update(inside)
            waiting.extend(inside)
    return frozenset(found)
