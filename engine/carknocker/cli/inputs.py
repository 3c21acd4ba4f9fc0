"""What the commands are given: cars, moves, days, folders of rules; a demo case by its name too."""

import os
import re
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import msgspec
import typer

import carknocker
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.rulebook import Library

if TYPE_CHECKING:
    from collections.abc import Callable

    from carknocker.documents import Problem
    from carknocker.record.model import CarRecord, Move
    from carknocker.rulebook import Library

Read = TypeVar("Read")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def read_day(text: str | None) -> date:
    """The day given, today if none is.

    Raises BadParameter for anything but a day written YYYY-MM-DD, in a year that a record may name.
    """
    from carknocker.quantities import QuantityError
    from carknocker.record.value_reader import full_day

    if text is None:
        return date.today()
    try:
        if _DAY.fullmatch(text) is None:
            raise QuantityError(f"`{text[:60]}`, which is no day", "one written like 2026-10-08")
        return full_day(text)
    except QuantityError as error:
        raise typer.BadParameter(f"{error.found}; expected {error.expected}") from None


def cases_folder() -> Path | None:
    """The folder of the demo cases that are installed with the package, or of the checkout."""
    package = Path(carknocker.__file__).resolve().parent
    for folder in (package / "installed" / "cases", package.parent.parent / "cases"):
        if folder.is_dir():
            return folder
    return None


class Place(msgspec.Struct, frozen=True):
    """A file or folder that was named. base: the folder of the demo cases, for one of them; its files are then named
    without that folder, so that an answer is the same wherever the package is installed."""

    path: Path
    base: Path | None = None

    def shown(self, file: Path) -> str:
        """A file at this place, as messages and pages name it."""
        return str(file) if self.base is None else file.relative_to(self.base).as_posix()

    def __str__(self) -> str:
        return self.shown(self.path)


def find_place(given: Path) -> Place:
    """The file or folder meant: as given, or else the demo case of that name. Where no `cases` is, the word stands for
    the folder of the demo cases."""
    base = None if _exists(given) else _base(given)
    return Place(given) if base is None or not _exists(base / given) else Place(base / given, base)


def near_case(given: Path) -> str:
    """The demo case (or what is in it) that a path nearly names; "" where it is near none, or begins at a place that is
    there."""
    from carknocker.documents import nearest

    base = _base(given)
    if base is None or (base == cases_folder() and _exists(Path(given.parts[0]))):
        return ""
    folder = base
    for part in given.parts:
        names = sorted(one.name for one in folder.iterdir()) if folder.is_dir() else []
        name = part if part in names else nearest(part, names)
        if not name:
            break
        folder = folder / name
    return "" if folder in (base, cases_folder()) else folder.relative_to(base).as_posix()


def _base(given: Path) -> Path | None:
    """The folder in which a path would name a demo case: that of the demo cases, or the one that has it."""
    cases = None if given.is_absolute() or ".." in given.parts or not given.parts else cases_folder()
    if cases is not None and given.parts[0] == cases.name:
        here = Path(cases.name)
        return cases.parent if not _exists(here) or here.resolve() == cases.resolve() else cases
    return cases


def _exists(path: Path) -> bool:
    return _is(path.exists)


def _is(asked: "Callable[[], bool]") -> bool:
    """What a path says of itself; no where it can't be asked."""
    try:
        return asked()
    except (OSError, ValueError):
        return False


def load_rules(cars: list[Place], extra: list[Path]) -> "Library":
    """The library of the installed rulesets, of `rulesets/` beside each car, and of the folders given."""
    from carknocker.cli.cache_dir import cache_dir
    from carknocker.documents.parse_cache import ParseCache
    from carknocker.rulebook.library import load_library
    from carknocker.vocabulary.load import use_cache

    cache = ParseCache(cache_dir(os.environ, sys.platform, Path(os.path.expanduser("~"))))
    use_cache(cache)
    return load_library(rules_folders(cars, extra), cache=cache)


def rules_folders(cars: list[Place], extra: list[Path]) -> tuple[Path, ...]:
    """The folders of rulesets, each once: installed, beside each car, given."""
    from carknocker.rulebook import rulesets_folders

    folders: dict[Path, Path] = {}
    for folder in (*rulesets_folders(), *(found for car in cars if (found := beside(car.path)) is not None), *extra):
        folders.setdefault(folder.resolve(), folder)
    return tuple(folders.values())


def beside(car: Path) -> Path | None:
    """A folder `rulesets` in the folder of the car."""
    folder = (car if _is(car.is_dir) else car.parent) / "rulesets"
    return folder if _is(folder.is_dir) else None


def read_both(place: Place, move: Place | None) -> "tuple[CarRecord, Move]":
    """The car of a file or folder, and the move given or the folder's only one.

    Raises InputRefused with every problem of both files.
    """
    from carknocker.documents import InputRefused
    from carknocker.record import find_car, read_car_text, read_move_text

    problems: list[Problem] = []
    try:
        car = _read(read_car_text, place, find_car(place.path))
    except InputRefused as refused:
        problems.extend(refused.problems)
        if move is None and not (_is(place.path.is_dir) or _is(place.path.is_file)):
            raise  # where no car can be, no move is looked for
    try:
        planned = _read(read_move_text, place if move is None else move, _move_file(place, move))
    except InputRefused as refused:
        problems.extend(refused.problems)
    if problems:
        raise InputRefused(tuple(problems))
    return car, planned


def read_car_at(place: Place) -> "CarRecord":
    """The car of a file or folder, for what needs no move. Raises InputRefused with every problem of it."""
    from carknocker.record import find_car, read_car_text

    return _read(read_car_text, place, find_car(place.path))


def read_move_at(place: Place) -> "Move":
    """The move of a file or folder, where one is given for all cars. Raises InputRefused with every problem of it."""
    from carknocker.record import read_move_text

    return _read(read_move_text, place, _move_file(place, place))


def _move_file(place: Place, move: Place | None) -> Path:
    from carknocker.record import find_move

    at = place.path if move is None else move.path
    return find_move(at) if move is None or _is(at.is_dir) else at


def _read(reader: "Callable[[str, str], Read]", place: Place, file: Path) -> "Read":
    """Reads a file under the name that is shown for it."""
    from carknocker.documents import InputRefused, ProblemList, load_text

    problems = ProblemList()
    text = load_text(file, problems)
    if text is None and file == place.path and not _exists(file) and (near := near_case(file)):
        raise InputRefused(tuple(msgspec.structs.replace(problem, nearest=near) for problem in problems.problems))
    problems.refuse_if_any()
    return reader(text or "", place.shown(file))


def answer_for(place: Place, move: Place | None, library: Library, day: date) -> CheckAnswer:
    """The answer to `check` for one car. Raises InputRefused and CannotJudge."""
    car, planned = read_both(place, move)
    return check(car, planned, library, day)
