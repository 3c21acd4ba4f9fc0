"""What has to be read, or found by a test, so that a criterion is met: values on the good side of its limits.

A plan assumes these values and says so; nobody has read them.
"""

from collections.abc import Iterable, Iterator
from datetime import date

import msgspec
from msgspec.structs import replace

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.comparisons import comparison_test, limit_getter
from carknocker.judgement.held import Held
from carknocker.judgement.sight import Sight
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.questions.hypothetical.candidates import Limits, candidates
from carknocker.record.model import Evidence
from carknocker.record.values import Value, Word
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, CountOf, EachOf, Fixed
from carknocker.rulebook.model import Criterion
from carknocker.vocabulary.model import Attribute


class Wanted(msgspec.Struct, frozen=True):
    """An attribute of a part that has to be shown, with the value that is assumed. facts: of a test or paper."""

    part: str
    attribute: Attribute
    value: Value
    facts: tuple[tuple[str, Value], ...] = ()


class Assumer:
    """Finds what would meet a criterion on a part of one situation, dated one day. applies: the criteria, by id and
    part, that apply there; others need not be suited."""

    def __init__(self, situation: Situation, limits: Limits, day: date, applies: frozenset[tuple[str, str]]) -> None:
        self._situation = situation
        self._limits = limits
        self._day = day
        self._applies = applies

    def meeting(self, criterion: Criterion, part: str) -> tuple[Wanted, ...] | None:
        """What would meet the criterion on the part; None where nothing that is read or tested can."""
        return self._holding(criterion.must, part)

    def _sight(self, key: str) -> Sight:
        situation = self._situation
        return Sight(situation, key, situation.view(key), situation.move.out)

    def _holding(self, clause: Clause, key: str) -> tuple[Wanted, ...] | None:
        match clause:
            case Comparison():
                return self._comparing(clause, key)
            case AllOf(clauses):
                return _together(self._holding(member, key) for member in clauses)
            case AnyOf(clauses):
                # what is nearest to hold already is what the car is built to
                order = sorted(clauses, key=lambda member: -clause_test(member)(self._sight(key)))
                return next((found for member in order if (found := self._holding(member, key)) is not None), None)
            case EachOf(kind, when, must):
                inside = self._situation.standing.reach(key, kind)
                asked = [
                    one for one in inside if when is None or clause_test(when)(self._sight(one)) != FAILS
                ]  # fmt: skip
                return _together(self._holding(must, one) for one in asked)
            case CountOf():
                return self._counting(clause, key)

    def _counting(self, clause: CountOf, key: str) -> tuple[Wanted, ...] | None:
        """Where at most some may be so: that none is. Where some must be: that every one is."""
        if clause.when is None:
            return None
        inside = self._situation.standing.reach(key, clause.kind)
        if clause.word in ("at_most", "under"):
            return _together(self._failing(clause.when, one) for one in inside)
        if clause.word in ("at_least", "over") and len(inside) >= clause.number + (clause.word == "over"):
            return _together(self._holding(clause.when, one) for one in inside)
        return None

    def _failing(self, clause: Clause, key: str) -> tuple[Wanted, ...] | None:
        test = clause_test(clause)
        if test(self._sight(key)) == FAILS:
            return ()
        match clause:
            case Comparison():
                return self._comparing(clause, key, holds=False)
            case AllOf(clauses) | AnyOf(clauses):
                found = [self._failing(member, key) for member in clauses]
                if isinstance(clause, AnyOf):
                    return _together(found)
                return next((one for one in found if one is not None), None)
            case _:
                return None

    def _comparing(self, clause: Comparison, key: str, holds: bool = True) -> tuple[Wanted, ...] | None:
        path = clause.path
        owner = self._situation.owner(key, path.owner) if path.owner else key
        if owner is None or owner in ("move", "train"):
            return None
        attribute = path.attribute
        if holds and attribute.description and comparison_test(clause)(self._sight(key)) >= NEAR:
            return ()
        if attribute.type in ("test", "paper"):
            word = "passed" if attribute.type == "test" else "yes"
            return (Wanted(owner, attribute, Word(word), self.facts_of(attribute, owner)),)
        value = self._value(attribute, clause, key, holds)
        return None if value is None else (Wanted(owner, attribute, value),)

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
        )
        best: Value | None = None
        most = -1
        for value in self._candidates(attribute, (clause, *others), key):
            good = self._suits(clause, value, key) if holds else self._clashes(clause, value, key)
            if good:
                suited = sum(self._suits(one, value, key) for one in others)
                if suited > most:
                    best, most = value, suited
        return best

    def _suits(self, clause: Comparison, value: Value, key: str) -> bool:
        return self._truth(clause, value, key) >= NEAR

    def _clashes(self, clause: Comparison, value: Value, key: str) -> bool:
        return self._truth(clause, value, key) == FAILS

    def _truth(self, clause: Comparison, value: Value, key: str) -> int:
        """The comparison with the value in the place of what is on record."""
        attribute = replace(clause.path.attribute, derived="")
        plain = replace(clause, path=replace(clause.path, owner="", attribute=attribute))
        sight = self._sight(key)
        reading = Evidence(
            "assumed", attribute.name, key, key, value, "reading", self._day,
            next(iter(self._situation.standing.parts.values())).where,
        )  # fmt: skip
        return comparison_test(plain)(
            Sight(self._situation, key, {**sight.view, attribute.name: Held(value, reading)}, sight.day)
        )

    def _candidates(self, attribute: Attribute, clauses: tuple[Comparison, ...], key: str) -> Iterator[Value]:
        held = self._situation.views[key].get(attribute.name)
        limits = [value for clause in clauses for value in self._limits_of(clause, key)]
        return candidates(attribute, None if held is None else held.value, limits, self._day)

    def _limits_of(self, clause: Comparison, key: str) -> tuple[Value, ...]:
        if isinstance(clause.limit, Fixed):
            return clause.limit.values
        held = limit_getter(clause)(self._sight(key))
        return () if held is None else (held.value,)


def _together(found: Iterable[tuple[Wanted, ...] | None]) -> tuple[Wanted, ...] | None:
    """All of them, or None where one can't be had."""
    together: dict[tuple[str, str], Wanted] = {}
    for one in found:
        if one is None:
            return None
        together.update({(wanted.part, wanted.attribute.name): wanted for wanted in one})
    return tuple(together.values())
