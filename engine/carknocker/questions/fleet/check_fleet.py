"""`check_fleet`: `check` for any number of cars, here or wherever an executor takes the work."""

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor
from datetime import date
from pathlib import Path

from carknocker.judgement.answer import CheckAnswer
from carknocker.questions.fleet.model import Answer, CarResult, CarToCheck
from carknocker.questions.fleet.streaming import in_order
from carknocker.questions.fleet.worker import Work, failed

UNDER_WAY = 32


def check_fleet(
    cars: Iterable[CarToCheck],
    as_of: date,
    told: Callable[[CheckAnswer], Answer],
    *,
    executor: Executor | None = None,
    under_way: int = UNDER_WAY,
    cache: Path | None = None,
) -> Iterator[CarResult[Answer]]:
    """The answer for each car, in the order of the cars, the same whatever the executor.

    cars: may be an iterator without end; a car is drawn only as answers are taken, so that memory does not grow with
    their number. told: what is wanted of each answer; the whole of a judgement is large, so this is asked where the car
    was judged and only what it returns travels back. executor: any of `concurrent.futures`, or of an engine that offers
    one; None judges here, one after another. With another process `told` and the cars have to be picklable. under_way:
    how many cars are sent out and not yet answered, at most. cache: a folder where parsed rulesets may be kept.

    Raises nothing for a car: see `CarResult`. What `cars` itself raises is passed on.
    """
    return in_order(Work(as_of, told, cache), cars, executor, under_way, failed)
