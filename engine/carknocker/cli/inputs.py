"""What commands read: days, cars, moves, rulesets. A demo case can be given by its name alone."""

import os
import re
import sys
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TypeVar

import msgspec
import typer

import carknocker
from carknocker.documents import InputRefused, Problem, ProblemList, load_text, nearest
from carknocker.documents.parse_cache import ParseCache
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.quantities import QuantityError
from carknocker.record import find_car, find_move, read_car_text, read_move_text
from carknocker.record.model import CarRecord, Move
from carknocker.record.photographs import with_photographs
from carknocker.record.value_reader import full_day
from carknocker.rulebook.library import Library, load_library, rulesets_folders
from carknocker.vocabulary.load import use_cache

Read = TypeVar("Read")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def read_day(text: str | None, option: str = "--as-of") -> date:
    """The day given; today if none is. option: with which it was given.

    Raises BadParameter for anything but a day written YYYY-MM-DD, in a year that a record may name.
    """
    if text is None:
        return date.today()
    try:
        if _DAY.fullmatch(text) is None:
            raise QuantityError(f"`{text[:60]}`, which is no day", "one written like 2026-10-08")
        return full_day(text)
    except QuantityError as error:
        raise typer.BadParameter(f"{error.found}; expected {error.expected}", param_hint=option) from None


class Place(msgspec.Struct, frozen=True):
    """A file or folder that was given.

    base: for a demo case, the folder that holds it. Pages name its files relative to that folder, so that an answer
    does not depend on where the package is installed.
    """

    path: Path
    base: Path | None = None

    def shown(self, file: Path) -> str:
        """The name of a file at this place, for messages and pages."""
        return str(file) if self.base is None else file.relative_to(self.base).as_posix()

    def __str__(self) -> str:
        return self.shown(self.path)


def find_place(given: Path) -> Place:
    """The file or folder at the path given; if there is none, the demo case of that name."""
    base = None if _exists(given) else _demo_base(given)
    return Place(given) if base is None or not _exists(base / given) else Place(base / given, base)


def move_place(given: Path | None) -> Place | None:
    """The place of the move given with `--move`, if any."""
    return None if given is None else find_place(given)


def cases_folder() -> Path | None:
    """The folder of the demo cases: installed with the package, or in the checkout."""
    package = Path(carknocker.__file__).resolve().parent
    for folder in (package / "installed" / "cases", package.parent.parent / "cases"):
        if folder.is_dir():
            return folder
    return None


def near_case(given: Path) -> str:
    """The demo case, or the file in one, whose name is nearest to a path that does not exist; "" if none is near, or if
    the path begins with a folder that does exist."""
    base = _demo_base(given)
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


def _demo_base(given: Path) -> Path | None:
    """The folder to which a path is relative if it names a demo case: the folder of the demo cases, or its parent where
    the path begins with `cases`."""
    cases = None if given.is_absolute() or ".." in given.parts or not given.parts else cases_folder()
    if cases is not None and given.parts[0] == cases.name:
        here = Path(cases.name)
        return cases.parent if not _exists(here) or here.resolve() == cases.resolve() else cases
    return cases


def _exists(path: Path) -> bool:
    return _is(path.exists)


def _is(asked: Callable[[], bool]) -> bool:
    """The answer of a path about itself; False if the system refuses to say."""
    try:
        return asked()
    except (OSError, ValueError):
        return False


def cache_dir(environment: Mapping[str, str], platform: str, home: Path) -> Path:
    """The user's folder for files that can be made again: `XDG_CACHE_HOME` or `~/.cache` (XDG Base Directory
    Specification 0.8), `~/Library/Caches` on macOS, the local application data on Windows. platform: as in
    `sys.platform`.

    Written out here because importing a library for it takes as long as reading all rulesets.
    """
    if platform == "win32":
        return _absolute(environment.get("LOCALAPPDATA"), home / "AppData" / "Local") / "carknocker" / "Cache"
    if platform == "darwin":
        return home / "Library" / "Caches" / "carknocker"
    return _absolute(environment.get("XDG_CACHE_HOME"), home / ".cache") / "carknocker"


def _absolute(named: str | None, otherwise: Path) -> Path:
    """The folder that the environment names. The XDG specification says to ignore a relative one."""
    return Path(named) if named and Path(named).is_absolute() else otherwise


def own_cache_dir() -> Path:
    """The cache folder of the user who runs this process."""
    return cache_dir(os.environ, sys.platform, Path(os.path.expanduser("~")))


def load_rules(cars: Sequence[Place], extra: Sequence[Path] | None) -> Library:
    """The installed rulesets, those in `rulesets/` beside or above each car, and those of the folders given.

    Raises InputRefused if one can't be used.
    """
    cache = ParseCache(own_cache_dir())
    use_cache(cache)
    return load_library(rules_folders(cars, extra), cache=cache)


def rules_folders(cars: Sequence[Place], extra: Sequence[Path] | None) -> tuple[Path, ...]:
    """The folders of rulesets, each once: installed, beside or above each car, given."""
    folders: dict[Path, Path] = {}
    beside_cars = (folder for car in cars for folder in beside(car.path))
    for folder in (*rulesets_folders(), *beside_cars, *(extra or ())):
        folders.setdefault(folder.resolve(), folder)
    return tuple(folders.values())


def beside(car: Path) -> tuple[Path, ...]:
    """The folders `rulesets` beside a car and beside the folder that it is in, as far as there are any."""
    own = car if _is(car.is_dir) else car.parent
    above = own.parent if own.name not in ("", "..") else own / ".."
    return tuple(folder for place in (own, above) if _is((folder := place / "rulesets").is_dir))


def read_both(place: Place, move: Place | None) -> tuple[CarRecord, Move]:
    """The car of a file or folder, and the move given, or the only move in the car's folder.

    Raises InputRefused with every problem of both files.
    """
    problems: list[Problem] = []
    try:
        car = read_car_at(place)
    except InputRefused as refused:
        problems.extend(refused.problems)
        if move is None and not (_is(place.path.is_dir) or _is(place.path.is_file)):
            raise  # there is no such folder, so there is no move in it either
    try:
        planned = _read(read_move_text, place if move is None else move, move_file_of(place, move))
    except InputRefused as refused:
        problems.extend(refused.problems)
    if problems:
        raise InputRefused(tuple(problems))
    return car, planned


def read_car_at(place: Place) -> CarRecord:
    """The car of a file or folder. Raises InputRefused with every problem of it."""
    file = find_car(place.path)
    car = _read(read_car_text, place, file)
    if not car.photographs:
        return car
    # imported only where there are photographs, since start-up is felt at every check
    from carknocker.cli.photographs import digests_beside

    return with_photographs(car, digests_beside(file, car.photographs))


def read_move_at(place: Place) -> Move:
    """The move of a file or folder. Raises InputRefused with every problem of it."""
    return _read(read_move_text, place, move_file_of(place, place))


def move_file_of(place: Place, move: Place | None) -> Path:
    """The file of the move given, or of the only move in the car's folder. Raises InputRefused."""
    at = place.path if move is None else move.path
    return find_move(at) if move is None or _is(at.is_dir) else at


def _read(reader: Callable[[str, str], Read], place: Place, file: Path) -> Read:
    """Reads a file under the name that messages show for it."""
    problems = ProblemList()
    text = load_text(file, problems)
    if text is None and file == place.path and not _exists(file) and (near := near_case(file)):
        raise InputRefused(tuple(msgspec.structs.replace(problem, nearest=near) for problem in problems.problems))
    problems.refuse_if_any()
    return reader(text or "", place.shown(file))


def answer_for(place: Place, move: Place | None, library: Library, day: date) -> CheckAnswer:
    """The answer to `check` for one car. Raises InputRefused, and CannotJudge if no answer can be proved."""
    car, planned = read_both(place, move)
    return check(car, planned, library, day)


def check_car(car: Path, move: Path | None, rules: Sequence[Path] | None, day: date) -> CheckAnswer:
    """The answer to `check` for the car that a command was given, with that command's `--move` and `--rules`.

    Raises InputRefused, and CannotJudge if no answer can be proved.
    """
    place = find_place(car)
    return answer_for(place, move_place(move), load_rules([place], rules), day)
