"""Figures as faults have them: what was found, its limit, what it must be; and what parts share."""

from collections.abc import Sequence

from carknocker.documents import listed
from carknocker.judgement.dates import day_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.shortfall import Compared
from carknocker.quantities.writing import write_quantity
from carknocker.record.model import Part
from carknocker.record.value_words import value_words
from carknocker.record.values import Bound
from carknocker.rulebook.clauses import (
    AllOf,
    AttributePath,
    Clause,
    Comparison,
    Fixed,
    of_test,
)
from carknocker.wording.parts import named


def called(path: AttributePath) -> str:
    """An attribute behind the part that its line is about: `height over rail (car)`, `form (annual inspection)`."""
    label, owner = path.attribute.label, path.owner
    if path.fact is not None:
        label = f"{path.fact.label} of the {label}"
    return label if owner in ("", "fact") or f" {owner}" in f" {label}" else f"{label} ({owner})"


def found_words(one: Compared, side: str) -> str:
    """What was found. side: the words for a gauge that tells only on which side of its figure it is."""
    value, word = one.value, one.comparison.word
    if value is None:
        return "not measured"
    if word == "in_force":
        until = None if value.evidence is None else value.evidence.until
        return "without a last day" if until is None else until.isoformat()
    if word in ("within", "before", "after") or of_test(one.comparison.path):
        day = day_of(value)
        return value_words(value.value) if day is None else day.written
    if isinstance(value.value, Bound):
        return _bound(value.value, side, one.comparison.path.attribute.below_zero)
    return value_words(value.value, one.comparison.path.attribute.below_zero)


def _bound(bound: Bound, side: str, below_zero: str) -> str:
    low, high = bound.low, bound.high
    if low is not None and high is not None:
        return value_words(bound, below_zero)
    if high is not None:
        return f"under {write_quantity(high)}" if bound.high_open else f"{write_quantity(high)} or {side or 'less'}"
    if low is not None:
        return f"over {write_quantity(low)}" if bound.low_open else f"{write_quantity(low)} or {side or 'more'}"
    return value_words(bound)


def limit_words(one: Compared) -> str:
    limit = one.comparison.limit
    if isinstance(limit, Fixed):
        return listed(map(value_words, limit.values), "or")
    return "not on record" if one.limit is None else value_words(one.limit.value)


SIDE_WORDS = {"over": "over", "at_least": "at least", "under": "under", "at_most": "at most"}


def must_words(one: Compared, seen: Sequence[Compared], must: Clause) -> str:
    """What the attribute of a comparison must be, in figures or in words; empty where the fault says it by itself."""
    if not (isinstance(must, Comparison) or (isinstance(must, AllOf) and one.comparison in must.clauses)):
        return ""
    path = str(one.comparison.path)
    own = [each for each in seen if str(each.comparison.path) == path and each.comparison.word in SIDE_WORDS]
    if one.comparison.word in SIDE_WORDS:
        known = [each for each in own if isinstance(each.comparison.limit, Fixed) or each.limit is not None]
        limits = [(each.comparison.word, limit_words(each)) for each in known or own]
        if [word for word, _ in limits] == ["at_least", "at_most"]:
            return f"{limits[0][1]} to {limits[1][1]}"
        sides = {_side(word, text) for word, text in limits}
        if len(sides) < len(limits) or len(limits) > len({word for word, _ in limits}):
            return ""  # two limits on one side: which counts depends on the part, and the fault says it in words
        return " and ".join(_side(word, text) for word, text in limits)
    if one.comparison.word in ("is", "one_of"):
        text = limit_words(one)
        return "" if text in ("yes", "no") else "none" if text.startswith("0 ") else text
    return ""


def _side(word: str, limit: str) -> str:
    number = limit.split(" ")[0]
    if word == "at_least" and limit == "100 %":
        return limit
    return "none" if word == "at_most" and number == "0" else f"{SIDE_WORDS[word]} {limit}"


def merged(each: Sequence[tuple[Part, str]], index: JudgementIndex) -> str:
    """A text that all parts share; where they differ, every text with the parts that it is of."""
    by_text: dict[str, list[Part]] = {}
    for part, text in each:
        by_text.setdefault(text, []).append(part)
    if len(by_text) == 1:
        return next(iter(by_text))
    return ", ".join(f"{text} ({short_names(parts, index)})" for text, parts in by_text.items() if text)


def short_names(parts: Sequence[Part], index: JudgementIndex) -> str:
    """Parts by their positions alone where they are of one kind and each has one."""
    if len({part.kind for part in parts}) == 1 and all(part.position for part in parts):
        words = named(parts, index)
        return words if len(parts) > 1 and not words.count(" ") else words.split(" ", words.count(" ") and 1)[-1]
    return named(parts, index)
