"""Checks that criteria and consequences have the worked examples that their figures need. Whether the examples come out
right is not checked here: that takes the judgement."""

from collections.abc import Iterable, Iterator, Sequence

from carknocker.documents import Problem
from carknocker.quantities import Period
from carknocker.record.values import Figure, Interval, Value
from carknocker.rulebook.check.boundaries import Lacking, boundaries, pair
from carknocker.rulebook.clauses import Unanswered, required
from carknocker.rulebook.model import (
    Consequence,
    ConsequenceExample,
    Criterion,
    Occasion,
    Relieves,
    Remedy,
    Requires,
    Restriction,
    Restricts,
    Yield,
)

TRAIN_SPEED = "train.speed"
ALLOWABLE_SPEED = "train.maximum_allowable_speed"


def has_speed(restrictions: Iterable[Restriction]) -> bool:
    return any(restriction.sort == "speed" for restriction in restrictions)


def speed_boundaries(
    examples: Sequence[ConsequenceExample], restrictions: Iterable[Restriction]
) -> Iterator[Lacking]:  # fmt: skip
    """What is missing: for a speed, a train that may run at it and one just too fast; for a share, the speed that is
    left."""
    trains: list[Value] = [example.given[TRAIN_SPEED] for example in examples if TRAIN_SPEED in example.given]
    for restriction in restrictions:
        if restriction.quantity is not None:
            for found, expected in pair("the speed", "at_most", Figure(restriction.quantity), trains, ""):
                yield found, f"{expected}, as `{TRAIN_SPEED}`"
        elif restriction.share is not None and all(
            example.capped_at is None or ALLOWABLE_SPEED not in example.given for example in examples
        ):
            found = "no example of the share of the train's maximum allowable speed"
            yield found, f"an example with `{ALLOWABLE_SPEED}` and `capped_at`"


_SHOWN_ONLY = frozenset({"shown", "in_force"})


def check_examples(criterion: Criterion) -> Iterator[Problem]:
    """What is missing: one example met, one breached, and for each limit its exact boundary and the smallest step past
    it."""
    for found, expected in _lacking(criterion):
        yield Problem(criterion.where, f"{criterion.id}: {found}", expected)


def _lacking(criterion: Criterion) -> Iterator[Lacking]:
    if criterion.examples:
        yield from _verdicts(criterion)
    else:
        yield "no examples", "at least one that is met and one that is breached"
    for clause in (criterion.must, criterion.when, criterion.unless):
        yield from boundaries(criterion.examples, clause)
    if criterion.read_within is not None and not criterion.age_of_chapter:
        ages: list[Value] = [Interval(age) for example in criterion.examples for age in example.ages.values()]
        yield from pair("read_within", "within", Interval(criterion.read_within), ages, "")
    for remedy in criterion.remedies:
        yield from _remedy(criterion, remedy)
    if criterion.renewal is not None and criterion.renewal.every is not None:
        yield from _renewal(criterion, criterion.renewal.every)
    if has_speed(criterion.restrictions):
        yield from _speed(criterion)


def _verdicts(criterion: Criterion) -> Iterator[Lacking]:
    if isinstance(criterion.must, Unanswered):
        for verdict in ("not shown", "not applicable"):
            if all(example.verdict != verdict for example in criterion.examples):
                yield f"no example that is {verdict}", f"an example with `is: {verdict}`"
        return
    words = {comparison.word for _, comparison in required(criterion.must)}
    verdicts = {example.verdict for example in criterion.examples}
    if "met" not in verdicts:
        yield "no example that is met", "an example with `is: met`"
    # A criterion that only needs something shown can't be breached by a reading.
    unmet = {"breached", "not shown", "lapses", "for the day"} if words and words <= _SHOWN_ONLY else {"breached"}
    if not verdicts & unmet:
        yield "no example that is breached", "an example with `is: breached`"


def _remedy(criterion: Criterion, remedy: Remedy) -> Iterator[Lacking]:
    """The figures in a remedy's `if` need examples that say which work clears it."""
    telling = [example for example in criterion.examples if example.clears is not None]
    for found, expected in boundaries(telling, remedy.condition):
        yield f"{found} (remedy: {remedy.work})", f"{expected}, with `clears: [work that can clear it]`"


def _renewal(criterion: Criterion, every: Period) -> Iterator[Lacking]:
    """An interval on the road needs a move that ends when it is up, and one that ends a day later."""
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


def check_consequence_examples(consequence: Consequence) -> Iterator[Problem]:
    """What is missing: for each limit its exact boundary and the smallest step past it; and, if there are or must be
    examples, one that follows and one that does not."""
    lacking = list(_lacking_of_consequence(consequence))
    if consequence.examples or lacking:
        lacking.extend(_both(consequence))
    for found, expected in dict.fromkeys(lacking):
        yield Problem(consequence.where, f"{consequence.id}: {found}", expected)


def _lacking_of_consequence(consequence: Consequence) -> Iterator[Lacking]:
    examples = consequence.examples
    yield from boundaries(examples, consequence.when)
    for cause in consequence.causes:
        yield from boundaries(examples, cause.when)
    for given in consequence.yields:
        yield from _yielded(examples, given)


def _both(consequence: Consequence) -> Iterator[Lacking]:
    sorts = {example.following for example in consequence.examples}
    if not sorts - {"does not follow"}:
        yield "no example that follows", "an example with `is: follows`"
    conditions = (consequence.when, *(cause.when for cause in consequence.causes))
    if "does not follow" not in sorts and any(clause is not None for clause in conditions):
        yield "no example that does not follow", "an example with `is: does not follow`"


def _yielded(examples: Sequence[ConsequenceExample], given: Yield) -> Iterator[Lacking]:
    match given:
        case Restricts(restrictions):
            yield from speed_boundaries(examples, restrictions)
        case Relieves():
            yield from speed_boundaries(examples, given.leaves)
        case Requires():
            if given.within is not None:
                ages: list[Value] = [Interval(one.answered_by) for one in examples if one.answered_by is not None]
                for found, expected in pair("the test's age", "within", Interval(given.within), ages, ""):
                    yield found, f"{expected}, as `answered_by: {{aged: …}}`"
            for occasion in given.every:
                yield from _every(examples, occasion)
            if given.within_first is not None:
                yield from _first(examples, given.within_first)


def _every(examples: Sequence[ConsequenceExample], occasion: Occasion) -> Iterator[Lacking]:
    """An interval needs a move that ends when it is up and one that ends a step later, each with how often the duty is
    due."""
    telling = [example for example in examples if example.times is not None]
    if occasion.period is not None:
        lasts: list[Value] = [Interval(example.move_lasts) for example in telling]
        for found, expected in pair("every", "within", Interval(occasion.period), lasts, ""):
            yield found, f"{expected}, as `move_lasts`, with `times`"
    elif occasion.miles is not None:
        runs: list[Value] = [Figure(example.move_runs) for example in telling if example.move_runs is not None]
        for found, expected in pair("every", "at_most", Figure(occasion.miles), runs, ""):
            yield found, f"{expected}, as `move_runs`, with `times`"


def _first(examples: Sequence[ConsequenceExample], occasion: Occasion) -> Iterator[Lacking]:
    if occasion.sort in ("period", "miles") and all(example.due_after != occasion for example in examples):
        yield f"no example that is due {occasion} after departure", f"an example with `due_after: {occasion}`"
