"""Whether a criterion has the examples that it needs. Running them is another matter: that takes the judgement."""

from collections.abc import Iterator

from carknocker.documents import Problem
from carknocker.quantities import write_quantity
from carknocker.record.values import Count, Figure, Interval, Value, Word
from carknocker.rulebook.check.numbers import just_past, on_limit
from carknocker.rulebook.check.walk import required
from carknocker.rulebook.clauses import AttributePath, ByTable, Comparison, Fixed
from carknocker.rulebook.model import Criterion, Example
from carknocker.rulebook.words import FIGURE_WORDS

_SHOWN_ONLY = frozenset({"shown", "in_force"})


def check_examples(criterion: Criterion) -> Iterator[Problem]:
    """Missing: one met, one breached, and for each limit its exact boundary and the smallest step past it."""
    asked = list(required(criterion.must))
    if criterion.examples:
        yield from _verdicts(criterion, {comparison.word for _, comparison in asked})
    else:
        yield _missing(criterion, "no examples", "at least one that is met and one that is breached")
    for kind, comparison in asked:
        yield from _limits(criterion, kind, comparison)
    if criterion.read_within is not None:
        ages: list[Value] = [Interval(age) for example in criterion.examples for age in example.ages.values()]
        limit = Interval(criterion.read_within)
        yield from _pair(criterion, "read_within", "within", limit, ages, "")


def _verdicts(criterion: Criterion, words: set[str]) -> Iterator[Problem]:
    verdicts = {example.verdict for example in criterion.examples}
    if "met" not in verdicts:
        yield _missing(criterion, "no example that is met", "an example with `is: met`")
    # What need only be shown can't be breached by a reading.
    unmet = {"breached", "not shown", "lapses"} if words and words <= _SHOWN_ONLY else {"breached"}
    if not verdicts & unmet:
        yield _missing(criterion, "no example that is breached", "an example with `is: breached`")


def _limits(criterion: Criterion, kind: str, comparison: Comparison) -> Iterator[Problem]:
    if comparison.word not in FIGURE_WORDS and comparison.word != "within":
        return
    name, word, limit = str(comparison.path), comparison.word, comparison.limit
    if isinstance(limit, Fixed):
        for value in limit.values:
            given = _given(criterion.examples, kind, comparison, value)
            yield from _pair(criterion, name, word, value, given, "")
    elif isinstance(limit, ByTable):
        rows = [(f" where {limit.path} is {row}", {row}, value) for row, value in limit.rows.items()]
        if limit.otherwise is not None:
            rows.append((f" where {limit.path} is none of the table", set(), limit.otherwise))
        for words, keys, value in rows:
            chosen = tuple(
                example for example in criterion.examples if _in_row(example, limit.path, keys, set(limit.rows))
            )
            yield from _pair(criterion, name, word, value, _given(chosen, kind, comparison, value), words)
    else:
        yield from _against_part(criterion, kind, comparison, limit.path)


def _in_row(example: Example, path: AttributePath, keys: set[str], rows: set[str]) -> bool:
    value = example.given.get(str(path))
    text = value.text if isinstance(value, Word) else str(value.number) if isinstance(value, Count) else None
    return text is not None and (text in keys if keys else text not in rows)


def _against_part(
    criterion: Criterion, kind: str, comparison: Comparison, other: AttributePath
) -> Iterator[Problem]:  # fmt: skip
    """A limit that another attribute gives: one example where both are equal, one a step past."""
    pairs = [
        (value, limit)
        for example in criterion.examples
        if (limit := example.given.get(str(other))) is not None
        for value in _given((example,), kind, comparison, limit)
    ]
    name = f"{comparison.path} against {other}"
    if not any(on_limit(value, limit) for value, limit in pairs):
        yield _missing(criterion, f"no example on the boundary of {name}", f"{comparison.path} equal to {other}")
    if not any(just_past(value, limit, comparison.word) for value, limit in pairs):
        yield _missing(criterion, f"no example just past the boundary of {name}", "one smallest step past it")


def _given(examples: tuple[Example, ...], kind: str, comparison: Comparison, limit: Value) -> list[Value]:
    """What the examples give for the attribute: its values, or for `within` its ages or the miles since."""
    name = str(comparison.path)
    if comparison.word == "within":
        if isinstance(limit, Interval):
            return [Interval(example.ages[name]) for example in examples if name in example.ages]
        return [Figure(example.miles_ago[name]) for example in examples if name in example.miles_ago]
    if kind:
        return [given[name] for example in examples for of, given in example.parts if of == kind and name in given]
    return [example.given[name] for example in examples if name in example.given]


def _pair(
    criterion: Criterion, name: str, word: str, limit: Value, given: list[Value], words: str
) -> Iterator[Problem]:
    said = _said(limit)
    if not any(on_limit(value, limit) for value in given):
        yield _missing(
            criterion, f"no example on the boundary of {name}: {said}{words}", f"an example of exactly {said}"
        )
    if not any(just_past(value, limit, word) for value in given):
        yield _missing(
            criterion, f"no example just past the boundary of {name}: {said}{words}",
            f"an example one smallest step past {said}, where the verdict changes",
        )  # fmt: skip


def _said(limit: Value) -> str:
    if isinstance(limit, Figure):
        return write_quantity(limit.quantity)
    return str(limit.period) if isinstance(limit, Interval) else str(limit.number) if isinstance(limit, Count) else ""


def _missing(criterion: Criterion, found: str, expected: str) -> Problem:
    return Problem(criterion.where, f"{criterion.id}: {found}", expected)
