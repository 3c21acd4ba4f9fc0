"""Wrong copies of a rule: each number moved by its smallest step, each side of a boundary flipped."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import TypeVar

from msgspec.structs import replace

from carknocker.quantities import Period, Quantity, write_quantity
from carknocker.record.values import Count, Day, Figure, Interval, Value
from carknocker.rulebook.check.boundaries import step_of
from carknocker.rulebook.clauses import AllOf, AnyOf, ByTable, Clause, Comparison, CountOf, EachOf, Fixed, Limit
from carknocker.rulebook.model import (
    Consequence,
    Criterion,
    Occasion,
    Relieves,
    Requires,
    Restriction,
    Restricts,
    Yield,
)

FLIPPED = {"over": "at_least", "at_least": "over", "under": "at_most", "at_most": "under"}
_NUMBERS = frozenset({*FLIPPED, "is", "is_not", "one_of", "none_of", "within", "before", "after"})


@dataclass(frozen=True, slots=True)
class Mutant:
    """A rule with one thing wrong in it, and what is wrong, in words."""

    rule: Criterion | Consequence
    said: str


def mutants(rule: Criterion | Consequence) -> Iterator[Mutant]:
    """Every wrong copy of a rule."""
    yield from _of_criterion(rule) if isinstance(rule, Criterion) else _of_consequence(rule)


def _of_criterion(criterion: Criterion) -> Iterator[Mutant]:
    """Of `must`, `when` and `unless`, the oldest reading that counts, the `if` of remedies, the interval of renewal,
    the speed that is left."""
    for name in ("must", "when", "unless"):
        clause = getattr(criterion, name)
        if clause is not None:
            for wrong, said in _clauses(clause):
                yield Mutant(replace(criterion, **{name: wrong}), f"{name}: {said}")
    # the age that a chapter gives all its looks is shown on some of its criteria
    shown = not criterion.age_of_chapter or any(example.ages for example in criterion.examples)
    if criterion.read_within is not None and shown:
        for days in (1, -1):
            yield Mutant(
                replace(criterion, read_within=_period(criterion.read_within, days)), f"read_within {days:+} day"
            )
    for number, remedy in enumerate(criterion.remedies):
        for wrong, said in _clauses(remedy.condition) if remedy.condition is not None else ():
            remedies = _with(criterion.remedies, number, replace(remedy, condition=wrong))
            yield Mutant(replace(criterion, remedies=remedies), f"remedy {remedy.work}: {said}")
    if criterion.renewal is not None and criterion.renewal.every is not None:
        for days in (1, -1):
            every = _period(criterion.renewal.every, days)
            if every != Period():
                yield Mutant(
                    replace(criterion, renewal=replace(criterion.renewal, every=every)), f"renewed every {days:+} day"
                )
    for restrictions, said in _restrictions(criterion.restrictions):
        yield Mutant(replace(criterion, restrictions=restrictions), said)


def _of_consequence(consequence: Consequence) -> Iterator[Mutant]:
    """Of `when`, of each cause, and of what is required, restricted, left."""
    if consequence.when is not None:
        for wrong, said in _clauses(consequence.when):
            yield Mutant(replace(consequence, when=wrong), f"when: {said}")
    for number, cause in enumerate(consequence.causes):
        for wrong, said in _clauses(cause.when) if cause.when is not None else ():
            causes = _with(consequence.causes, number, replace(cause, when=wrong))
            yield Mutant(replace(consequence, causes=causes), f"cause: {said}")
    for number, given in enumerate(consequence.yields):
        for changed, said in _yields(given):
            yield Mutant(replace(consequence, yields=_with(consequence.yields, number, changed)), said)


def _yields(given: Yield) -> Iterator[tuple[Yield, str]]:
    match given:
        case Restricts(restrictions):
            for wrong, said in _restrictions(restrictions):
                yield Restricts(wrong), said
        case Relieves():
            for wrong, said in _restrictions(given.leaves):
                yield replace(given, leaves=wrong), f"leaves {said}"
        case Requires():
            if given.within is not None:
                for days in (1, -1):
                    yield replace(given, within=_period(given.within, days)), f"within {days:+} day"
            for number, occasion in enumerate(given.every):
                for changed, said in _occasions(occasion):
                    yield replace(given, every=_with(given.every, number, changed)), f"every {said}"
            if given.within_first is not None:
                for changed, said in _occasions(given.within_first):
                    yield replace(given, within_first=changed), f"within first {said}"


def _restrictions(restrictions: tuple[Restriction, ...]) -> Iterator[tuple[tuple[Restriction, ...], str]]:
    """One mile an hour, or one hundredth of the train's speed, more and less."""
    for number, one in enumerate(restrictions):
        for name in ("quantity", "share"):
            quantity = getattr(one, name)
            for sign in (1, -1) if quantity is not None else ():
                wrong = _figure(Figure(quantity), sign)
                if wrong is not None:
                    changed = replace(one, **{name: wrong.quantity})
                    yield _with(restrictions, number, changed), f"restricts {write_quantity(quantity)} {sign:+} step"


def _occasions(occasion: Occasion) -> Iterator[tuple[Occasion, str]]:
    for sign in (1, -1):
        if occasion.period is not None:
            yield replace(occasion, period=_period(occasion.period, sign)), f"{occasion} {sign:+} day"
        elif occasion.miles is not None:
            wrong = _figure(Figure(occasion.miles), sign)
            if wrong is not None:
                yield replace(occasion, miles=wrong.quantity), f"{occasion} {sign:+} mile"


_Any = TypeVar("_Any")


def _with(all_of: tuple[_Any, ...], number: int, changed: _Any) -> tuple[_Any, ...]:
    return (*all_of[:number], changed, *all_of[number + 1 :])


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
    amount = quantity.amount + sign * step_of(quantity)
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
