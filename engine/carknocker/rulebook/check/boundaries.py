"""The examples that a limit needs: one exactly at it, and one the smallest step past it."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from fractions import Fraction
from functools import cache

from carknocker.quantities import DIMENSIONS, Period, Quantity, write_quantity
from carknocker.record.values import Count, Day, Figure, Interval, Value, Word
from carknocker.rulebook.clauses import (
    AllOf,
    AnyOf,
    AttributePath,
    ByTable,
    Clause,
    Comparison,
    CountOf,
    EachOf,
    Fixed,
    required,
)
from carknocker.rulebook.limit_reader import FIGURE_WORDS
from carknocker.rulebook.model import ConsequenceExample, Example

STEPS: Mapping[str, Fraction] = {
    "length": Fraction(1, 64), "weight": Fraction(1), "pressure": Fraction(1), "temperature": Fraction(1),
    "temperature difference": Fraction(1), "speed": Fraction(1), "distance": Fraction(1), "ratio": Fraction(1, 100),
    "degree of curve": Fraction(1, 4), "volume": Fraction(1, 8), "resistance": Fraction(1000),
    "pressure per minute": Fraction(1), "tapes": Fraction(1), "minutes": Fraction(1),
    "duration": Fraction(1),
}  # fmt: skip
"""The smallest step past a limit, in the base unit: what the trade's usual tools resolve."""

# Whether the step past a limit goes up (True) or down.
_PAST_IS_ABOVE = {
    "over": True, "at_least": False, "under": False, "at_most": True, "within": True, "before": False, "after": True,
}  # fmt: skip


def is_number(value: Value) -> bool:
    """Whether the value is a figure, a period, a count or a day, which can be off by one step."""
    return isinstance(value, Figure | Count | Interval | Day)


def on_limit(value: Value, limit: Value) -> bool:
    """Whether the value is exactly the limit."""
    if isinstance(value, Interval) and isinstance(limit, Interval):
        return value.period == limit.period
    if isinstance(value, Day) and isinstance(limit, Day):
        return value.first == limit.first and value.last == limit.last
    return _amount(value) is not None and _amount(value) == _amount(limit)


def just_past(value: Value, limit: Value, word: str) -> bool:
    """Whether the value is past the limit, where the verdict changes, by no more than one step."""
    above = _PAST_IS_ABOVE[word]
    if isinstance(value, Interval) and isinstance(limit, Interval):
        return _period_past(value.period, limit.period, above)
    if isinstance(value, Day) and isinstance(limit, Day):
        days = (value.first - limit.last).days if above else (limit.first - value.last).days
        return days == 1
    found, bound = _amount(value), _amount(limit)
    if found is None or bound is None:
        return False
    distance = found - bound if above else bound - found
    return 0 < distance <= _step(limit)


def _amount(value: Value) -> Fraction | None:
    if isinstance(value, Figure):
        return value.quantity.amount
    return Fraction(value.number) if isinstance(value, Count) else None


def step_of(quantity: Quantity) -> Fraction:
    """The smallest step past a figure, in the base unit; for a distance in feet, one foot."""
    factor = DIMENSIONS[quantity.dimension].units.get(quantity.unit, Fraction(1))
    if quantity.dimension == "distance" and factor < 1:
        return Fraction(factor)
    return STEPS.get(quantity.dimension, Fraction(1))


def _step(limit: Value) -> Fraction:
    return step_of(limit.quantity) if isinstance(limit, Figure) else Fraction(1)


def _period_past(found: Period, limit: Period, above: bool) -> bool:
    """Whether a period is a day longer (or shorter) than another. Months differ in length: a day more than the shortest
    or the longest that the limit can be, or between them, is past it on some day of departure. Running the example
    shows on which."""
    shortest, longest = _days(limit)
    first, last = _days(found)
    if first != last:
        return False
    return shortest < first <= longest + 1 if above else shortest - 1 <= first < longest


@cache
def _days(period: Period) -> tuple[int, int]:
    """The fewest and the most days that a period can have."""
    starts = [date(year, month, 1) for year in range(1996, 2005) for month in range(1, 13)]
    spans = [(period.after(start) - start).days for start in starts]
    return min(spans), max(spans)


Examples = Sequence[Example] | Sequence[ConsequenceExample]
Lacking = tuple[str, str]
"""What is missing and what is expected, in words."""
_LIMITING = frozenset({*FIGURE_WORDS, "within", "before", "after"})


def boundaries(examples: Examples, clause: Clause | None) -> Iterator[Lacking]:
    """The missing examples for the limits in a clause."""
    if clause is None:
        return
    for kind, comparison in required(clause):
        if comparison.word in _LIMITING:
            yield from _limits(examples, kind, comparison)
    for count in _counts(clause):
        number = Count(count.number)
        given: list[Value] = [Count(_parts_counted(example, count)) for example in examples]
        if count.word != "is":
            yield from pair(f"the count of {count.kind}", count.word, number, given, "")


def pair(name: str, word: str, limit: Value, given: Sequence[Value], words: str) -> Iterator[Lacking]:
    """What is missing of the two examples for one limit."""
    text = limit_text(limit)
    if not any(on_limit(value, limit) for value in given):
        yield f"no example on the boundary of {name}: {text}{words}", f"an example of exactly {text}"
    if not any(just_past(value, limit, word) for value in given):
        yield (
            f"no example just past the boundary of {name}: {text}{words}",
            f"an example one smallest step past {text}, where the verdict changes",
        )


def limit_text(limit: Value) -> str:
    """A limit as it is written."""
    match limit:
        case Figure(quantity):
            return write_quantity(quantity)
        case Interval(period):
            return str(period)
        case Count(number):
            return str(number)
    return limit.written if isinstance(limit, Day) else ""


def _limits(examples: Examples, kind: str, comparison: Comparison) -> Iterator[Lacking]:
    name, word, limit = str(comparison.path), comparison.word, comparison.limit
    if isinstance(limit, Fixed):
        for value in limit.values:
            if is_number(value):
                yield from pair(name, word, value, _values_given(examples, kind, comparison, value), "")
    elif isinstance(limit, ByTable):
        rows = [(f" where {limit.path} is {row}", {row}, value) for row, value in limit.rows.items()]
        if limit.otherwise is not None:
            rows.append((f" where {limit.path} is none of the table", set(), limit.otherwise))
        for words, keys, value in rows:
            chosen = [example for example in examples if _in_row(example, limit.path, keys, set(limit.rows))]
            yield from pair(name, word, value, _values_given(chosen, kind, comparison, value), words)
    else:
        yield from _against_part(examples, kind, comparison, limit.path)


def _in_row(example: Example | ConsequenceExample, path: AttributePath, keys: set[str], rows: set[str]) -> bool:
    value = example.given.get(str(path))
    text = value.text if isinstance(value, Word) else str(value.number) if isinstance(value, Count) else None
    return text is not None and (text in keys if keys else text not in rows)


def _against_part(
    examples: Examples, kind: str, comparison: Comparison, other: AttributePath
) -> Iterator[Lacking]:  # fmt: skip
    """For a limit given by another attribute: one example where both are equal, one a step past."""
    pairs = [
        (value, limit)
        for example in examples
        if (limit := example.given.get(str(other))) is not None
        for value in _values_given([example], kind, comparison, limit)
    ]
    name = f"{comparison.path} against {other}"
    if not any(on_limit(value, limit) for value, limit in pairs):
        yield f"no example on the boundary of {name}", f"{comparison.path} equal to {other}"
    if not any(just_past(value, limit, comparison.word) for value, limit in pairs):
        yield f"no example just past the boundary of {name}", "one smallest step past it"


def _values_given(
    examples: Sequence[Example | ConsequenceExample], kind: str, comparison: Comparison, limit: Value
) -> list[Value]:
    """What the examples give for the attribute: its values, or for `within` the ages or miles."""
    name = str(comparison.path)
    if comparison.word == "within":
        if isinstance(limit, Interval):
            return [Interval(example.ages[name]) for example in examples if name in example.ages]
        return [Figure(example.miles_ago[name]) for example in examples if name in example.miles_ago]
    if kind:
        return [given[name] for example in examples for of, given in example.parts if of == kind and name in given]
    return [example.given[name] for example in examples if name in example.given]


def _counts(clause: Clause) -> Iterator[CountOf]:
    match clause:
        case CountOf():
            yield clause
        case AllOf(clauses) | AnyOf(clauses):
            for each in clauses:
                yield from _counts(each)


def _parts_counted(example: Example | ConsequenceExample, count: CountOf) -> int:
    """How many parts of an example are counted, as far as the words given show it without judging."""
    return sum(kind == count.kind and _may_meet(count.when, given) for kind, given in example.parts)


def _may_meet(clause: Clause | None, given: "dict[str, Value] | object") -> bool:
    match clause:
        case Comparison(path, "is", Fixed((Word() as word,))) if isinstance(given, dict):
            return given.get(str(path)) == word
        case AllOf(clauses):
            return all(_may_meet(each, given) for each in clauses)
        case AnyOf(clauses):
            return any(_may_meet(each, given) for each in clauses)
        case EachOf() | CountOf() | Comparison() | None:
            return True
    return True
