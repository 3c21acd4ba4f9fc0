"""Checks criteria against each other: one that says it tightens another must be stricter in each limit, and no two may
require what one part can't meet."""

from collections.abc import Iterator, Mapping
from fractions import Fraction

import msgspec

from carknocker.documents import Problem
from carknocker.quantities import write_quantity
from carknocker.record.values import Count, Figure, Interval, Value, Word
from carknocker.rulebook.check.satisfiable import Allowed, Choice, Span, allowed, left_by_both
from carknocker.rulebook.clauses import ByTable, Comparison, Fixed, required
from carknocker.rulebook.compose import LAYERS
from carknocker.rulebook.model import Criterion, Rulebook

_LOWER = ("over", "at_least")
_UPPER = ("under", "at_most")
_OPEN = ("over", "under")
_MONTH = Fraction(36525, 1200)


def check_tightens(upper: Criterion, lower: Criterion) -> Iterator[Problem]:
    """The problems with `upper` as a tightening of `lower`."""
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
    """A key: comparisons with the same key can be compared; "" if a comparison has no stricter side."""
    if comparison.word in _LOWER:
        return "lower"
    if comparison.word in _UPPER or comparison.word == "within":
        return "within" if comparison.word == "within" else "upper"
    return "words" if isinstance(comparison.limit, Fixed) and _passing(comparison) is not None else ""


def _passing(comparison: Comparison) -> frozenset[Value] | None:
    """The words that pass, for an attribute with listed words; None if they can't be listed."""
    if not isinstance(comparison.limit, Fixed):
        return None
    named = frozenset(comparison.limit.values)
    if comparison.word in ("is", "one_of"):
        return named
    listed = comparison.path.value_attribute.words
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
    """The size of a limit. A month counts 30.44 days, which is good enough to order periods."""
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


class _CriterionLimits(msgspec.Struct, frozen=True):
    """A criterion with the values that its `when` and its `must` leave, and the sides on which it limits each
    attribute."""

    criterion: Criterion
    when: Allowed
    must: Allowed
    sides: Mapping[str, frozenset[str]]


def check_together(rulebook: Rulebook) -> Iterator[Problem]:
    """Every two criteria of a rulebook that apply to one part and can't both be met."""
    by_path: dict[tuple[str, str], list[_CriterionLimits]] = {}
    for criterion in rulebook.criteria:
        asked = _asked(criterion)
        for path in {**asked.must, **asked.sides}:
            by_path.setdefault((criterion.of, path), []).append(asked)
    for (_, path), group in by_path.items():
        for number, later in enumerate(group):
            for earlier in group[:number]:
                if _apply_together(earlier, later):
                    yield from _pair(path, earlier, later)


def _asked(criterion: Criterion) -> _CriterionLimits:
    sides: dict[str, set[str]] = {}
    for kind, comparison in required(criterion.must):
        if not kind and comparison.word in (*_LOWER, *_UPPER):
            side = "lower" if comparison.word in _LOWER else "upper"
            sides.setdefault(str(comparison.path), set()).add(side)
    return _CriterionLimits(
        criterion, allowed([criterion.when]), allowed([criterion.must]),
        {path: frozenset(own) for path, own in sides.items()},
    )  # fmt: skip


def _apply_together(one: _CriterionLimits, two: _CriterionLimits) -> bool:
    """Whether both may apply to some part, as far as can be told: an `unless` may still keep them apart."""
    if one.criterion.unless is not None or two.criterion.unless is not None:
        return False
    return not any(left_by_both(left, two.when[path]).empty for path, left in one.when.items() if path in two.when)


def _pair(path: str, one: _CriterionLimits, two: _CriterionLimits) -> Iterator[Problem]:
    first, second = one.criterion, two.criterion
    if first.effect == second.effect == "refuse" and path in one.must and path in two.must:
        left: Span | Choice = left_by_both(one.must[path], two.must[path])
        for asked in (one, two):
            if path in asked.when:
                left = left_by_both(left, asked.when[path])
        if left.empty:
            yield Problem(second.where, f"{second.id} and {first.id} contradict each other: nothing that `{path}` can "
                          f"be meets both", "two criteria that one part can meet",
                          remedy="correct the limit, or say in `when` to which parts each applies")  # fmt: skip
            return
    mine, theirs = two.sides.get(path), one.sides.get(path)
    higher = LAYERS.index(second.layer) > LAYERS.index(first.layer)
    if higher and mine is not None and theirs is not None and len(mine) == len(theirs) == 1 and mine != theirs:
        side, other = next(iter(mine)), next(iter(theirs))
        words = {"lower": "`over` or `at_least`", "upper": "`under` or `at_most`"}
        yield Problem(second.where, f"{second.id} limits `{path}` on the {side} side, {first.id} on the {other} side",
                      f"a limit on the same side: {words[other]}",
                      remedy="if both sides are meant, write both in its `must`")  # fmt: skip
