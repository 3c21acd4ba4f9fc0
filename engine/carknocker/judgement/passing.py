"""Whether a clause may begin or cease to hold while the car is on its way. Evidence ages, papers end, ages are
reached; everything else is as it was on departure."""

from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, CountOf, EachOf, of_test

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
