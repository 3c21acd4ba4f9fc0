"""A value of an attribute of a part that suits a comparison, and of those the one that suits the most others."""

from collections.abc import Iterator
from datetime import date

from msgspec.structs import replace

from carknocker.judgement.comparisons import comparison_test
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import PartView, Test, limit_getter
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.questions.hypothetical.candidates import Limits, candidates
from carknocker.questions.hypothetical.turned_round import turned_round
from carknocker.record.model import Evidence
from carknocker.record.values import Value
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.vocabulary.model import Attribute


class Suiting:
    """Finds values on parts of one situation, dated one day. applies: the criteria, by id and part, that apply there;
    others need not be suited."""

    def __init__(self, situation: Situation, limits: Limits, day: date, applies: frozenset[tuple[str, str]]) -> None:
        self._situation = situation
        self._limits = limits
        self._day = day
        self._applies = applies
        self._tests: dict[int, tuple[Comparison, Test]] = {}  # by identity; what is kept here stays alive

    def _sight(self, key: str) -> PartView:
        situation = self._situation
        return PartView(situation, key, situation.values_of(key), situation.move.out)

    def _kind(self, key: str) -> str:
        return self._situation.standing.parts[key].kind

    def facts_of(self, attribute: Attribute, owner: str) -> tuple[tuple[str, Value], ...]:
        """The facts of a test or paper that criteria ask for, on their good side."""
        kind = self._situation.standing.parts[owner].kind
        facts: dict[str, Value] = {}
        for clause, criterion in self._limits.of(kind, attribute):
            fact = clause.path.fact
            if fact is not None and fact.name not in facts and (criterion, owner) in self._applies:
                value = next(iter(self._candidates(fact, (clause,), owner)), None)
                if value is not None:
                    facts[fact.name] = value
        return tuple(sorted(facts.items()))

    def _value(self, attribute: Attribute, clause: Comparison, key: str, holds: bool) -> Value | None:
        """The value that suits this comparison, and of those the one that suits the most others."""
        situation = self._situation
        kind = situation.standing.parts[key].kind
        others = tuple(
            one
            for one, criterion in self._limits.of(clause.path.owner or kind, attribute)
            if one.path.fact is None and (criterion, key) in self._applies
        ) + tuple(self._seen_from(key, kind, attribute))
        best: Value | None = None
        most = -1
        for value in self._candidates(attribute, (clause, *others), key):
            good = self._suits(clause, value, key) if holds else self._clashes(clause, value, key)
            if good:
                suited = sum(self._suits(one, value, key) for one in others)
                if suited > most:
                    best, most = value, suited
        return best

    def _seen_from(self, key: str, kind: str, attribute: Attribute) -> Iterator[Comparison]:
        """What figures of other parts that are compared with this one ask of it."""
        for clause, criterion, of in self._limits.against(kind, attribute):
            for other in self._situation.standing.reach(key, of):
                own = self._situation.values_of(other).get(clause.path.attribute.name)
                asked = None if own is None else turned_round(clause, own.value)
                if asked is not None and (criterion, other) in self._applies:
                    yield asked

    def _suits(self, clause: Comparison, value: Value, key: str) -> bool:
        return self._truth(clause, value, key) >= NEAR

    def _clashes(self, clause: Comparison, value: Value, key: str) -> bool:
        return self._truth(clause, value, key) == FAILS

    def _truth(self, clause: Comparison, value: Value, key: str) -> int:
        """The comparison with the value in the place of what is on record."""
        name = clause.path.attribute.name
        sight = self._sight(key)
        reading = Evidence(
            "assumed", name, key, key, value, "reading", self._day,
            next(iter(self._situation.standing.parts.values())).where,
        )  # fmt: skip
        view = {**sight.values, name: ObservedValue(value, reading)}
        return self._test(clause)(PartView(self._situation, key, view, sight.day))

    def _test(self, clause: Comparison) -> Test:
        """The test of a comparison, as if its figure were read on the part itself. Made once for each comparison: it is
        asked about many values."""
        known = self._tests.get(id(clause))
        if known is None:
            attribute = replace(clause.path.attribute, derived="")
            plain = replace(clause, path=replace(clause.path, owner="", attribute=attribute))
            known = self._tests[id(clause)] = (clause, comparison_test(plain))
        return known[1]

    def _candidates(self, attribute: Attribute, clauses: tuple[Comparison, ...], key: str) -> Iterator[Value]:
        held = self._situation.values[key].get(attribute.name)
        limits = [value for clause in clauses for value in self._limits_of(clause, key)]
        return candidates(attribute, None if held is None else held.value, limits, self._day)

    def _limits_of(self, clause: Comparison, key: str) -> tuple[Value, ...]:
        if clause.word == "shown":
            return ()
        if isinstance(clause.limit, Fixed):
            return clause.limit.values
        held = limit_getter(clause)(self._sight(key))
        return () if held is None else (held.value,)
