"""Positions as people write them (`L3`, `BL`, `truck B`, `"L1, R1"`, `all`), turned into parts on a day."""

from collections.abc import Iterable, Mapping
from datetime import date

from carknocker.documents import Location, Node, nearest
from carknocker.record.model import Fitting, Part
from carknocker.record.notes import Notes
from carknocker.record.standing import was_fitted
from carknocker.record.value_text import some
from carknocker.vocabulary.model import Kind

ALL = "all"
_OTHER = {"left": "right", "right": "left"}
_SIDE = {"L": "left", "R": "right"}


class Positions:
    """Finds parts by kind and position. Things are found by where they were on the day."""

    def __init__(
        self, parts: Iterable[Part], serials: Iterable[str], fittings: tuple[Fitting, ...], notes: Notes
    ) -> None:
        self._by_kind: dict[str, dict[str, str]] = {}
        self._notes = notes
        for part in parts:
            self._by_kind.setdefault(part.kind, {})[part.position or part.kind] = part.key
        self._serials = tuple(serials)
        self._fittings = fittings
        self._axles = sorted({fitting.axle for fitting in fittings})

    def find(
        self, kind: Kind, text: str, place: Node | Location, day: date | None, after: frozenset[str] = frozenset()
    ) -> list[tuple[str, str]]:
        """(part, place) for each part that the text names on a day (None: as the car stands now); noted if none."""
        table = self._on(kind, day, after)
        if text.strip() == ALL:
            fitted = dict.fromkeys(pair for pair in table.values() if not kind.thing or pair[0] != pair[1])
            return list(fitted)
        found: list[tuple[str, str]] = []
        for word in (piece.strip() for piece in text.split(",")):
            named = table.get(word) or table.get(word.removeprefix(f"{kind.name} ").removeprefix(f"{kind.label} "))
            if named is None:
                expected = f"one of {some(list(table))}, or `all`" if table else f"the record lists no {kind.name}"
                found_here = f"the {kind.name} `{word[:40]}`, which the car has not got"
                self._notes.note(place, found_here, expected, nearest(word, table))
            elif named not in found:
                found.append(named)
        return found

    def place_of(self, kind: Kind, part: str, day: date | None, after: frozenset[str]) -> str:
        """Where a part was on a day: the axle position of a thing that was fitted, else the part itself."""
        return next((place for key, place in self._on(kind, day, after).values() if key == part), part)

    def knows(self, kind: Kind, text: str, day: date | None, after: frozenset[str] = frozenset()) -> bool:
        """Whether every position in the text is one of this kind."""
        table = self._on(kind, day, after)
        words = (piece.strip() for piece in text.split(","))
        return text.strip() == ALL or all(
            word in table or word.removeprefix(f"{kind.name} ") in table for word in words
        )

    def _on(self, kind: Kind, day: date | None, after: frozenset[str]) -> Mapping[str, tuple[str, str]]:
        if not kind.thing:
            return {position: (key, key) for position, key in self._by_kind.get(kind.name, {}).items()}
        table: dict[str, tuple[str, str]] = {}
        fitted: set[str] = set()
        for axle in self._axles:
            fitting = self._at(axle, day, after)
            if fitting is not None:
                fitted.add(fitting.wheelset)
                for position, key in _things(kind, fitting):
                    table[position] = (key, f"axle position {axle}")
        for serial in self._serials:
            if serial not in fitted:
                table.update((position, (key, key)) for position, key in _loose(kind, serial))
        return table

    def _at(self, axle: int, day: date | None, after: frozenset[str]) -> Fitting | None:
        own = [fitting for fitting in self._fittings if fitting.axle == axle]
        if day is None:
            return own[-1] if own else None
        return next((fitting for fitting in own if was_fitted(fitting, day, after)), None)


def _things(kind: Kind, fitting: Fitting) -> list[tuple[str, str]]:
    """The positions and keys of the parts of a fitted wheelset that are of this kind."""
    serial, axle = fitting.wheelset, fitting.axle
    if kind.name == "wheelset":
        return [(serial, f"wheelset {serial}")]
    if kind.name == "axle":
        return [(str(axle), f"axle of {serial}"), (serial, f"axle of {serial}")]
    things = []
    for letter, side in _SIDE.items():
        own = _OTHER[side] if fitting.end_for_end else side
        things.append((f"{letter}{axle}", f"{kind.name} {serial} {own}"))
    return things


def _loose(kind: Kind, serial: str) -> list[tuple[str, str]]:
    """The positions and keys of the parts of a wheelset that is not fitted."""
    if kind.name == "wheelset":
        return [(serial, f"wheelset {serial}")]
    if kind.name == "axle":
        return [(serial, f"axle of {serial}")]
    return [(f"{serial} {side}", f"{kind.name} {serial} {side}") for side in ("left", "right")]
