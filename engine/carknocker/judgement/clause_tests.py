"""A whole clause as one function: *all of* is the least truth of its members, *any of* the greatest."""

from collections.abc import Callable, Iterator

from carknocker.judgement.comparisons import comparison_test
from carknocker.judgement.part_view import PartView, Test
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, CountOf, EachOf, of_test

_COUNTS: dict[str, Callable[[int, int], bool]] = {
    "over": lambda number, limit: number > limit,
    "at_least": lambda number, limit: number >= limit,
    "under": lambda number, limit: number < limit,
    "at_most": lambda number, limit: number <= limit,
    "is": lambda number, limit: number == limit,
}


def clause_test(clause: Clause) -> Test:
    """The clause as a function of a sight; the result is one of the four degrees of `truth`."""
    match clause:
        case Comparison():
            return comparison_test(clause)
        case AllOf(clauses):
            tests = tuple(clause_test(member) for member in clauses)
            return tests[0] if len(tests) == 1 else lambda sight: min(test(sight) for test in tests)
        case AnyOf(clauses):
            tests = tuple(clause_test(member) for member in clauses)
            return lambda sight: max(test(sight) for test in tests)
        case CountOf():
            return _count(clause)
        case EachOf():
            return _each(clause)


def _inside(sight: PartView, kind: str) -> list[PartView]:
    return [sight.at(key) for key in sight.situation.standing.inside_of(sight.key, kind)]


def _count(clause: CountOf) -> Test:
    """How many there are lies between those that surely meet `when` and those that may."""
    when = None if clause.when is None else clause_test(clause.when)
    compare = _COUNTS[clause.word]

    def test(sight: PartView) -> int:
        truths = [HOLDS if when is None else when(part) for part in _inside(sight, clause.kind)]
        surely = sum(truth >= NEAR for truth in truths)
        answers = {compare(number, clause.number) for number in range(surely, surely + truths.count(UNKNOWN) + 1)}
        if len(answers) == 2:
            return UNKNOWN
        return HOLDS if answers.pop() else FAILS

    return test


def _each(clause: EachOf) -> Test:
    when = None if clause.when is None else clause_test(clause.when)
    must = clause_test(clause.must)

    def test(sight: PartView) -> int:
        worst = HOLDS
        for part in _inside(sight, clause.kind):
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
        case None:
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
