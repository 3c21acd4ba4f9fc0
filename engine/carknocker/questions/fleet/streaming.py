"""Work handed to an executor piece by piece, answers taken in the order asked, only so many under way at a time."""

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future
from typing import TypeVar

Unit = TypeVar("Unit")
Result = TypeVar("Result")


def in_order(
    work: Callable[[Unit], Result],
    units: Iterable[Unit],
    executor: Executor | None,
    under_way: int,
    failed: Callable[[Unit, Exception], Result],
) -> Iterator[Result]:
    """The result for each unit, in the order of the units, which are drawn only as results are taken.

    executor: None does the work here. under_way: how many units are drawn and not yet answered, at most; so memory does
    not grow with their number. failed: what to answer for a unit whose work can't be handed over or does not come back.
    Whoever stops listening cancels what has not begun.
    """
    if executor is None:
        yield from map(work, units)
        return
    waiting: deque[tuple[Unit, Future[Result] | Exception]] = deque()
    try:
        for unit in units:
            waiting.append((unit, _handed_over(work, unit, executor)))
            while waiting and (len(waiting) >= max(under_way, 1) or _is_done(waiting[0][1])):
                yield _taken(*waiting.popleft(), failed)
        while waiting:
            yield _taken(*waiting.popleft(), failed)
    finally:
        for _, future in waiting:
            if isinstance(future, Future):
                future.cancel()


def _handed_over(
    work: Callable[[Unit], Result], unit: Unit, executor: Executor
) -> "Future[Result] | Exception":  # fmt: skip
    try:
        return executor.submit(work, unit)
    except BrokenExecutor as error:  # its workers have gone: every further unit says so, none is lost
        return error


def _is_done(future: "Future[Result] | Exception") -> bool:
    return isinstance(future, Exception) or future.done()


def _taken(
    unit: Unit, future: "Future[Result] | Exception", failed: Callable[[Unit, Exception], Result]
) -> Result:  # fmt: skip
    if isinstance(future, Exception):
        return failed(unit, future)
    try:
        return future.result()
    except Exception as error:
        return failed(unit, error)
