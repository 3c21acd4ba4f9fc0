"""Whether a criterion has the examples that it needs. Running them is another matter: that takes the judgement."""

from collections.abc import Iterator

from carknocker.documents import Problem
from carknocker.quantities import Period
from carknocker.record.values import Interval, Value
from carknocker.rulebook.check.boundaries import Lacking, boundaries, pair
from carknocker.rulebook.check.restriction_examples import has_speed
from carknocker.rulebook.clauses import required
from carknocker.rulebook.model import Criterion, Remedy

_SHOWN_ONLY = frozenset({"shown", "in_force"})


def check_examples(criterion: Criterion) -> Iterator[Problem]:
    """Missing: one met, one breached, and for each limit its exact boundary and the smallest step past it."""
    for found, expected in _lacking(criterion):
        yield Problem(criterion.where, f"{criterion.id}: {found}", expected)


def _lacking(criterion: Criterion) -> Iterator[Lacking]:
    if criterion.examples:
        yield from _verdicts(criterion)
    else:
        yield "no examples", "at least one that is met and one that is breached"
    for clause in (criterion.must, criterion.when, criterion.unless):
        yield from boundaries(criterion.examples, clause)
    if criterion.read_within is not None:
        ages: list[Value] = [Interval(age) for example in criterion.examples for age in example.ages.values()]
        yield from pair("read_within", "within", Interval(criterion.read_within), ages, "")
    for remedy in criterion.remedies:
        yield from _remedy(criterion, remedy)
    if criterion.renewal is not None and criterion.renewal.every is not None:
        yield from _renewal(criterion, criterion.renewal.every)
    if has_speed(criterion.restrictions):
        yield from _speed(criterion)


def _verdicts(criterion: Criterion) -> Iterator[Lacking]:
    words = {comparison.word for _, comparison in required(criterion.must)}
    verdicts = {example.verdict for example in criterion.examples}
    if "met" not in verdicts:
        yield "no example that is met", "an example with `is: met`"
    # What need only be shown can't be breached by a reading.
    unmet = {"breached", "not shown", "lapses"} if words and words <= _SHOWN_ONLY else {"breached"}
    if not verdicts & unmet:
        yield "no example that is breached", "an example with `is: breached`"


def _remedy(criterion: Criterion, remedy: Remedy) -> Iterator[Lacking]:
    """The figures of a remedy's `if` want examples that say which work clears it."""
    telling = [example for example in criterion.examples if example.clears is not None]
    for found, expected in boundaries(telling, remedy.condition):
        yield f"{found} (remedy: {remedy.work})", f"{expected}, with `clears: [work that can clear it]`"


def _renewal(criterion: Criterion, every: Period) -> Iterator[Lacking]:
    """An interval on the road wants a move that ends when it is up, and one that ends a day later."""
    days: list[Value] = [
        Interval(Period(example.move_lasts.days + age.days, example.move_lasts.months + age.months))
        for example in criterion.examples
        if example.times is not None
        for age in (tuple(example.ages.values()) or (Period(),))
    ]
    for found, expected in pair("renewed.every", "within", Interval(every), days, ""):
        yield found, f"{expected}, with `move_lasts` and `times`"


def _speed(criterion: Criterion) -> Iterator[Lacking]:
    if all(example.capped_at is None for example in criterion.examples):
        yield "no example that says which speed is left", "an example with `capped_at`"
