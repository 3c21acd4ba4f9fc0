"""The limits that stand in the margin of a form: the strictest with the rule's short name, others only of who else
asks."""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import NamedTuple

from msgspec.structs import replace

from carknocker.forms.conditions import Case, any_case_words, only_if
from carknocker.forms.model import Limit
from carknocker.judgement.index import JudgementIndex
from carknocker.record.values import Count, Figure
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.rulebook.model import Criterion
from carknocker.wording.limits import requirement_words
from carknocker.wording.sources import cite


class Asked(NamedTuple):
    """A comparison that a criterion makes. only_if: what has to be so for it to apply, where nobody knows that."""

    comparison: Comparison
    criterion: Criterion
    only_if: Case = ()


_LOW = frozenset(("at_least", "over"))
_HIGH = frozenset(("at_most", "under"))


def asked_of(index: JudgementIndex) -> Mapping[tuple[str, str], tuple[Asked, ...]]:
    """What the criteria that apply, or may apply, ask of each attribute of each part itself. What only advises is left
    out where anything binds."""
    binding: dict[tuple[str, str], list[Asked]] = {}
    advising: dict[tuple[str, str], list[Asked]] = {}
    for finding in index.judgement.findings:
        if finding.verdict == "not applicable":
            continue
        criterion = finding.criterion
        found = advising if finding.effect == "advise" else binding
        conditions = only_if(finding, index) if finding.unmet else ()
        for leaf in index.compiled(criterion).leaves:
            path = leaf.comparison.path
            if not path.owner and path.fact is None and leaf.comparison.word != "shown":
                asked = Asked(leaf.comparison, criterion, conditions)
                found.setdefault((finding.part.key, path.attribute.name), []).append(asked)
    return {key: tuple(own) for key, own in (advising | binding).items()}


def limits_of(asked: Iterable[Asked], host: str) -> tuple[Limit, ...]:
    """The strictest of the limits on each side, then what others ask where they ask something else; of those that are
    asked only if something is so, the same for each such case. host: of the move, whom a form names at its head: the
    places of his own rules need not."""
    listed = list(asked)
    strict: list[Asked] = []
    for case in dict.fromkeys(one.only_if for one in listed):
        for side in (_LOW, _HIGH):
            strict += _strictest([one for one in listed if one.only_if == case and one.comparison.word in side], side)
    for one in listed:
        if _amount(one.comparison) is None or one.comparison.word not in _LOW | _HIGH:
            strict.append(one)
    limits: dict[str, Limit] = {}
    cases: dict[str, list[Case]] = {}
    for comparison, criterion, case in strict:
        words = requirement_words(comparison)
        amount = _amount(comparison) if comparison.word in _LOW | _HIGH else None
        told = Limit(words, cite([criterion.source], host), criterion.layer, (), comparison.word, amount)
        if words not in limits or (not case and all(cases[words])):
            limits[words] = told  # the source of what is asked in any case
        cases.setdefault(words, []).append(case)
    return tuple(replace(one, only_if=any_case_words(cases[words])) for words, one in limits.items())


def _strictest(asked: list[Asked], side: frozenset[str]) -> list[Asked]:
    """The strictest limit on one side, then those of who else asks, where they ask something else."""
    figures = [one for one in asked if _amount(one.comparison) is not None]
    if not figures:
        return []
    ranked = sorted(figures, key=lambda one: _strictness(one.comparison, lowest=side is _HIGH))
    first = ranked[0]
    found, layers = [first], {first.criterion.layer}
    for one in ranked[1:]:
        other = requirement_words(one.comparison) != requirement_words(first.comparison)
        if one.criterion.layer not in layers and other:
            found.append(one)
        layers.add(one.criterion.layer)
    return found


def _amount(comparison: Comparison) -> Fraction | None:
    """The figure of a limit; None where it is none, or depends on another part."""
    limit = comparison.limit
    if not isinstance(limit, Fixed) or len(limit.values) != 1:
        return None
    value = limit.values[0]
    if isinstance(value, Figure):
        return Fraction(value.quantity.amount)
    return Fraction(value.number) if isinstance(value, Count) else None


def _strictness(comparison: Comparison, *, lowest: bool) -> tuple[Fraction, bool]:
    """Sorts the strictest limit first; of two alike the one that does not pass exactly."""
    amount = _amount(comparison) or Fraction(0)
    return amount if lowest else -amount, comparison.word not in ("over", "under")
