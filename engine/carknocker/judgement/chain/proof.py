"""Proof after every chain: what was derived is grounded, each firing is what its rule yields, nothing more can fire."""

from collections.abc import Iterable

from carknocker.judgement.chain.evaluators import Conclude, Fired
from carknocker.judgement.chain.items import Item, may_be_cause
from carknocker.judgement.chain.rules import RuleIndex
from carknocker.judgement.model import CannotJudge


def prove(fired: Fired, index: RuleIndex, base: Iterable[Item], conclude: Conclude) -> None:
    """Raises CannotJudge unless the run is a fixed point, reached from its base facts by its rules alone."""
    _grounded(fired, base)
    for name, (rule, item, followed) in fired.firings.items():
        if not may_be_cause(rule, item):
            raise CannotJudge(f"{name[0]} fired on {_words(item)}, which is not its cause")
        yields = conclude(rule, item)
        if yields is None or _names(yields) != _names(followed):
            raise CannotJudge(f"what {name[0]} yields from {_words(item)} is not what followed")
    for item in fired.items.values():
        for rule in index.candidates(item.fact.sort, item.names, item.kind):
            if (rule.consequence.id, rule.yield_number, item.fact.name) in fired.firings:
                continue
            if may_be_cause(rule, item) and conclude(rule, item) is not None:
                raise CannotJudge(f"{rule.consequence.id} could still fire on {_words(item)}")


def _grounded(fired: Fired, base: Iterable[Item]) -> None:
    """Replays the firings from the base facts: every derived fact must be reached, so that no two facts support only
    each other, and every firing must have been replayed."""
    reached = {item.fact.name for item in base}
    missing = reached - fired.items.keys()
    if missing:
        raise CannotJudge(f"a fact of the record was lost on the way: {' '.join(min(missing))}")
    by_cause: dict[tuple[str, ...], list[tuple[Item, ...]]] = {}
    for _, item, followed in fired.firings.values():
        by_cause.setdefault(item.fact.name, []).append(followed)
    waiting = list(reached)
    while waiting:
        for followed in by_cause.pop(waiting.pop(), ()):
            for item in followed:
                if item.fact.name not in reached:
                    reached.add(item.fact.name)
                    waiting.append(item.fact.name)
    if by_cause:
        raise CannotJudge(f"something follows from {' '.join(min(by_cause))}, which nothing supports")
    floating = fired.items.keys() - reached
    if floating:
        raise CannotJudge(f"{' '.join(min(floating))} is supported by nothing in the record")


def _names(items: tuple[Item, ...]) -> list[tuple[str, ...]]:
    return sorted(item.fact.name for item in items)


def _words(item: Item) -> str:
    return " ".join(item.fact.name)
