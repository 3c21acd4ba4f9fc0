"""Wrong copies of a criterion: each number moved by its smallest step, each side of a boundary flipped."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta

from msgspec.structs import replace

from carknocker.quantities import Period, Quantity, write_quantity
from carknocker.record.values import Count, Day, Figure, Interval, Value
from carknocker.rulebook.check.numbers import STEPS
from carknocker.rulebook.clauses import AllOf, AnyOf, ByTable, Clause, Comparison, CountOf, EachOf, Fixed, Limit
from carknocker.rulebook.model import Criterion

FLIPPED = {"over": "at_least", "at_least": "over", "under": "at_most", "at_most": "under"}
_NUMBERS = frozenset({*FLIPPED, "is", "is_not", "one_of", "none_of", "within", "before", "after"})


@dataclass(frozen=True, slots=True)
class Mutant:
    """A criterion with one thing wrong in it, and what is wrong, in words."""

    criterion: Criterion
    said: str


def mutants(criterion: Criterion) -> Iterator[Mutant]:
    """Every wrong copy: of `must`, `when` and `unless`, and of the oldest reading that counts."""
    for name in ("must", "when", "unless"):
        clause = getattr(criterion, name)
        if clause is not None:
            for wrong, said in _clauses(clause):
                yield Mutant(replace(criterion, **{name: wrong}), f"{name}: {said}")
    if criterion.read_within is not None:
        for days in (1, -1):
            yield Mutant(
                replace(criterion, read_within=_period(criterion.read_within, days)), f"read_within {days:+} day"
            )


def _clauses(clause: Clause) -> Iterator[tuple[Clause, str]]:
    match clause:
        case Comparison():
            yield from _comparisons(clause)
        case AllOf(members) | AnyOf(members):
            for number, member in enumerate(members):
                for wrong, said in _clauses(member):
                    yield replace(clause, clauses=(*members[:number], wrong, *members[number + 1 :])), said
        case CountOf():
            for step in (1, -1):
                if clause.number + step >= 0:
                    yield replace(clause, number=clause.number + step), f"count of {clause.kind} {step:+}"
            if clause.word in FLIPPED:
                yield replace(clause, word=FLIPPED[clause.word]), f"count of {clause.kind} {FLIPPED[clause.word]}"
            if clause.when is not None:
                for wrong, said in _clauses(clause.when):
                    yield replace(clause, when=wrong), f"counted where {said}"
        case EachOf():
            for wrong, said in _clauses(clause.must):
                yield replace(clause, must=wrong), f"each {said}"


def _comparisons(comparison: Comparison) -> Iterator[tuple[Clause, str]]:
    name = f"{comparison.path} {comparison.word}"
    if comparison.word in _NUMBERS:
        for limit, said in _limits(comparison.limit):
            yield replace(comparison, limit=limit), f"{name} {said}"
    if comparison.word in FLIPPED:
        yield replace(comparison, word=FLIPPED[comparison.word]), f"{name} → {FLIPPED[comparison.word]}"  # type: ignore[arg-type]


def _limits(limit: Limit) -> Iterator[tuple[Limit, str]]:
    match limit:
        case Fixed(values):
            for number, value in enumerate(values):
                for wrong, said in _values(value):
                    yield Fixed((*values[:number], wrong, *values[number + 1 :])), said
        case ByTable(_, rows, otherwise):
            for row, value in rows.items():
                for wrong, said in _values(value):
                    yield replace(limit, rows={**rows, row: wrong}), f"{said} where {row}"
            if otherwise is not None:
                for wrong, said in _values(otherwise):
                    yield replace(limit, otherwise=wrong), f"{said} otherwise"


def _values(value: Value) -> Iterator[tuple[Value, str]]:
    """The value a smallest step up and down. What is no number, or would fall under nothing, has none."""
    for sign in (1, -1):
        wrong = _STEPPED[type(value)](value, sign) if type(value) in _STEPPED else None
        if wrong is not None:
            yield wrong, f"{_said(value)} {'+' if sign > 0 else '-'} one step"


def _said(value: Value) -> str:
    match value:
        case Figure(quantity):
            return write_quantity(quantity)
        case Interval(period):
            return str(period)
        case Count(number):
            return str(number)
    return value.written if isinstance(value, Day) else ""


def _figure(value: Figure, sign: int) -> Figure | None:
    quantity = value.quantity
    amount = quantity.amount + sign * STEPS[quantity.dimension]
    if amount < 0:
        return None
    return Figure(Quantity(quantity.dimension, amount.numerator, amount.denominator, quantity.unit))


def _count(value: Count, sign: int) -> Count | None:
    return Count(value.number + sign) if value.number + sign >= 0 else None


def _interval(value: Interval, sign: int) -> Interval:
    return Interval(_period(value.period, sign))


def _day(value: Day, sign: int) -> Day:
    step = timedelta(days=sign)
    return Day(value.first + step, value.last + step, value.written)


def _period(period: Period, days: int) -> Period:
    return Period(period.days + days, period.months)


_STEPPED: dict[type[Value], Callable[..., Value | None]] = {
    Figure: _figure, Count: _count, Interval: _interval, Day: _day,
}  # fmt: skip
