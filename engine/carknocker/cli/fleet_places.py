"""The cars that a command line means: each one named, and every car below a folder that is no car itself."""

import os
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from carknocker.cli.inputs import Place, find_place, read_both, rules_folders
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
