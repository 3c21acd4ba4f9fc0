"""Criteria made ready once per rulebook: plain functions."""

from collections.abc import Callable
from typing import Any, Generic, TypeVar

import msgspec

from carknocker.judgement.clause_tests import all_of, clause_test, comparisons_in, may_begin, may_end
from carknocker.judgement.comparisons import decision, getter
from carknocker.judgement.figures import SIDES
from carknocker.judgement.part_view import Decide, Getter, PartView, Terms, Test, plain_name
from carknocker.judgement.truth import UNKNOWN, opposite
from carknocker.record.model import Evidence
from carknocker.rulebook.clauses import AllOf, AnyOf, AttributePath, Clause, Comparison, Fixed, of_test
from carknocker.rulebook.model import Criterion, Rulebook

_EVERYWHERE = frozenset({"car", "move", "train"})


class CompiledComparison(msgspec.Struct, frozen=True):
    """One comparison that the `must` makes on the part itself: how to find its value, and what decides of it."""

    comparison: Comparison
    get: Getter
    decide: Decide

    def test(self, view: PartView) -> int:
        """One of the four degrees of `truth`, of what is seen."""
        return self.decide(self.get(view), view)


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
    """A criterion ready to be judged. What it needs is made when it is first asked for: under any one move most
    criteria of a large rulebook do not apply."""

    def __init__(self, criterion: Criterion, when: Clause | None, unless: Clause | None) -> None:
        self.criterion = criterion
        self.conditional = when is not None or unless is not None
        self.shop = criterion.shown_by == "accepted shop"
        self.asked_terms: Terms = (criterion.of, False, None)
        self.seen_terms: Terms = (criterion.of, self.shop, criterion.read_within)
        self._when = when
        self._unless = unless

    @made_once
    def when(self) -> Test | None:
        return None if self._when is None else clause_test(self._when)

    @made_once
    def unless(self) -> Test | None:
        return None if self._unless is None else clause_test(self._unless)

    @made_once
    def applies(self) -> Test:
        """Whether it applies: it does not where this fails; by how little it holds is no matter."""
        return all_of(tuple(test for test, _ in self._conditions))

    @made_once
    def applies_to_all(self) -> Test | None:
        """What `applies` asks of car, move and train only, so that one answer is every part's; None if nothing."""
        tests = tuple(test for test, everywhere in self._conditions if everywhere)
        return all_of(tests) if tests else None

    @made_once
    def applies_to_each(self) -> Test | None:
        """What `applies` asks besides; None if nothing."""
        tests = tuple(test for test, everywhere in self._conditions if not everywhere)
        return all_of(tests) if tests else None

    @made_once
    def _conditions(self) -> tuple[tuple[Test, bool], ...]:
        """What all must hold for it to apply, and whether that looks at car, move and train only."""
        when, unless = self._when, self._unless
        members = when.clauses if isinstance(when, AllOf) else () if when is None else (when,)
        found = [(clause_test(member), _same_everywhere(member)) for member in members]
        if unless is not None:
            found.append((_not(clause_test(unless)), _same_everywhere(unless)))
        return tuple(found)

    @made_once
    def must(self) -> Test:
        return clause_test(self.criterion.must)

    @made_once
    def decide(self) -> Callable[[PartView], tuple[int, Evidence | None]]:
        """The truth of its `must` of what is seen, and the evidence that decided, where something did."""
        if not isinstance(self.criterion.must, Comparison):
            must, leaves = self.must, self.leaves

            def decide_whole(view: PartView) -> tuple[int, Evidence | None]:
                truth = must(view)
                return truth, None if truth == UNKNOWN else deciding(leaves, view, truth)

            return decide_whole
        get, decide, name = self.leaves[0].get, self.leaves[0].decide, plain_name(self.criterion.must.path)
        if name:

            def decide_plain(view: PartView) -> tuple[int, Evidence | None]:
                value = view.values.get(name)
                return decide(value, view), None if value is None else value.evidence

            return decide_plain

        def decide_one(view: PartView) -> tuple[int, Evidence | None]:
            value = get(view)
            return decide(value, view), None if value is None else value.evidence

        return decide_one

    @made_once
    def leaves(self) -> tuple[CompiledComparison, ...]:
        """The comparisons that the `must` makes on the part itself."""
        return _compiled_comparisons(self.criterion.must)

    @made_once
    def own_attributes(self) -> tuple[str, ...]:
        """The attributes of the part itself that the `must` looks at, by name."""
        paths = [leaf.comparison.path for leaf in self.leaves]
        return tuple(sorted({path.attribute.name for path in paths if not path.owner}))

    @made_once
    def condition_leaves(self) -> tuple[CompiledComparison, ...]:
        """The comparisons that `when` and `unless` make on the part itself."""
        return _compiled_comparisons(self._when) + _compiled_comparisons(self._unless)

    @made_once
    def met_at_once(self) -> bool:
        """Whether the part meets it where its `must` holds on departure, whatever the day and whoever showed it."""
        return not self.shop and not self.dated and self.criterion.renewal is None

    @made_once
    def looks_at_part_only(self) -> bool:
        """Whether its `must` asks only for what was read or is told of the part itself."""
        must = self.criterion.must
        return not _looks_inside(must) and all(
            not path.owner and not path.attribute.derived
            for comparison in comparisons_in(must)
            for path in _paths(comparison)
        )

    @made_once
    def told_by_one_value(self) -> bool:
        """Whether its `must` is one figure or word of the part itself against a written limit: then its one comparison
        decides by the value alone, wherever that was found."""
        must = self.criterion.must
        if not isinstance(must, Comparison) or not isinstance(must.limit, Fixed) or not plain_name(must.path):
            return False
        dated = must.path.attribute.type in ("period", "test")
        return not dated and must.word in (*SIDES, "is", "is_not", "one_of", "none_of")

    @made_once
    def attributes(self) -> frozenset[str] | None:
        """The names of all attributes at which it looks, on whatever part; None where one is derived, since that rests
        on others."""
        criterion = self.criterion
        paths = [
            path
            for clause in (criterion.must, self._when, self._unless)
            for one in comparisons_in(clause)
            for path in _paths(one)
        ]
        return None if any(path.attribute.derived for path in paths) else frozenset(p.attribute.name for p in paths)

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
        """Whether it may cease to be met as time goes by: evidence ages, a paper ends. A look that its chapter ages is
        left to the host then, and no date of the owner's."""
        ages = self.criterion.read_within is not None and not self.criterion.age_of_chapter
        return ages or may_end(self.criterion.must)

    @made_once
    def may_come_under(self) -> bool:
        """Whether a part may come under the criterion during the move: an age is reached, an exemption ends."""
        return may_begin(self._when) or may_end(self._unless)

    @made_once
    def may_leave(self) -> bool:
        """Whether a part may cease to be under the criterion during the move."""
        return may_end(self._when) or may_begin(self._unless)

    def applying(self, *, when: bool = True, unless: bool = True) -> "CompiledCriterion":
        """The same criterion, its `when` or its `unless` taken as given."""
        return CompiledCriterion(self.criterion, self._when if when else None, self._unless if unless else None)


def _not(test: Test) -> Test:
    return lambda view: opposite(test(view))


def compile_comparison(comparison: Comparison) -> CompiledComparison:
    """One comparison, compiled."""
    return CompiledComparison(comparison, getter(comparison.path), decision(comparison))


def deciding(leaves: tuple[CompiledComparison, ...], view: PartView, truth: int) -> Evidence | None:
    """The evidence that decided: of the first comparison that has this truth, else of the first that has any."""
    first: Evidence | None = None
    for leaf in leaves:
        value = leaf.get(view)
        if value is None or value.evidence is None:
            continue
        if len(leaves) == 1 or leaf.decide(value, view) == truth:
            return value.evidence
        first = first or value.evidence
    return first


def _compiled_comparisons(clause: Clause | None) -> tuple[CompiledComparison, ...]:
    return tuple(compile_comparison(comparison) for comparison in comparisons_in(clause, parts_inside=False))


def compile_rulebook(rulebook: Rulebook) -> tuple[CompiledCriterion, ...]:
    """All criteria of a rulebook, compiled."""
    return tuple(compile_criterion(criterion) for criterion in rulebook.criteria)


def compile_criterion(criterion: Criterion) -> CompiledCriterion:
    """One criterion, compiled."""
    return CompiledCriterion(criterion, criterion.when, criterion.unless)


def _same_everywhere(clause: Clause) -> bool:
    """Whether a clause looks at car, move and train only, so that it is as true from every part."""
    if isinstance(clause, Comparison):
        return clause.path.owner in _EVERYWHERE and isinstance(clause.limit, Fixed)
    return isinstance(clause, (AllOf, AnyOf)) and all(_same_everywhere(member) for member in clause.clauses)


def _looks_inside(clause: Clause) -> bool:
    if isinstance(clause, (AllOf, AnyOf)):
        return any(_looks_inside(member) for member in clause.clauses)
    return not isinstance(clause, Comparison)


def _paths(comparison: Comparison) -> tuple[AttributePath, ...]:
    limit = comparison.limit
    return (comparison.path,) if isinstance(limit, Fixed) else (comparison.path, limit.path)


def _is_dated(comparison: Comparison) -> bool:
    path = comparison.path
    return comparison.word in ("within", "in_force") or path.value_attribute.type == "period" or of_test(path)
