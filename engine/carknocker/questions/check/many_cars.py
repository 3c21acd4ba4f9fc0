"""`carknocker check` for many cars: which cars are meant, and a table or a stream of dossiers, judged in several
processes where that is faster."""

import gc
import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack, contextmanager
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any, TypeAlias, TypeVar

import msgspec

from carknocker.cli.inputs import Place, find_place, load_rules, own_cache_dir, read_both, read_move_at, rules_folders
from carknocker.cli.interrupts import interrupts_blocked
from carknocker.cli.options import Format
from carknocker.cli.output import write_answer, write_pieces
from carknocker.cli.statuses import CANNOT_JUDGE, READY, REFUSED, cannot_judge_text, problems_text, say, status_of
from carknocker.documents.visible_text import visible
from carknocker.judgement.answer import CheckAnswer
from carknocker.questions.check.fleet import CarResult, check_fleet
from carknocker.questions.check.fleet_json import dossier_text, dossiers_json, table_json
from carknocker.questions.check.fleet_page import fleet_page, line_of
from carknocker.record.files import has_car
from carknocker.record.model import CarRecord, Move

Answer = TypeVar("Answer")
CARS_A_PROCESS = 8
"""Starting one more process takes about as long as judging this many cars."""
_UNDER_WAY = 4
"""How many cars are sent to each process ahead of their answers."""


class PlaceToCheck(msgspec.Struct, frozen=True):
    """A car that is read where it is judged. move: the one given for all cars; None: the only one in its folder. rules:
    ruleset folders besides the installed ones and those beside the car."""

    place: Place
    move: Place | None
    rules: tuple[Path, ...]

    @property
    def name(self) -> str:
        """The place as it was given."""
        return str(self.place)

    @property
    def folders(self) -> tuple[Path, ...]:
        """The ruleset folders that it is judged by."""
        return rules_folders([self.place], self.rules)

    def read(self) -> tuple[CarRecord, Move]:
        """The car and its move. Raises InputRefused with every problem of both files."""
        return read_both(self.place, self.move)


def places_of(cars: Iterable[Path]) -> Iterator[Place]:
    """The places given, in order. A folder without a car stands for all folders with a car below it, sorted by name; if
    there is none, the folder itself is returned, to be refused under its own name."""
    for given in cars:
        place = find_place(given)
        found = False
        if place.path.is_dir() and not has_car(place.path):
            for folder in cars_below(place.path):
                found = True
                yield Place(folder, place.base)
        if not found:
            yield place


def cars_below(folder: Path) -> Iterator[Path]:
    """Every folder with a car below a folder, at any depth, but not below another car, in a hidden folder or through a
    link."""
    try:
        with os.scandir(folder) as entries:
            names = sorted(one.name for one in entries if one.is_dir(follow_symlinks=False))
    except OSError:
        return
    for name in names:
        if name.startswith("."):
            continue
        if has_car(folder / name):
            yield folder / name
        else:
            yield from cars_below(folder / name)


def check_many(
    places: list[Place], move: Place | None, rules: list[Path] | None, day: date, form: Format, output: Path | None, *,
    table: bool, processes: int | None, scheduler: str | None = None,
) -> int:  # fmt: skip
    """Judges the cars and writes the table or, as JSON, every dossier. Returns the worst exit status.

    processes: how many judge at the same time; None: one for each core, or none for few cars. scheduler: the address of
    a cluster that judges instead. Raises InputRefused once, not for each car, if the rulesets or the move given for all
    can't be used, and OutputRefused if the cluster can't.
    """
    gc.enable()  # garbage collection is off since the start, which suits only a short run
    load_rules([], rules)
    if move is not None:
        read_move_at(move)
    cars = [PlaceToCheck(place, move, tuple(rules or ())) for place in places]
    number = processes or _processes(len(cars))
    worst = READY
    with ExitStack() as stack:
        judged = stack.enter_context(_here(number, day) if scheduler is None else _there(scheduler, day))
        car_done = stack.enter_context(_progress(len(cars)))

        def results(extract: Callable[[CheckAnswer], Answer]) -> Iterator[CarResult[Answer]]:
            nonlocal worst
            for result in judged(cars, extract):
                car_done(_trouble(result))
                worst = max(worst, _status(result))
                yield result

        if form is Format.JSON and not table:
            write_pieces(dossiers_json(results(dossier_text)), output)
            return worst
        lines = list(results(line_of))
    write_answer(lines, form, output, json=partial(table_json, day=day), page=partial(fleet_page, day=day))
    return worst


Judge: TypeAlias = Callable[[list[PlaceToCheck], Callable[[CheckAnswer], Answer]], Iterator[CarResult[Answer]]]


@contextmanager
def _here(number: int, day: date) -> Iterator["Judge[Any]"]:
    """Judges on this machine, in so many processes."""
    with ExitStack() as stack:
        executor = stack.enter_context(_pool(number)) if number > 1 else None
        ahead, cache = _UNDER_WAY * number, own_cache_dir()
        yield lambda cars, extract: check_fleet(cars, day, extract, executor=executor, under_way=ahead, cache=cache)


@contextmanager
def _there(scheduler: str, day: date) -> Iterator["Judge[Any]"]:
    """Judges on a cluster. Raises OutputRefused."""
    from carknocker.questions.check.cluster import cluster_at  # only where it is asked for

    with cluster_at(scheduler) as cluster:
        yield lambda cars, extract: cluster.results(cars, day, extract)


def _processes(cars: int) -> int:
    """One for each core that may be used, but no more than have enough to do."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return max(1, min(cores, cars // CARS_A_PROCESS))


@contextmanager
def _pool(number: int) -> Iterator[ProcessPoolExecutor]:
    """A pool of processes, spawned rather than forked, so that none inherits a half-made state."""
    pool = ProcessPoolExecutor(number, multiprocessing.get_context("spawn"), _ignore_interrupts)
    try:
        with interrupts_blocked():
            for _ in range(number):
                pool.submit(_nothing)  # starts one process, which inherits the block
        yield pool
    finally:
        pool.shutdown(cancel_futures=True)


def _nothing() -> None:
    return None


def _ignore_interrupts() -> None:
    """Makes a worker ignore keyboard interrupts: the first process alone handles them, and stops the others."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _status(result: CarResult[Answer]) -> int:
    if result.outcome is not None:
        return status_of(result.outcome, complete=result.complete)
    return CANNOT_JUDGE if result.reason else REFUSED


def _trouble(result: CarResult[Answer]) -> str:
    """What is said of a car that has no answer; empty for one that has."""
    if result.problems:
        return problems_text(result.problems)
    return cannot_judge_text(result.reason, result.name) if result.reason else ""


@contextmanager
def _progress(cars: int) -> Iterator[Callable[[str], None]]:
    """A function to call with the trouble of each car that is done. It prints the trouble, and moves a progress bar on
    a terminal."""
    if not sys.stderr.isatty():
        yield lambda trouble: say(trouble) if trouble else None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("checking"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("checking", total=cars)

        def car_done(trouble: str) -> None:
            if trouble:
                bar.console.print(visible(trouble), markup=False, highlight=False, soft_wrap=True)
            bar.advance(task)

        yield car_done
