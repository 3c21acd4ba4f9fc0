"""A whole clause as one function: *all of* is the least truth of its members, *any of* the greatest."""

from collections.abc import Callable, Iterator

from carknocker.judgement.comparisons import comparison_test
from carknocker.judgement.part_view import PartView, Test
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, CountOf, EachOf, Unanswered, of_test

_COUNTS: dict[str, Callable[[int, int], bool]] = {
    "over": lambda number, limit: number > limit,
    "at_least": lambda number, limit: number >= limit,
    "under": lambda number, limit: number < limit,
    "at_most": lambda number, limit: number <= limit,
    "is": lambda number, limit: number == limit,
}


def clause_test(clause: Clause) -> Test:
    """The clause as a function of a part view; the result is one of the four degrees of `truth`."""
    match clause:
        case Comparison():
            return comparison_test(clause)
        case AllOf(clauses):
            return all_of(tuple(clause_test(member) for member in clauses))
        case AnyOf(clauses):
            return _any_of(tuple(clause_test(member) for member in clauses))
        case CountOf():
            return _count(clause)
        case EachOf():
            return _each(clause)
        case Unanswered():
            return lambda view: UNKNOWN


def all_of(tests: tuple[Test, ...]) -> Test:
    """The least truth of several tests, at least one."""
    if len(tests) == 1:
        return tests[0]

    def test(view: PartView) -> int:
        least = HOLDS
        for member in tests:
            truth = member(view)
            if truth == FAILS:
                return FAILS
            if truth < least:
                least = truth
        return least

    return test


def _any_of(tests: tuple[Test, ...]) -> Test:
    def test(view: PartView) -> int:
        greatest = FAILS
        for member in tests:
            truth = member(view)
            if truth == HOLDS:
                return HOLDS
            if truth > greatest:
                greatest = truth
        return greatest

    return test


def _inside(view: PartView, kind: str) -> list[PartView]:
    return [view.at(key) for key in view.situation.standing.inside_of(view.key, kind)]


def _count(clause: CountOf) -> Test:
    """How many there are lies between those that surely meet `when` and those that may. What a record does not list
    may; where nobody knows how many there are, any number of them."""
    when = None if clause.when is None else clause_test(clause.when)
    compare = _COUNTS[clause.word]

    def test(view: PartView) -> int:
        surely = maybe = 0
        for part in _inside(view, clause.kind):
            truth = HOLDS if when is None else when(part)
            unlisted = view.situation.standing.parts[part.key].unlisted
            if truth == FAILS:
                continue
            if unlisted is not None:
                maybe += max(clause.number + 1, 1) if unlisted.missing is None else unlisted.missing
            elif truth == UNKNOWN:
                maybe += 1
            else:
                surely += 1
        answers = {compare(number, clause.number) for number in range(surely, surely + maybe + 1)}
        if len(answers) == 2:
            return UNKNOWN
        return HOLDS if answers.pop() else FAILS

    return test


def _each(clause: EachOf) -> Test:
    when = None if clause.when is None else clause_test(clause.when)
    must = clause_test(clause.must)

    def test(view: PartView) -> int:
        worst = HOLDS
        for part in _inside(view, clause.kind):
            applies = HOLDS if when is None else when(part)
            if applies == FAILS:
                continue
            truth = must(part)
            if applies == UNKNOWN and truth < NEAR:
                truth = UNKNOWN
            worst = min(worst, truth)
        return worst

    return test


def comparisons_in(clause: Clause | None, *, parts_inside: bool = True) -> Iterator[Comparison]:
    """Every comparison of a clause in the order written; with `parts_inside`, those of `count` and `each` too."""
    match clause:
        case None:
            return
        case Comparison():
            yield clause
        case AllOf(clauses) | AnyOf(clauses):
            for member in clauses:
                yield from comparisons_in(member, parts_inside=parts_inside)
        case CountOf(when=when):
            if parts_inside:
                yield from comparisons_in(when)
        case EachOf(when=when, must=must):
            if parts_inside:
                yield from comparisons_in(when)
                yield from comparisons_in(must)
        case Unanswered():
            return


_UPWARD = ("over", "at_least")
_DOWNWARD = ("under", "at_most")


def may_begin(clause: Clause | None) -> bool:
    """Whether it may fail on departure and hold on a later day of the move."""
    return _may(clause, begin=True)


def may_end(clause: Clause | None) -> bool:
    """Whether it may hold on departure and not on a later day of the move."""
    return _may(clause, begin=False)


def _may(clause: Clause | None, *, begin: bool) -> bool:
    match clause:
        case None | Unanswered():
            return False
        case Comparison():
            return _comparison_may(clause, begin)
        case AllOf(clauses) | AnyOf(clauses):
            return any(_may(member, begin=begin) for member in clauses)
        case EachOf(when=when, must=must):  # a part that no longer counts asks nothing
            return _may(must, begin=begin) or _may(when, begin=not begin)
        case CountOf(when=when, word=word):
            with_more = word not in _DOWNWARD and _may(when, begin=begin)
            with_fewer = word not in _UPWARD and _may(when, begin=not begin)
            return with_more or with_fewer


def _comparison_may(comparison: Comparison, begin: bool) -> bool:
    if comparison.word in ("within", "in_force") or of_test(comparison.path):
        return not begin
    path = comparison.path
    if path.value_attribute.type != "period" or not path.attribute.derived:
        return False
    return comparison.word not in (_DOWNWARD if begin else _UPWARD)  # an age only grows
