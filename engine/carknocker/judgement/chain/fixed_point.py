"""What follows from the facts of a stage, taken to the fixed point: two evaluators, and the proof of every run.

Both evaluators apply the same `conclude`; they differ in how they find which rule a fact causes: durable-rules joins
match keys, the plain one reads every structured cause.
"""

import threading
from collections.abc import Callable, Iterable
from typing import NamedTuple, Protocol

from carknocker.judgement.chain.adapter import AVAILABLE, Matcher, Session
from carknocker.judgement.chain.rules import Rule, RuleIndex, Stage, may_be_cause
from carknocker.judgement.facts import ChainFact, Fact
from carknocker.judgement.model import CannotJudge

Conclude = Callable[[Rule, ChainFact], "tuple[ChainFact, ...] | None"]
"""What a rule yields from a fact as its cause: the facts that follow, or None where the cause does not hold after all.
A pure function."""


class FiringKey(NamedTuple):
    """What tells one firing from another."""

    consequence: str
    yield_number: int
    cause: Fact


FiredRule = tuple[Rule, ChainFact, tuple[ChainFact, ...]]
"""A rule that fired, its cause, and what followed."""


class Fired:
    """What a run gave: every fact of the chain, every firing with what followed."""

    __slots__ = ("facts", "firings")

    def __init__(self) -> None:
        self.facts: dict[Fact, ChainFact] = {}
        self.firings: dict[FiringKey, FiredRule] = {}

    def add(self, facts: Iterable[ChainFact]) -> list[ChainFact]:
        """Takes in facts, and returns those that are new."""
        fresh = []
        for one in facts:
            if one.fact not in self.facts:
                self.facts[one.fact] = one
                fresh.append(one)
        return fresh

    def in_order(self) -> list[FiredRule]:
        """The firings in an order that does not depend on who chained: by consequence, yield and cause."""
        keys = sorted(self.firings, key=lambda key: (key.consequence, key.yield_number, key.cause.name))
        return [self.firings[key] for key in keys]


class Evaluator(Protocol):
    """Takes the facts of a stage to the fixed point."""

    def run(self, stage: Stage, index: RuleIndex, base: Iterable[ChainFact], conclude: Conclude) -> Fired: ...


class PlainEvaluator:
    """Asks every rule about every fact, round after round, until nothing is new."""

    def run(self, stage: Stage, index: RuleIndex, base: Iterable[ChainFact], conclude: Conclude) -> Fired:
        fired = Fired()
        fresh = fired.add(base)
        while fresh:
            following: list[ChainFact] = []
            for cause in fresh:
                for rule in index.caused_by(cause):
                    following.extend(_fire(rule, cause, conclude, fired))
            fresh = fired.add(following)
        return fired


class DurableEvaluator:
    """Lets durable-rules join the match keys of facts with the rules that look for them; one dispatch a round."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def run(self, stage: Stage, index: RuleIndex, base: Iterable[ChainFact], conclude: Conclude) -> Fired:
        fired = Fired()
        fresh = fired.add(base)
        while fresh:
            shown = [(key, cause) for cause in fresh for key in index.keys_of(cause, stage)]
            keys = dict.fromkeys(key for key, _ in shown)
            joined = self._session.round(keys, (rule for key in keys for rule in index.by_match_key[key]))
            following: list[ChainFact] = []
            for key, cause in shown:
                for number in joined[key]:
                    following.extend(_fire(index.by_number[number], cause, conclude, fired))
            fresh = fired.add(following)
        return fired


def _fire(rule: Rule, cause: ChainFact, conclude: Conclude, fired: Fired) -> tuple[ChainFact, ...]:
    """Fires a rule on its cause, once; returns what followed."""
    key = FiringKey(rule.consequence.id, rule.yield_number, cause.fact)
    if key in fired.firings:
        return ()
    followed = conclude(rule, cause)
    if followed is None:
        return ()
    fired.firings[key] = (rule, cause, followed)
    return followed


_matcher: Matcher | None = None
_making = threading.Lock()


def shared_matcher() -> Matcher | None:
    """The process's one engine, or None where durable-rules can't be imported."""
    global _matcher
    if _matcher is None and AVAILABLE:
        with _making:
            if _matcher is None:
                _matcher = Matcher()
    return _matcher


def prove(fired: Fired, index: RuleIndex, base: Iterable[ChainFact], conclude: Conclude) -> None:
    """Raises CannotJudge unless the run is a fixed point, reached from its base facts by its rules alone: every fact is
    grounded, each firing is what its rule yields from its cause, nothing more can fire."""
    _grounded(fired, base)
    for key, (rule, cause, followed) in fired.firings.items():
        if not may_be_cause(rule, cause):
            raise CannotJudge(f"{key.consequence} fired on {_words(cause.fact)}, which is not its cause")
        if conclude(rule, cause) != followed:
            raise CannotJudge(f"what {key.consequence} yields from {_words(cause.fact)} is not what followed")
    for cause in fired.facts.values():
        for rule in index.caused_by(cause):
            if (rule.consequence.id, rule.yield_number, cause.fact) in fired.firings:
                continue
            if conclude(rule, cause) is not None:
                raise CannotJudge(f"{rule.consequence.id} could still fire on {_words(cause.fact)}")


def _grounded(fired: Fired, base: Iterable[ChainFact]) -> None:
    """Replays the firings from the base facts: every derived fact must be reached, so that no two facts support only
    each other, and every firing must have been replayed."""
    reached = {one.fact for one in base}
    missing = reached - fired.facts.keys()
    if missing:
        raise CannotJudge(f"a fact of the record was lost on the way: {_first(missing)}")
    by_cause: dict[Fact, list[tuple[ChainFact, ...]]] = {}
    for _, cause, followed in fired.firings.values():
        by_cause.setdefault(cause.fact, []).append(followed)
    waiting = list(reached)
    while waiting:
        for followed in by_cause.pop(waiting.pop(), ()):
            for one in followed:
                if one.fact not in reached:
                    reached.add(one.fact)
                    waiting.append(one.fact)
    if by_cause:
        raise CannotJudge(f"something follows from {_first(by_cause)}, which nothing supports")
    floating = fired.facts.keys() - reached
    if floating:
        raise CannotJudge(f"{_first(floating)} is supported by nothing in the record")


def _words(fact: Fact) -> str:
    return " ".join(fact.name)


def _first(facts: Iterable[Fact]) -> str:
    return " ".join(min(fact.name for fact in facts))
