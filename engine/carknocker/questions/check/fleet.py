"""`check_fleet`: `check` for any number of cars, in this process or on any executor; and the answer for each car."""

import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import BrokenExecutor, Executor, Future
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Generic, Protocol, TypeVar

import msgspec

from carknocker.documents import InputRefused, Problem
from carknocker.documents.parse_cache import ParseCache
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.model import CannotJudge, Outcome
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import CarRecord, Move
from carknocker.record.photographs import with_photographs
from carknocker.rulebook.library import Library, load_library, rulesets_folders
from carknocker.vocabulary.load import use_cache

Answer = TypeVar("Answer")


class CarToCheck(Protocol):
    """A car with its move, read where it is judged. It must be picklable, so that it can be sent there."""

    @property
    def name(self) -> str:
        """The name under which its answer comes back."""

    @property
    def folders(self) -> tuple[Path, ...]:
        """The ruleset folders that it is judged by, on the machine where it is judged; none: the installed ones."""

    def read(self) -> tuple[CarRecord, Move]:
        """The car and its move. Raises InputRefused with every problem of both."""


class CarTexts(msgspec.Struct, frozen=True):
    """A car whose record and move are given as texts, so that it can be judged where there are no files. car_file,
    move_file: the names that pages show for the two. photographs: name → SHA-256 of each file in their folder."""

    name: str
    car: str
    move: str
    folders: tuple[Path, ...] = ()
    car_file: str = "car.yaml"
    move_file: str = "move.yaml"
    photographs: Mapping[str, str] = {}

    def read(self) -> tuple[CarRecord, Move]:
        """The car and its move. Raises InputRefused with every problem of both."""
        try:
            record = with_photographs(read_car_text(self.car, self.car_file), self.photographs)
        except InputRefused as refused:
            try:
                read_move_text(self.move, self.move_file)
            except InputRefused as too:
                raise InputRefused((*refused.problems, *too.problems)) from None
            raise
        return record, read_move_text(self.move, self.move_file)


class CarResult(msgspec.Struct, Generic[Answer], frozen=True):
    """The answer for one car. Exactly one of three is given: `answer` with its outcome; `problems`, if record, move or
    rulesets are refused; `reason`, if no answer can be proven. complete: whether all law that binds is at hand."""

    name: str
    outcome: Outcome | None = None
    answer: Answer | None = None
    problems: tuple[Problem, ...] = ()
    reason: str = ""
    complete: bool = True


Unit = TypeVar("Unit")
Result = TypeVar("Result")


def in_order(
    work: Callable[[Unit], Result],
    units: Iterable[Unit],
    executor: Executor | None,
    under_way: int,
    failed: Callable[[Unit, Exception], Result],
) -> Iterator[Result]:
    """The result for each unit of work, in the order of the units. A unit is taken from the iterable only when its
    result is about to be needed.

    executor: None: the work is done in this process. under_way: the most units that are taken and not yet answered; it
    bounds memory, however many units there are. failed: makes the result for a unit that can't be submitted or that
    raises. Closing the iterator cancels work that has not begun.
    """
    if executor is None:
        yield from map(work, units)
        return
    waiting: deque[tuple[Unit, Future[Result] | Exception]] = deque()
    try:
        for unit in units:
            waiting.append((unit, _submitted(work, unit, executor)))
            while waiting and (len(waiting) >= max(under_way, 1) or _is_done(waiting[0][1])):
                yield _result(*waiting.popleft(), failed)
        while waiting:
            yield _result(*waiting.popleft(), failed)
    finally:
        for _, future in waiting:
            if isinstance(future, Future):
                future.cancel()


def _submitted(
    work: Callable[[Unit], Result], unit: Unit, executor: Executor
) -> "Future[Result] | Exception":  # fmt: skip
    try:
        return executor.submit(work, unit)
    except BrokenExecutor as error:  # the executor's workers are gone: every further unit fails the same way
        return error


def _is_done(future: "Future[Result] | Exception") -> bool:
    return isinstance(future, Exception) or future.done()


def _result(
    unit: Unit, future: "Future[Result] | Exception", failed: Callable[[Unit, Exception], Result]
) -> Result:  # fmt: skip
    if isinstance(future, Exception):
        return failed(unit, future)
    try:
        return future.result()
    except Exception as error:
        return failed(unit, error)


_LIBRARIES = 8
"""How many libraries are kept in memory, for cars that have rulesets of their own."""
_Stamp = tuple[tuple[str, int, int], ...]


class Work(msgspec.Struct, Generic[Answer], frozen=True):
    """The work on each car: to judge it as of a day and apply `extract` to the answer. cache: folder of a
    `ParseCache`."""

    as_of: date
    extract: Callable[[CheckAnswer], Answer]
    cache: Path | None

    def __call__(self, car: CarToCheck) -> CarResult[Answer]:
        """The result for a car. Never raises: anything wrong with the car is in its result."""
        return result_of(car, lambda: library_in(car.folders, self.cache), self.as_of, self.extract)


def result_of(
    car: CarToCheck, library: Callable[[], Library], as_of: date, extract: Callable[[CheckAnswer], Answer]
) -> CarResult[Answer]:
    """The result for a car by a library, which is asked for when the car was read. Never raises."""
    try:
        record, move = car.read()
        answer = check(record, move, library(), as_of)
        return CarResult(car.name, answer.outcome, extract(answer), complete=answer.complete)
    except InputRefused as refused:
        return CarResult(car.name, problems=refused.problems)
    except CannotJudge as reason:
        return CarResult(car.name, reason=str(reason))
    except Exception as error:
        return failed(car, error)


def failed(car: CarToCheck, error: Exception) -> CarResult[Answer]:
    """The result for a car when the program itself failed or its process is gone."""
    return CarResult(car.name, reason=f"something went wrong inside the program ({type(error).__name__}: {error})")


def library_in(folders: tuple[Path, ...], cache: Path | None) -> Library:
    """The library of some folders, read again when one of their files changes."""
    named = folders or tuple(rulesets_folders())
    return _loaded(named, tuple(_stamps(named)), cache)


@lru_cache(maxsize=_LIBRARIES)
def _loaded(folders: tuple[Path, ...], stamp: _Stamp, cache: Path | None) -> Library:
    """The library of some folders.

    stamp: of all their files; a changed stamp makes the library be read again.
    """
    parse_cache = None if cache is None else ParseCache(cache)
    if parse_cache is not None:
        use_cache(parse_cache)
    return load_library(folders, cache=parse_cache)


def _stamps(folders: tuple[Path, ...]) -> Iterator[tuple[str, int, int]]:
    """Name, time and size of every file in the folders. Files whose status can't be read are left out: reading the
    library then says why."""
    for folder in folders:
        for path, _, names in os.walk(folder):
            for name in sorted(names):
                file = os.path.join(path, name)
                try:
                    seen = os.stat(file)
                except OSError:
                    continue
                yield file, seen.st_mtime_ns, seen.st_size


UNDER_WAY = 32


def check_fleet(
    cars: Iterable[CarToCheck],
    as_of: date,
    extract: Callable[[CheckAnswer], Answer],
    *,
    executor: Executor | None = None,
    under_way: int = UNDER_WAY,
    cache: Path | None = None,
) -> Iterator[CarResult[Answer]]:
    """The result for each car, in the order of the cars, the same on every executor.

    cars: any iterable, even an endless one; a car is drawn only when its result is about to be needed.
    extract: what to send back of each answer. It is called where the car was judged, since a whole judgement is large.
    executor: any of `concurrent.futures`, or of an engine that offers one; None: the cars are judged in this process,
    one by one. For another process, `extract` and the cars have to be picklable.
    under_way: how many cars at most are drawn and not yet answered; it bounds the memory.
    cache: a folder where parsed rulesets may be kept.

    Raises nothing for a car: see `CarResult`. What `cars` itself raises is passed on.
    """
    return in_order(Work(as_of, extract, cache), cars, executor, under_way, failed)
