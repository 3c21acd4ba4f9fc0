"""The examples that a limit needs: one exactly at it, and one the smallest step past it."""

from collections.abc import Iterator, Sequence

from carknocker.quantities import write_quantity
from carknocker.record.values import Count, Day, Figure, Interval, Value, Word
from carknocker.rulebook.check.numbers import is_number, just_past, on_limit
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
from carknocker.rulebook.example_model import ConsequenceExample, Example
from carknocker.rulebook.words import FIGURE_WORDS

Examples = Sequence[Example] | Sequence[ConsequenceExample]
Lacking = tuple[str, str]
"""What is missing, and what is expected instead, in words."""
_LIMITING = frozenset({*FIGURE_WORDS, "within", "before", "after"})


def boundaries(examples: Examples, clause: Clause | None) -> Iterator[Lacking]:
    """The examples that are missing for the limits in a clause."""
    if clause is None:
        return
    for kind, comparison in required(clause):
        if comparison.word in _LIMITING:
            yield from _limits(examples, kind, comparison)
    for count in _counts(clause):
        number = Count(count.number)
        given: list[Value] = [Count(_counted(example, count)) for example in examples]
        if count.word != "is":
            yield from pair(f"the count of {count.kind}", count.word, number, given, "")


def pair(name: str, word: str, limit: Value, given: Sequence[Value], words: str) -> Iterator[Lacking]:
    """What is missing of the two examples of one limit."""
    text = said(limit)
    if not any(on_limit(value, limit) for value in given):
        yield f"no example on the boundary of {name}: {text}{words}", f"an example of exactly {text}"
    if not any(just_past(value, limit, word) for value in given):
        yield (
            f"no example just past the boundary of {name}: {text}{words}",
            f"an example one smallest step past {text}, where the verdict changes",
        )


def said(limit: Value) -> str:
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
                yield from pair(name, word, value, _given(examples, kind, comparison, value), "")
    elif isinstance(limit, ByTable):
        rows = [(f" where {limit.path} is {row}", {row}, value) for row, value in limit.rows.items()]
        if limit.otherwise is not None:
            rows.append((f" where {limit.path} is none of the table", set(), limit.otherwise))
        for words, keys, value in rows:
            chosen = [example for example in examples if _in_row(example, limit.path, keys, set(limit.rows))]
            yield from pair(name, word, value, _given(chosen, kind, comparison, value), words)
    else:
        yield from _against_part(examples, kind, comparison, limit.path)


def _in_row(example: Example | ConsequenceExample, path: AttributePath, keys: set[str], rows: set[str]) -> bool:
    value = example.given.get(str(path))
    text = value.text if isinstance(value, Word) else str(value.number) if isinstance(value, Count) else None
    return text is not None and (text in keys if keys else text not in rows)


def _against_part(
    examples: Examples, kind: str, comparison: Comparison, other: AttributePath
) -> Iterator[Lacking]:  # fmt: skip
    """A limit that another attribute gives: one example where both are equal, one a step past."""
    pairs = [
        (value, limit)
        for example in examples
        if (limit := example.given.get(str(other))) is not None
        for value in _given([example], kind, comparison, limit)
    ]
    name = f"{comparison.path} against {other}"
    if not any(on_limit(value, limit) for value, limit in pairs):
        yield f"no example on the boundary of {name}", f"{comparison.path} equal to {other}"
    if not any(just_past(value, limit, comparison.word) for value, limit in pairs):
        yield f"no example just past the boundary of {name}", "one smallest step past it"


def _given(
    examples: Sequence[Example | ConsequenceExample], kind: str, comparison: Comparison, limit: Value
) -> list[Value]:
    """What the examples give for the attribute: its values, or for `within` its ages or the miles since."""
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


def _counted(example: Example | ConsequenceExample, count: CountOf) -> int:
    """How many parts of an example are counted, as far as that can be told without judging: by the words given."""
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
