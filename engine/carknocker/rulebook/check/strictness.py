"""Whether a criterion that says it tightens another does: the same attributes, each limit on the stricter side."""

from collections.abc import Iterator
from fractions import Fraction

from carknocker.documents import Problem
from carknocker.quantities import write_quantity
from carknocker.record.values import Count, Figure, Interval, Value, Word
from carknocker.rulebook.clauses import ByTable, Comparison, Fixed, required
from carknocker.rulebook.model import Criterion

_LOWER = ("over", "at_least")
_UPPER = ("under", "at_most")
_OPEN = ("over", "under")
_MONTH = Fraction(36525, 1200)


def check_tightens(upper: Criterion, lower: Criterion) -> Iterator[Problem]:
    """What stands against `upper` tightening `lower`."""
    if upper.of != lower.of:
        yield _problem(upper, f"is about a {upper.of}, and tightens {lower.id}, which is about a {lower.of}",
                       f"a criterion `of: {lower.of}`")  # fmt: skip
        return
    shared = [
        (mine, theirs)
        for kind, mine in required(upper.must)
        for other, theirs in required(lower.must)
        if kind == other and str(mine.path) == str(theirs.path) and _sort(mine) == _sort(theirs) != ""
    ]
    sooner = upper.read_within is not None and lower.read_within is not None
    if not shared and not sooner:
        yield _problem(
            upper, f"tightens {lower.id} without a limit on what that limits", "the same attribute, a stricter limit",
            "leave `tightens` out if it adds a requirement",
        )  # fmt: skip
    for mine, theirs in shared:
        for value in _values(mine):
            for other in _values(theirs):
                if _looser(value, mine, other, theirs):
                    yield _problem(
                        upper, f"{mine.path}: {_said(value, mine)} is looser than {_said(other, theirs)} of {lower.id}",
                        "a stricter limit",
                        "a looser one is a relaxation: `relaxes:` in edition.yaml, with its reason",
                    )  # fmt: skip
    if upper.read_within is not None and lower.read_within is not None:
        value, other = Interval(upper.read_within), Interval(lower.read_within)
        if _amount(value) > _amount(other):
            yield _problem(upper, f"readings within {upper.read_within} are looser than the {lower.read_within} of "
                           f"{lower.id}", "a shorter period")  # fmt: skip


def _sort(comparison: Comparison) -> str:
    """Which comparisons can be compared with each other; "" for those that have no stricter side."""
    if comparison.word in _LOWER:
        return "lower"
    if comparison.word in _UPPER or comparison.word == "within":
        return "within" if comparison.word == "within" else "upper"
    return "words" if isinstance(comparison.limit, Fixed) and _passing(comparison) is not None else ""


def _passing(comparison: Comparison) -> frozenset[Value] | None:
    """The words that pass, of an attribute whose words are listed; None where they can't be listed."""
    if not isinstance(comparison.limit, Fixed):
        return None
    named = frozenset(comparison.limit.values)
    if comparison.word in ("is", "one_of"):
        return named
    attribute = comparison.path.value_attribute
    listed = ("yes", "no") if attribute.type == "yes or no" else attribute.one_of
    if comparison.word in ("is_not", "none_of") and listed:
        return frozenset(Word(word) for word in listed) - named
    return None


def _values(comparison: Comparison) -> tuple[Value | frozenset[Value], ...]:
    limit = comparison.limit
    passing = _passing(comparison)
    if passing is not None:
        return (passing,)
    if isinstance(limit, Fixed):
        return limit.values
    if isinstance(limit, ByTable):
        return (*limit.rows.values(), *((limit.otherwise,) if limit.otherwise is not None else ()))
    return ()


def _looser(
    mine: Value | frozenset[Value], word: Comparison, theirs: Value | frozenset[Value], other: Comparison
) -> bool:
    if isinstance(mine, frozenset) or isinstance(theirs, frozenset):
        return isinstance(mine, frozenset) and isinstance(theirs, frozenset) and not mine <= theirs
    if type(mine) is not type(theirs):
        return False
    difference = _amount(mine) - _amount(theirs)
    if difference == 0:
        return word.word not in _OPEN and other.word in _OPEN
    return difference < 0 if _sort(word) == "lower" else difference > 0


def _amount(value: Value) -> Fraction:
    """The size of a limit. A month of a period counts 30.44 days: it only has to order periods."""
    if isinstance(value, Figure):
        return value.quantity.amount
    if isinstance(value, Interval):
        return Fraction(value.period.days) + value.period.months * _MONTH
    return Fraction(value.number) if isinstance(value, Count) else Fraction(0)


def _said(value: Value | frozenset[Value], comparison: Comparison) -> str:
    if isinstance(value, frozenset):
        return "any of " + ", ".join(sorted(each.text for each in value if isinstance(each, Word)))
    word = comparison.word.replace("_", " ")
    match value:
        case Figure():
            return f"{word} {write_quantity(value.quantity)}"
        case Interval():
            return f"{word} {value.period}"
        case Count():
            return f"{word} {value.number}"
        case _:
            return word


def _problem(criterion: Criterion, found: str, expected: str, remedy: str = "") -> Problem:
    return Problem(criterion.where, f"{criterion.id} {found}", expected, remedy=remedy)
