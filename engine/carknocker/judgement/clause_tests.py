"""A whole clause as one function: *all of* is the least truth of its members, *any of* the greatest."""

from collections.abc import Callable, Iterator

from carknocker.judgement.comparisons import comparison_test
from carknocker.judgement.sight import Sight, Test
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, CountOf, EachOf

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


def _inside(sight: Sight, kind: str) -> list[Sight]:
    return [sight.at(key) for key in sight.situation.standing.inside_of(sight.key, kind)]


def _count(clause: CountOf) -> Test:
    """How many there are lies between those that surely meet `when` and those that may."""
    when = None if clause.when is None else clause_test(clause.when)
    compare = _COUNTS[clause.word]

    def test(sight: Sight) -> int:
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

    def test(sight: Sight) -> int:
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
