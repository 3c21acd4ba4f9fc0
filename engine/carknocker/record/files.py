"""Finding the car record and the move in a folder."""

from pathlib import Path

from carknocker.documents import InputRefused, Location, Problem
from carknocker.record import car_reader, move_reader
from carknocker.record.format import says_format

_ENDINGS = (".yaml", ".yml")


def find_car(path: Path) -> Path:
    """The car record that a path names: the file itself, or the only car record in the folder. Raises InputRefused."""
    return _find(path, "car", car_reader.FORMAT, "")


def find_move(path: Path) -> Path:
    """The only move in a folder (or beside a file). Raises InputRefused if there is none, or more than one."""
    return _find(path if path.is_dir() else path.parent, "move", move_reader.FORMAT, "name one with `--move FILE`")


def has_move(path: Path) -> bool:
    """Whether there is any move in a folder, or beside a file."""
    try:
        return bool(_files_of(path if path.is_dir() else path.parent, move_reader.FORMAT))
    except OSError:
        return False


def has_car(folder: Path) -> bool:
    """Whether a folder has a car record directly in it. One that can't be read may have one: it is not passed over, but
    refused by its name where the car is read."""
    try:
        return (folder / "car.yaml").is_file() or bool(_files_of(folder, car_reader.FORMAT))
    except OSError:
        return True


def _find(path: Path, what: str, wanted: str, remedy: str) -> Path:
    usual = path / f"{what}.yaml"
    try:
        if not path.is_dir():
            return path
        found = _files_of(path, wanted)
        has_usual = usual.is_file()
    except OSError as error:
        reason = error.strerror or "unknown"
        problem = Problem(Location(str(path), 1, 1), f"the folder can't be read: {reason}", "a readable folder")
        raise InputRefused((problem,)) from None
    if usual in found and what == "car":
        return usual
    if len(found) == 1:
        return found[0]
    if not found and has_usual:
        return usual  # its reader says what is wrong with its first line
    names = ", ".join(file.name for file in found[:6])
    words = f"{len(found)} {what} files ({names})" if found else f"no {what} file"
    expected = f"one file that begins with `format: {wanted}`"
    raise InputRefused((Problem(Location(str(path), 1, 1), words, expected, remedy=remedy),))


def _files_of(folder: Path, wanted: str) -> list[Path]:
    """The files of a format directly in a folder, in the order of their names. Raises OSError if it can't be read."""
    return [
        file for file in sorted(folder.iterdir()) if file.suffix in _ENDINGS and file.is_file() and _says(file, wanted)
    ]


def _says(file: Path, wanted: str) -> bool:
    """Whether one of the first lines of a file says that it is of the wanted format."""
    try:
        with file.open("rb") as stream:
            return says_format(stream.read(4096).decode("utf-8-sig", errors="replace"), wanted)
    except OSError:
        return False
