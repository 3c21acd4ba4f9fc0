"""Whether a consequence has the examples that its numbers need. Without a number it needs none."""

from collections.abc import Iterator, Sequence

from carknocker.documents import Problem
from carknocker.record.values import Figure, Interval, Value
from carknocker.rulebook.check.boundaries import Lacking, boundaries, pair
from carknocker.rulebook.check.restriction_examples import speed_boundaries
from carknocker.rulebook.example_model import ConsequenceExample
from carknocker.rulebook.model import Consequence, Relieves, Requires, Restricts, Yield
from carknocker.rulebook.occasions import Occasion


def check_consequence_examples(consequence: Consequence) -> Iterator[Problem]:
    """Missing: for each limit its exact boundary and the smallest step past it; where there are examples, or there
    must be, one that follows and one that does not."""
    lacking = list(_lacking(consequence))
    if consequence.examples or lacking:
        lacking.extend(_both(consequence))
    for found, expected in dict.fromkeys(lacking):
        yield Problem(consequence.where, f"{consequence.id}: {found}", expected)


def _lacking(consequence: Consequence) -> Iterator[Lacking]:
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
    """An interval wants a move that ends when it is up, and one that ends a step later, with how often it is due."""
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
