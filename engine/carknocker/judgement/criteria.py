"""Criteria made ready once per rulebook: plain functions, and for the commonest kind the bare numbers."""

from collections.abc import Callable, Mapping
from typing import Any, Generic, TypeVar
from weakref import WeakKeyDictionary

import msgspec

from carknocker.judgement.chain.rules import RuleIndex, index, rules_of
from carknocker.judgement.clause_tests import clause_test, comparisons_in, may_begin, may_end
from carknocker.judgement.comparisons import comparison_test, getter
from carknocker.judgement.figures import SIDES
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import Getter, Test
from carknocker.rulebook.clauses import Clause, Comparison, CountOf, EachOf, Fixed, of_test
from carknocker.rulebook.model import Criterion, Rulebook

_ONCE = frozenset({"car", "move", "train"})


class Single(msgspec.Struct, frozen=True):
    """A criterion whose `must` is one figure of the part itself against one written limit."""

    attribute: str
    limit_n: int
    limit_d: int
    sign: int
    strict: bool


class CompiledComparison(msgspec.Struct, frozen=True):
    """One comparison that the `must` makes on the part itself: how to find its value, and its test."""

    comparison: Comparison
    get: Getter
    test: Test


_Made = TypeVar("_Made")


class made_once(Generic[_Made]):  # noqa: N801 (used as a decorator, like property)
    """A property that is made when it is first asked for. Without the lock of `functools.cached_property`, which costs
    more than most of what is made here; two threads may at worst make the same thing twice."""

    def __init__(self, make: Callable[[Any], _Made]) -> None:
        self._make = make

    def __set_name__(self, owner: type, name: str) -> None:
        self._name = name

    def __get__(self, instance: Any, owner: type) -> _Made:
        made = instance.__dict__[self._name] = self._make(instance)
        return made


class CompiledCriterion:
    """A criterion ready to be judged. What `must` needs is made when it is first asked for: under any one move most
    criteria of a large rulebook do not apply.

    once: its `when` looks only at car, move and train, so that it is asked once and not for every part.
    """

    def __init__(self, criterion: Criterion, when: Clause | None, unless: Clause | None) -> None:
        self.criterion = criterion
        self.conditional = when is not None or unless is not None
        self.shop = criterion.shown_by == "accepted shop"
        self._when = when
        self._unless = unless

    @made_once
    def when(self) -> Test | None:
        return None if self._when is None else clause_test(self._when)

    @made_once
    def unless(self) -> Test | None:
        return None if self._unless is None else clause_test(self._unless)

    @made_once
    def once(self) -> bool:
        return _once(self.criterion.when) and _once(self.criterion.unless)

    @made_once
    def must(self) -> Test:
        return clause_test(self.criterion.must)

    @made_once
    def leaves(self) -> tuple[CompiledComparison, ...]:
        """The comparisons that the `must` makes on the part itself."""
        must = self.criterion.must
        if isinstance(must, Comparison):
            return (CompiledComparison(must, getter(must.path), self.must),)
        return tuple(
            CompiledComparison(comparison, getter(comparison.path), comparison_test(comparison))
            for comparison in comparisons_in(self.criterion.must, parts_inside=False)
        )

    @made_once
    def dated(self) -> bool:
        """Whether its answer can change during the move."""
        criterion = self.criterion
        return criterion.read_within is not None or any(_is_dated(one) for one in comparisons_in(criterion.must))

    @made_once
    def may_begin(self) -> bool:
        """Whether its `must` may begin to hold during the move: an age that is reached."""
        return may_begin(self.criterion.must)

    @made_once
    def may_lapse(self) -> bool:
        """Whether its `must` may cease to hold as time goes by: evidence ages, a paper ends."""
        return self.criterion.read_within is not None or may_end(self.criterion.must)

    @made_once
    def may_come_under(self) -> bool:
        """Whether a part may come under the criterion during the move: an age is reached, an exemption ends."""
        return may_begin(self._when) or may_end(self._unless)

    @made_once
    def may_leave(self) -> bool:
        """Whether a part may cease to be under the criterion during the move."""
        return may_end(self._when) or may_begin(self._unless)

    @made_once
    def single(self) -> Single | None:
        return _single(self.criterion.must)

    def applying(self, *, when: bool = True, unless: bool = True) -> "CompiledCriterion":
        """The same criterion, its `when` or its `unless` taken as given."""
        return CompiledCriterion(self.criterion, self._when if when else None, self._unless if unless else None)


def compile_rulebook(rulebook: Rulebook) -> tuple[CompiledCriterion, ...]:
    """All criteria of a rulebook, compiled."""
    return tuple(compile_criterion(criterion) for criterion in rulebook.criteria)


def compile_criterion(criterion: Criterion) -> CompiledCriterion:
    """One criterion, compiled."""
    return CompiledCriterion(criterion, criterion.when, criterion.unless)


def _once(clause: Clause | None) -> bool:
    if clause is None:
        return True
    if isinstance(clause, (CountOf, EachOf)):
        return False
    if isinstance(clause, Comparison):
        return clause.path.owner in _ONCE and isinstance(clause.limit, Fixed)
    return all(_once(member) for member in clause.clauses)


def _is_dated(comparison: Comparison) -> bool:
    path = comparison.path
    return comparison.word in ("within", "in_force") or path.value_attribute.type == "period" or of_test(path)


def _single(must: Clause) -> Single | None:
    if not isinstance(must, Comparison) or must.word not in SIDES or not isinstance(must.limit, Fixed):
        return None
    path = must.path
    if path.owner or path.fact is not None or path.attribute.derived or path.attribute.type in ("period", "test"):
        return None
    limit = ObservedValue(must.limit.values[0], None)
    sign, strict = SIDES[must.word]
    return Single(path.attribute.name, limit.n, limit.d, sign, strict) if limit.d else None


class PreparedRulebook(msgspec.Struct, frozen=True):
    """The compiled criteria, and the rules of the consequences by stage."""

    criteria: tuple[CompiledCriterion, ...]
    withdraws: RuleIndex
    relieves: RuleIndex
    chain: RuleIndex
    by_id: Mapping[str, CompiledCriterion]
    criteria_by_id: Mapping[str, Criterion]
    layers: Mapping[str, str]

    def criterion(self, criterion: Criterion) -> CompiledCriterion:
        """A criterion, compiled: of the rulebook, or of the other one of two that were judged together."""
        found = self.by_id.get(criterion.id)
        return found if found is not None and found.criterion is criterion else compile_criterion(criterion)


_kept: "WeakKeyDictionary[Rulebook, PreparedRulebook]" = WeakKeyDictionary()


def prepare(rulebook: Rulebook) -> PreparedRulebook:
    """The rulebook made ready; the same object for the same rulebook."""
    found = _kept.get(rulebook)
    if found is None:
        rules = rules_of(rulebook.consequences)
        criteria = compile_rulebook(rulebook)
        by_id = {one.criterion.id: one for one in criteria}
        stages = (index(rules, "withdraws"), index(rules, "relieves"), index(rules, "chain"))
        criteria_by_id = {one.id: one for one in rulebook.criteria}
        layers = {one.id: one.layer for one in rulebook.consequences}
        found = PreparedRulebook(criteria, *stages, by_id, criteria_by_id, layers)
        _kept[rulebook] = found
    return found
