"""`carknocker check` for many cars: which cars are meant, and a table or a stream of dossiers, judged in several
processes where that pays."""

import gc
import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack, contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import msgspec
import typer

from carknocker.cli.cache_dir import cache_dir
from carknocker.cli.inputs import Place, find_place, load_rules, read_both, read_move_at, rules_folders
from carknocker.cli.options import Format
from carknocker.cli.output import write_answer, write_as_pages, write_pieces
from carknocker.cli.statuses import CANNOT_JUDGE, READY, REFUSED, cannot_judge_text, problems_text, say, status_of
from carknocker.documents.visible_text import visible
from carknocker.judgement.answer import CheckAnswer
from carknocker.questions.check.fleet import CarResult, check_fleet
from carknocker.questions.check.fleet_json import dossier_text, dossiers_json, table_json
from carknocker.questions.check.fleet_page import fleet_page, line_of
from carknocker.record.files import has_car

if TYPE_CHECKING:
    from carknocker.record.model import CarRecord, Move


class PlaceToCheck(msgspec.Struct, frozen=True):
    """A car to be read where it is judged. move: given for all; None: its folder's only one. rules: folders of rulesets
    besides the installed ones and those beside the car."""

    place: Place
    move: Place | None
    rules: tuple[Path, ...]

    @property
    def name(self) -> str:
        return str(self.place)

    @property
    def folders(self) -> tuple[Path, ...]:
        return rules_folders([self.place], list(self.rules))

    def read(self) -> "tuple[CarRecord, Move]":
        """Raises InputRefused with every problem of both files."""
        return read_both(self.place, self.move)


def places_of(cars: Iterable[Path]) -> Iterator[Place]:
    """The places that were named, in that order; a folder without a car stands for the folders below it that have one,
    in the order of their names. A folder below which there is none stays as named, to be refused by its own name."""
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
    """Every folder below one that has a car, at any depth; not below a car, in hidden folders, or through links."""
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


CARS_A_PROCESS = 8
"""A further process costs about as much as judging so many cars."""
_EACH = 4
Answer = TypeVar("Answer")


def run(
    places: list[Place], move: Place | None, day: date, form: Format, rules: list[Path], output: Path | None, *,
    table: bool, processes: int | None,
) -> None:  # fmt: skip
    """Writes the table, or as JSON every dossier. Exits with the worst status.

    processes: how many judge at the same time; None: as many as there are cores, but none for few cars.
    """
    gc.enable()  # switched off at the start for one short run; this one may be long
    load_rules([], rules)  # rulesets that can't be read are said once, and not of each car
    if move is not None:
        read_move_at(move)  # nor a move that is given for all
    cars = [PlaceToCheck(place, move, tuple(rules)) for place in places]
    number = processes or _processes(len(cars))
    status = [READY]
    with ExitStack() as stack:
        executor = stack.enter_context(_pool(number)) if number > 1 else None
        told = stack.enter_context(_progress(len(cars)))

        def answers(of: Callable[[CheckAnswer], Answer]) -> Iterator[CarResult[Answer]]:
            cache = cache_dir(os.environ, sys.platform, Path(os.path.expanduser("~")))
            for result in check_fleet(cars, day, of, executor=executor, under_way=_EACH * number, cache=cache):
                told(_trouble(result))
                status.append(max(status.pop(), _status(result)))
                yield result

        if form is Format.JSON and not table:
            write_pieces(dossiers_json(answers(dossier_text)), output)
            raise typer.Exit(status[0])
        lines = list(answers(line_of))
    if form is Format.JSON:
        write_answer(table_json(lines, day), output)
    else:
        write_as_pages([fleet_page(lines, day)], form, output)
    raise typer.Exit(status[0])


def _processes(cars: int) -> int:
    """As many as there are cores to run on, but only so many that each has something to do."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return max(1, min(cores, cars // CARS_A_PROCESS))


@contextmanager
def _pool(number: int) -> Iterator[ProcessPoolExecutor]:
    """Processes that begin afresh on every platform, so that none inherits a half-made state of another."""
    pool = ProcessPoolExecutor(number, multiprocessing.get_context("spawn"), _leave_stopping_to_the_first)
    try:
        with _interrupts_held():
            for _ in range(number):
                pool.submit(_nothing)  # each starts a process, which comes by the held interrupt with its birth
        yield pool
    finally:
        pool.shutdown(cancel_futures=True)


@contextmanager
def _interrupts_held() -> Iterator[None]:
    """Holds an interrupt from the keyboard back, here and in processes that are started meanwhile, which else would
    answer one that comes before they can say that they leave it to the first."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    held = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, held)


def _nothing() -> None:
    return None


def _leave_stopping_to_the_first() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _status(result: CarResult[Answer]) -> int:
    if result.outcome is not None:
        return status_of(result.outcome)
    return CANNOT_JUDGE if result.reason else REFUSED


def _trouble(result: CarResult[Answer]) -> str:
    """What is said of a car that has no answer; empty for one that has."""
    if result.problems:
        return problems_text(result.problems)
    return f"{result.name}: {cannot_judge_text(result.reason)}" if result.reason else ""


@contextmanager
def _progress(cars: int) -> Iterator[Callable[[str], None]]:
    """What is to be called for each car that is done, with its trouble: moves a bar on a terminal, says the trouble."""
    if not sys.stderr.isatty():
        yield lambda trouble: say(trouble) if trouble else None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("checking"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("checking", total=cars)

        def told(trouble: str) -> None:
            if trouble:
                bar.console.print(visible(trouble), markup=False, highlight=False, soft_wrap=True)
            bar.advance(task)

        yield told
