"""What the commands are given: cars, moves, days, folders of rules; a demo case by its name too."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import typer

import carknocker

if TYPE_CHECKING:
    from carknocker.record.model import CarRecord, Move
    from carknocker.rulebook import Library


def read_day(text: str | None) -> date:
    """The day given, today if none is. Raises BadParameter for anything but a day written YYYY-MM-DD."""
    if text is None:
        return date.today()
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(f"`{text}` is no day; write it like 2026-10-08") from None


def cases_folder() -> Path | None:
    """The folder of the demo cases that are installed with the package, or of the checkout."""
    package = Path(carknocker.__file__).resolve().parent
    for folder in (package / "installed" / "cases", package.parent.parent / "cases"):
        if folder.is_dir():
            return folder
    return None


def find_place(given: Path) -> Path:
    """The file or folder meant: as given, or else the demo case of that name."""
    if _exists(given) or given.is_absolute():
        return given
    cases = cases_folder()
    demo = None if cases is None else cases / given
    return demo if demo is not None and _exists(demo) and cases in demo.resolve().parents else given


def _exists(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False


def load_rules(cars: list[Path], extra: list[Path]) -> "Library":
    """The library of the installed rulesets, of `rulesets/` beside each car, and of the folders given."""
    from carknocker.rulebook import load_library

    return load_library(rules_folders(cars, extra))


def rules_folders(cars: list[Path], extra: list[Path]) -> tuple[Path, ...]:
    """The folders of rulesets, each once: installed, beside each car, given."""
    from carknocker.rulebook import rulesets_folders

    folders: dict[Path, Path] = {}
    for folder in (*rulesets_folders(), *(found for car in cars if (found := beside(car)) is not None), *extra):
        folders.setdefault(folder.resolve(), folder)
    return tuple(folders.values())


def beside(car: Path) -> Path | None:
    """A folder `rulesets` in the folder of the car."""
    folder = (car if car.is_dir() else car.parent) / "rulesets"
    return folder if folder.is_dir() else None


def read_both(place: Path, move: Path | None) -> "tuple[CarRecord, Move]":
    """The car of a file or folder, and the move given or the folder's only one. Raises InputRefused."""
    from carknocker.record import find_car, find_move, read_car, read_move

    car = find_car(place)
    return read_car(car), read_move(find_move(place) if move is None else move)
