"""A form that someone has filled in: its sheets, and what its words for parts mean."""

from typing import Any

import msgspec

from carknocker.documents import Location, Problem, ProblemList
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Kind


class FilledSheet(msgspec.Struct):
    """A sheet to be entered: its head, and section → position → attribute → value, as a record writes them."""

    where: Location
    head: dict[str, Any]
    readings: dict[str, dict[str, Any]]
    count: int = 0

    def put(self, kind: Kind, position: str, attribute: str, value: Any) -> bool:
        """Puts a reading on the sheet; False if one stands there already."""
        section = self.readings.setdefault(kind.section, {})
        if kind.positions != "single":
            section = section.setdefault(position, {})
        if attribute in section:
            return False
        section[attribute] = value
        self.count += 1
        return True


class FilledForm(msgspec.Struct, frozen=True):
    """The mark that the form is for, and its sheets that hold any reading."""

    mark: str
    sheets: tuple[FilledSheet, ...]


def kind_and_position(part: str) -> tuple[Kind, str] | None:
    """What a form means by `wheel L3` or `brake system`: the kind of part, the longest name first, and the position."""
    kinds = load_vocabulary().kinds
    for name in sorted(kinds, key=len, reverse=True):
        if part == name or part.startswith(f"{name} "):
            return kinds[name], part[len(name) :].strip()
    return None


def named(part: str, where: Location, problems: ProblemList) -> tuple[Kind, str] | None:
    """The same, noted where it names no kind of part."""
    found = kind_and_position(part.strip())
    if found is None:
        problems.add(Problem(where, f"the part `{part[:40]}`", "a kind of part and its position: `wheel L3`, `body`"))
    return found
