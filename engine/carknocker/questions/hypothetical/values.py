"""What has to be read, or found by a test, so that a criterion is met: values on the good side of its limits.

A plan assumes these values and says so; nobody has read them.
"""

from collections.abc import Iterable

import msgspec

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.comparisons import comparison_test
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.questions.hypothetical.suiting import Suiting
from carknocker.questions.hypothetical.turned_round import turned_round
from carknocker.record.values import Value, Word
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, CountOf, EachOf, FromPart
from carknocker.rulebook.model import Criterion
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import MOVE_KINDS

"""What the move states is not read on the car."""


class Wanted(msgspec.Struct, frozen=True):
    """An attribute of a part that has to be shown, with the value that is assumed. facts: of a test or paper."""

    part: str
    attribute: Attribute
    value: Value
    facts: tuple[tuple[str, Value], ...] = ()


class Assumer(Suiting):
    """Finds what would meet a criterion on a part of one situation."""

    def meeting(self, criterion: Criterion, part: str) -> tuple[Wanted, ...] | None:
        """What would meet the criterion on the part; None where nothing that is read or tested can."""
        return self._holding(criterion.must, part)

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
        if owner is None or self._kind(owner) in MOVE_KINDS or self._waits_for_its_limit(clause, owner):
            return self._limit_itself(clause, key, owner) if holds else None
        attribute = path.attribute
        if holds and attribute.description and comparison_test(clause)(self._sight(key)) >= NEAR:
            return ()
        if attribute.type in ("test", "paper"):
            word = "passed" if attribute.type == "test" else "yes"
            return (Wanted(owner, attribute, Word(word), self.facts_of(attribute, owner)),)
        value = self._value(attribute, clause, key, holds)
        return None if value is None else (Wanted(owner, attribute, value),)

    def _waits_for_its_limit(self, clause: Comparison, owner: str) -> bool:
        """Whether the figure is on record, and what it is compared with is not."""
        view = self._situation.values_of
        if not isinstance(clause.limit, FromPart) or view(owner).get(clause.path.attribute.name) is None:
            return False
        path = clause.limit.path
        limit = self._situation.owner(owner, path.owner) if path.owner else owner
        return limit is not None and view(limit).get(path.attribute.name) is None

    def _limit_itself(self, clause: Comparison, key: str, owner: str | None) -> tuple[Wanted, ...] | None:
        """What would suit a figure that stands fast, where it is compared with one that is not on record yet."""
        own = None if owner is None else self._situation.values_of(owner).get(clause.path.attribute.name)
        asked = None if own is None else turned_round(clause, own.value)
        if asked is None or owner is None or not isinstance(clause.limit, FromPart):
            return None
        path = clause.limit.path
        other = self._situation.owner(key, path.owner) if path.owner else key
        if (
            other is None
            or self._kind(other) in MOVE_KINDS
            or self._situation.values_of(other).get(path.attribute.name)
        ):
            return None
        value = self._value(path.attribute, asked, other, True)
        return None if value is None else (Wanted(other, path.attribute, value),)


def _together(found: Iterable[tuple[Wanted, ...] | None]) -> tuple[Wanted, ...] | None:
    """All of them, or None where one can't be had."""
    together: dict[tuple[str, str], Wanted] = {}
    for one in found:
        if one is None:
            return None
        together.update({(wanted.part, wanted.attribute.name): wanted for wanted in one})
    return tuple(together.values())
