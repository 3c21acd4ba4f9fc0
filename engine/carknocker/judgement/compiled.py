"""Criteria made ready once per rulebook: plain functions, and for the commonest kind the bare numbers."""

from collections.abc import Callable
from typing import Any, Generic, TypeVar

import msgspec

from carknocker.judgement import passing
from carknocker.judgement.clause_tests import clause_test, comparisons_in
from carknocker.judgement.comparisons import comparison_test, getter
from carknocker.judgement.figures import SIDES
from carknocker.judgement.held import Held
from carknocker.judgement.sight import Getter, Test
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


class Leaf(msgspec.Struct, frozen=True):
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


class Compiled:
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
    def leaves(self) -> tuple[Leaf, ...]:
        """The comparisons that the `must` makes on the part itself."""
        must = self.criterion.must
        if isinstance(must, Comparison):
            return (Leaf(must, getter(must.path), self.must),)
        return tuple(
            Leaf(comparison, getter(comparison.path), comparison_test(comparison))
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
        return passing.may_begin(self.criterion.must)

    @made_once
    def may_lapse(self) -> bool:
        """Whether its `must` may cease to hold as time goes by: evidence ages, a paper ends."""
        return self.criterion.read_within is not None or passing.may_end(self.criterion.must)

    @made_once
    def may_come_under(self) -> bool:
        """Whether a part may come under the criterion during the move: an age is reached, an exemption ends."""
        return passing.may_begin(self._when) or passing.may_end(self._unless)

    @made_once
    def may_leave(self) -> bool:
        """Whether a part may cease to be under the criterion during the move."""
        return passing.may_end(self._when) or passing.may_begin(self._unless)

    @made_once
    def single(self) -> Single | None:
        return _single(self.criterion.must)

    def applying(self, *, when: bool = True, unless: bool = True) -> "Compiled":
        """The same criterion, its `when` or its `unless` taken as given."""
        return Compiled(self.criterion, self._when if when else None, self._unless if unless else None)


def compile_rulebook(rulebook: Rulebook) -> tuple[Compiled, ...]:
    """All criteria of a rulebook, compiled."""
    return tuple(compile_criterion(criterion) for criterion in rulebook.criteria)


def compile_criterion(criterion: Criterion) -> Compiled:
    """One criterion, compiled."""
    return Compiled(criterion, criterion.when, criterion.unless)


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
    limit = Held(must.limit.values[0], None)
    sign, strict = SIDES[must.word]
    return Single(path.attribute.name, limit.n, limit.d, sign, strict) if limit.d else None
