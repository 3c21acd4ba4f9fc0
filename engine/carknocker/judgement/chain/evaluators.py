"""The two evaluators. Both take items and rules to a fixed point with the same `conclude`; they differ in how they
find which rule an item causes: durable-rules joins signs, the plain one reads every structured cause."""

from collections.abc import Callable, Iterable
from typing import Protocol

from carknocker.judgement.chain.adapter import AVAILABLE, Matcher, Session
from carknocker.judgement.chain.items import Item, may_be_cause, signs_of
from carknocker.judgement.chain.rules import Rule, RuleIndex, Stage

Conclude = Callable[[Rule, Item], "tuple[Item, ...] | None"]
"""What a rule yields from an item as its cause: the items that follow, or None where the cause does not hold after all.
A pure function."""

FiringName = tuple[str, int, tuple[str, ...]]
"""A firing's name: consequence, number of its yield, name of the cause."""


class Fired:
    """What a run to the fixed point gave: every item by the name of its fact, every firing with what followed."""

    __slots__ = ("firings", "items")

    def __init__(self) -> None:
        self.items: dict[tuple[str, ...], Item] = {}
        self.firings: dict[FiringName, tuple[Rule, Item, tuple[Item, ...]]] = {}

    def add(self, rule: Rule, item: Item, followed: tuple[Item, ...]) -> None:
        self.firings.setdefault((rule.consequence.id, rule.yield_number, item.fact.name), (rule, item, followed))


class Evaluator(Protocol):
    """Takes the items of a stage to the fixed point."""

    def run(self, stage: Stage, index: RuleIndex, base: Iterable[Item], conclude: Conclude) -> Fired: ...


class PlainEvaluator:
    """Asks every rule about every item, round after round, until nothing is new."""

    def run(self, stage: Stage, index: RuleIndex, base: Iterable[Item], conclude: Conclude) -> Fired:
        fired = Fired()
        fresh = _new(base, fired)
        while fresh:
            following: list[Item] = []
            for item in fresh:
                for rule in index.candidates(item.fact.sort, item.names, item.kind):
                    if may_be_cause(rule, item):
                        followed = conclude(rule, item)
                        if followed is not None:
                            fired.add(rule, item, followed)
                            following.extend(followed)
            fresh = _new(following, fired)
        return fired


class DurableEvaluator:
    """Lets durable-rules join the signs of items with the rules that look for them; one dispatch a round."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def run(self, stage: Stage, index: RuleIndex, base: Iterable[Item], conclude: Conclude) -> Fired:
        fired = Fired()
        fresh = _new(base, fired)
        by_number = {rule.number: rule for rule in index.rules}
        while fresh:
            shown = [(sign, item) for item in fresh for sign in signs_of(item, stage) if sign in index.by_sign]
            signs = dict.fromkeys(sign for sign, _ in shown)
            joined = self._session.round(signs, (rule for sign in signs for rule in index.by_sign[sign]))
            following: list[Item] = []
            for sign, item in shown:
                for number in joined[sign]:
                    rule = by_number[number]
                    if (rule.consequence.id, rule.yield_number, item.fact.name) in fired.firings:
                        continue
                    followed = conclude(rule, item)
                    if followed is not None:
                        fired.add(rule, item, followed)
                        following.extend(followed)
            fresh = _new(following, fired)
        return fired


def _new(items: Iterable[Item], fired: Fired) -> list[Item]:
    fresh = []
    for item in items:
        if item.fact.name not in fired.items:
            fired.items[item.fact.name] = item
            fresh.append(item)
    return fresh


_matcher: Matcher | None = None


def shared_matcher() -> Matcher | None:
    """The process's one engine, or None where durable-rules can't be imported."""
    global _matcher
    if _matcher is None and AVAILABLE:
        _matcher = Matcher()
    return _matcher
