"""The limits that stand in the margin of a form: the strictest with the rule's short name, others only of who else
asks."""

from collections.abc import Iterable, Mapping
from fractions import Fraction

from carknocker.forms.model import Limit
from carknocker.judgement.index import JudgementIndex
from carknocker.record.values import Count, Figure
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.rulebook.model import Criterion
from carknocker.wording.limits import requirement_words
from carknocker.wording.sources import place_words

Asked = tuple[Comparison, Criterion]
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
        for leaf in index.compiled(criterion).leaves:
            path = leaf.comparison.path
            if not path.owner and path.fact is None and leaf.comparison.word != "shown":
                found.setdefault((finding.part.key, path.attribute.name), []).append((leaf.comparison, criterion))
    return {key: tuple(own) for key, own in (advising | binding).items()}


def limits_of(asked: Iterable[Asked]) -> tuple[Limit, ...]:
    """The strictest of the limits on each side, then what others ask where they ask something else."""
    listed = list(asked)
    strict: list[Asked] = []
    for side in (_LOW, _HIGH):
        figures = [one for one in listed if one[0].word in side and _amount(one[0]) is not None]
        if not figures:
            continue
        ranked = sorted(figures, key=lambda one: _strictness(one[0], lowest=side is _HIGH))
        strict.append(ranked[0])
        layers = {ranked[0][1].layer}
        for one in ranked[1:]:
            if one[1].layer not in layers and _words(one[0]) != _words(ranked[0][0]):
                strict.append(one)
            layers.add(one[1].layer)
    for one in listed:
        if _amount(one[0]) is None or one[0].word not in _LOW | _HIGH:
            strict.append(one)
    limits: dict[str, Limit] = {}
    for comparison, criterion in strict:
        words = _words(comparison)
        amount = _amount(comparison) if comparison.word in _LOW | _HIGH else None
        told = Limit(words, place_words(criterion.source), criterion.layer, (), comparison.word, amount)
        limits.setdefault(words, told)
    return tuple(limits.values())


def _words(comparison: Comparison) -> str:
    return requirement_words(comparison)


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
