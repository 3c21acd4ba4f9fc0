"""What of a rulebook a date of the move can decide, and what of that only ages."""

from collections.abc import Iterable, Iterator

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.criteria import CompiledCriterion
from carknocker.rulebook.clauses import Clause, Comparison, of_test
from carknocker.rulebook.model import Rulebook

_DATED = frozenset({"within", "in_force", "before", "after"})
_AGEING = frozenset({"within", "in_force"})


def decided_by_dates(one: CompiledCriterion) -> bool:
    """Whether the verdict of a criterion can depend on the day of departure or return."""
    criterion = one.criterion
    clauses = (criterion.when, criterion.unless, criterion.must)
    return criterion.read_within is not None or any(True for clause in clauses for _ in dated_in(clause))


def only_ages(one: CompiledCriterion, *, papers_begin_later: bool) -> bool:
    """Whether the verdict of a dated criterion, once it has changed with a later departure, never comes back.

    So it is where evidence does nothing but grow old: readings that are accepted for so long, intervals, papers that
    end. Not where a clause may begin to hold, where two kinds of growing old work against each other, where the parts
    that still hold are counted, or where a paper is at hand that is in force only later.
    """
    criterion = one.criterion
    if one.may_begin or any(True for clause in (criterion.when, criterion.unless) for _ in dated_in(clause)):
        return False
    inside = list(dated_in(criterion.must))
    own = [each for each in comparisons_in(criterion.must, parts_inside=False) if _is_dated(each)]
    if len(inside) != len(own) or (own and criterion.read_within is not None):
        return False
    return all(
        (each.word in _AGEING or of_test(each.path))
        and not each.path.beside
        and not (papers_begin_later and each.word == "in_force")
        for each in own
    )


def dated_conditions(rulebook: Rulebook) -> tuple[Comparison, ...]:
    """The dated comparisons in the conditions of consequences and in the states that cause them."""
    clauses: list[Clause | None] = []
    for consequence in rulebook.consequences:
        clauses.append(consequence.when)
        clauses.extend(cause.when for cause in consequence.causes)
    return tuple(each for clause in clauses for each in dated_in(clause))


def dated_in(clause: Clause | None) -> Iterator[Comparison]:
    """The comparisons of a clause, those of parts inside too, that look at a date, an age or a period."""
    return (each for each in comparisons_in(clause) if _is_dated(each))


def _is_dated(comparison: Comparison) -> bool:
    path = comparison.path
    dated = comparison.word in _DATED or path.value_attribute.type in ("date", "period") or of_test(path)
    return dated or _any_dated(path.beside)


def _any_dated(comparisons: Iterable[Comparison]) -> bool:
    return any(_is_dated(each) for each in comparisons)
