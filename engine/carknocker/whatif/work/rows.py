"""What must be read, tested or put on record after the work, in rows: parts, attribute, what it must be."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from fractions import Fraction

import msgspec

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.model import Judgement
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.record.value_words import value_words
from carknocker.record.values import Figure, Interval
from carknocker.rulebook.clauses import Comparison, Fixed
from carknocker.rulebook.model import Criterion, Requires, Source
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.whatif.work.model import AssumedEvidence
from carknocker.wording.limits import requirement_words
from carknocker.wording.parts import joined_labels


class Row(msgspec.Struct, frozen=True):
    """One assumed value. must: what it must be, in words. rules: id → source of those that need it. not_before: if
    taken earlier, it would be too old at the end of the move."""

    part: str
    attribute: Attribute
    label: str
    must: str
    rules: Mapping[str, Source]
    not_before: date | None


def row_of(assumed: AssumedEvidence, judgement: Judgement) -> Row:
    """The row of one assumed value."""
    evidence = assumed.evidence
    part = judgement.parts[evidence.part]
    attribute = load_vocabulary().kinds[part.kind].attributes[evidence.attribute]
    criteria = {one.id: one for one in judgement.rulebook.criteria}
    consequences = {one.id: one for one in judgement.rulebook.consequences}
    must: list[Comparison] = []
    rules: dict[str, Source] = {}
    bounds: list[date] = []
    for name in assumed.needs:
        if name in criteria:
            criterion = criteria[name]
            rules[name] = criterion.source
            for comparison in comparisons_in(criterion.must):
                path = comparison.path
                if path.attribute.name == attribute.name and path.fact is None and comparison.word != "shown":
                    must.append(comparison)
            bounds.extend(_bounds(criterion, evidence.part, attribute, judgement))
        elif name in consequences:
            rules[name] = consequences[name].source
            for produced in consequences[name].yields:
                if isinstance(produced, Requires) and produced.within is not None:
                    bounds.append(produced.within.before(judgement.move.out))
    words = ""
    if attribute.type not in ("test", "paper"):
        words = " and ".join(dict.fromkeys(map(requirement_words, strictest(must))))
    if attribute.type == "tapes" and not assumed.needs:  # found for a wheelset to be bought: other values may pass too
        words = f"such as {value_words(evidence.value)}"
    return Row(evidence.part, attribute, part.label, words, rules, max(bounds, default=None))


_LOWER, _UPPER = ("over", "at_least"), ("under", "at_most")
"""Words of a limit; of two at one figure the first is the stricter."""


def strictest(comparisons: Sequence[Comparison]) -> list[Comparison]:
    """The comparisons of one attribute, of several lower limits in figures the highest, of several upper ones the
    lowest."""
    limits = {number: figure for number, one in enumerate(comparisons) if (figure := _figure(one)) is not None}
    kept = {
        max(own, key=lambda number: (sign * limits[number], -words.index(comparisons[number].word)))
        for words, sign in ((_LOWER, 1), (_UPPER, -1))
        if (own := [number for number in limits if comparisons[number].word in words])
    }
    left = [one for number, one in enumerate(comparisons) if number not in limits or number in kept]
    return sorted(left, key=lambda one: one.word in _UPPER)


def _figure(comparison: Comparison) -> Fraction | None:
    """The figure of a limit that is one figure; None for any other."""
    limit = comparison.limit
    if comparison.word not in (*_LOWER, *_UPPER) or not isinstance(limit, Fixed) or len(limit.values) != 1:
        return None
    (value,) = limit.values
    return value.quantity.amount if isinstance(value, Figure) else None


def _bounds(criterion: Criterion, key: str, attribute: Attribute, judgement: Judgement) -> Iterable[date]:
    """The first days on which evidence is young enough for this criterion at the end of the move."""
    move = judgement.move
    last = move.out if criterion.renewal is not None else move.back
    if criterion.read_within is not None:
        yield criterion.read_within.before(last)
    for comparison in comparisons_in(criterion.must):
        if comparison.word == "within" and comparison.path.attribute.name == attribute.name:
            for period in _periods(comparison, key, judgement):
                yield period.period.before(last)


def _periods(comparison: Comparison, key: str, judgement: Judgement) -> list[Interval]:
    if isinstance(comparison.limit, Fixed):
        return [value for value in comparison.limit.values if isinstance(value, Interval)]
    if key not in judgement.situation.values:
        return []
    situation = judgement.situation
    held = limit_getter(comparison)(PartView(situation, key, situation.values_of(key), judgement.move.out))
    return [held.value] if held is not None and isinstance(held.value, Interval) else []


class Detail(msgspec.Struct, frozen=True):
    """A line, headed by what it is about."""

    about: str
    words: str

    def __str__(self) -> str:
        return f"{self.about}: {self.words}"


def lines_of(rows: Iterable[Row]) -> tuple[Detail, ...]:
    """The rows as lines, equal ones merged: `wheels L1, R1: flange thickness: over 7/8 in`."""
    by_part: dict[tuple[str, str], list[str]] = {}
    for row in rows:
        by_part.setdefault((row.attribute.label, row.must), []).append(row.label)
    by_labels: dict[str, list[str]] = {}
    for (label, must), parts in by_part.items():
        by_labels.setdefault(joined_labels(parts), []).append(f"{label}: {must or 'read it'}")
    return tuple(Detail(labels, "; ".join(words)) for labels, words in by_labels.items())
