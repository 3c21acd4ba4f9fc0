"""Positions as people write them (`L3`, `BL`, `truck B`, `"L1, R1"`, `all`), turned into parts on a day."""

import re
from collections.abc import Iterable, Mapping
from datetime import date

from carknocker.documents import Location, Node, nearest, one_of, some
from carknocker.record.files import RecordReporter
from carknocker.record.model import Fitting, Part
from carknocker.record.part_keys import axle_key, serial_of, wheelset_key
from carknocker.record.standing import was_fitted
from carknocker.vocabulary.model import Kind, WorkKind
from carknocker.vocabulary.program_names import AXLE, WHEELSET

ALL = "all"
_OTHER = {"left": "right", "right": "left"}
_SIDE = {"L": "left", "R": "right"}
_AXLE = "axle position "
_AT_AXLE = re.compile(r"[LR]?[0-9]+")
_NO_IDS: frozenset[str] = frozenset()

# Position → key of the part, and of the place where it was.
Table = Mapping[str, tuple[str, str]]


class Positions:
    """Finds parts by kind and position. Things are found by where they were on the day.

    numbered: whether the record's axles are rightly numbered; if not, a position at an axle that the car has not got
    is not reported too: what is wrong with the axles is.
    met: each wheelset, its axle and the day, of which something was said by its position, and where that is written.
    """

    def __init__(
        self,
        parts: Iterable[Part],
        serials: Iterable[str],
        fittings: tuple[Fitting, ...],
        reporter: RecordReporter,
        *,
        numbered: bool = True,
    ) -> None:
        self._numbered = numbered
        self.met: dict[tuple[str, int, date], Location] = {}
        self._by_kind: dict[str, dict[str, str]] = {}
        self._reporter = reporter
        for part in parts:
            self._by_kind.setdefault(part.kind, {})[part.position or part.kind] = part.key
        self._serials = tuple(serials)
        self._by_axle: dict[int, list[Fitting]] = {}
        for fitting in fittings:
            self._by_axle.setdefault(fitting.axle, []).append(fitting)
        self._tables: dict[tuple[str, date | None, frozenset[str]], Table] = {}

    def find(
        self, kind: Kind, text: str, place: Node | Location, day: date | None, after: frozenset[str] = _NO_IDS
    ) -> list[tuple[str, str]]:
        """(part, place) for each part that the text names on a day (None: now); none is reported.

        `all` are those on the car; a thing that is not fitted is named by its serial.
        """
        table = self._table(kind, day, after)
        if text.strip() == ALL:
            found = dict.fromkeys(pair for pair in table.values() if not kind.thing or pair[0] != pair[1])
            self._meet(kind, found, day, place)
            if not found and not self._excused(kind, ""):
                self._reporter.note(place, f"`all`, but the car has no {kind.name}", f"a {kind.name} in the record")
            return list(found)
        found = {}
        for word in (piece.strip() for piece in text.split(",")):
            named = table.get(word) or table.get(_bare(kind, word))
            if named is None:
                if self._excused(kind, _bare(kind, word)):
                    continue
                expected = f"one of {some(list(table))}, or `all`" if table else f"the record lists no {kind.name}"
                words = f"the {kind.name} `{word[:40]}`, which the car has not got"
                self._reporter.note(place, words, expected, nearest(word, table))
            elif named not in found:
                found[named] = None
                if _bare(kind, word) != serial_of(named[0]):  # a serial says nothing of the axle
                    self._meet(kind, [named], day, place)
        return list(found)

    def _excused(self, kind: Kind, word: str) -> bool:
        """Whether a position is one at an axle, and the axles have wrong numbers; "": all of them."""
        at_axles = kind.thing or kind.positions in ("axles", "sides of axle")
        return at_axles and not self._numbered and (not word or _AT_AXLE.fullmatch(word) is not None)

    def _meet(self, kind: Kind, found: Iterable[tuple[str, str]], day: date | None, place: Node | Location) -> None:
        if day is None or not kind.thing:
            return
        where = place.where if isinstance(place, Node) else place
        for part, position in found:
            serial = serial_of(part)
            if serial is not None and position != part:
                self.met.setdefault((serial, int(position.removeprefix(_AXLE)), day), where)

    def place_of(self, kind: Kind, part: str, day: date | None, after: frozenset[str]) -> str:
        """Where a part was on a day: the axle position of a thing that was fitted, else the part itself."""
        return next((place for key, place in self._table(kind, day, after).values() if key == part), part)

    def knows(self, kind: Kind, text: str, day: date | None, after: frozenset[str] = _NO_IDS) -> bool:
        """Whether every position in the text is one of this kind."""
        table = self._table(kind, day, after)
        words = (piece.strip() for piece in text.split(","))
        return text.strip() == ALL or all(word in table or _bare(kind, word) in table for word in words)

    def words(self, kind: Kind, day: date | None, after: frozenset[str] = _NO_IDS) -> tuple[str, ...]:
        """The positions that parts of a kind have on a day."""
        return tuple(self._table(kind, day, after))

    def kind_named_in(self, text: str) -> Kind | None:
        """The kind that a text such as `wheel L3` begins with, the longest name first."""
        kinds = self._reporter.vocabulary.kinds
        for name in sorted(kinds, key=len, reverse=True):
            if text == name or text.startswith(f"{name} "):
                return kinds[name]
        return None

    def _table(self, kind: Kind, day: date | None, after: frozenset[str]) -> Table:
        key = (kind.name, day, after) if kind.thing else (kind.name, None, _NO_IDS)
        table = self._tables.get(key)
        if table is None:
            table = self._tables[key] = self._things(kind, day, after) if kind.thing else self._places(kind)
        return table

    def _places(self, kind: Kind) -> Table:
        return {position: (key, key) for position, key in self._by_kind.get(kind.name, {}).items()}

    def _things(self, kind: Kind, day: date | None, after: frozenset[str]) -> Table:
        # A position on the car is told first: a serial that reads like one (`3`) must not take its place.
        at_axles: dict[str, tuple[str, str]] = {}
        by_serial: dict[str, tuple[str, str]] = {}
        fitted: set[str] = set()
        for axle, own in sorted(self._by_axle.items()):
            fitting = own[-1] if day is None else next((one for one in own if was_fitted(one, day, after)), None)
            if fitting is None:
                continue
            fitted.add(fitting.wheelset)
            place = f"{_AXLE}{axle}"
            for position, key in _at_axle(kind, fitting):
                at_axles[position] = (key, place)
            if kind.name in (AXLE, WHEELSET):
                by_serial[fitting.wheelset] = (_by_serial(kind, fitting.wheelset)[0][1], place)
        for serial in self._serials:
            if serial not in fitted:
                by_serial.update((position, (key, key)) for position, key in _by_serial(kind, serial))
        return {**at_axles, **{word: pair for word, pair in by_serial.items() if word not in at_axles}}


def _bare(kind: Kind, word: str) -> str:
    """A position without the kind before it: `L3` of `wheel L3`, `3` of `axle 3`."""
    for beginning in (kind.name, kind.label, kind.name.partition(" ")[0]):
        if word.startswith(f"{beginning} "):
            return word[len(beginning) + 1 :].strip()
    return word


def _at_axle(kind: Kind, fitting: Fitting) -> list[tuple[str, str]]:
    """The positions on the car, and the keys, of the parts of a fitted wheelset that are of this kind."""
    serial, axle = fitting.wheelset, fitting.axle
    if kind.name == WHEELSET:
        return []
    if kind.name == AXLE:
        return [(str(axle), axle_key(serial))]
    things = []
    for letter, side in _SIDE.items():
        own = _OTHER[side] if fitting.end_for_end else side
        things.append((f"{letter}{axle}", f"{kind.name} {serial} {own}"))
    return things


def _by_serial(kind: Kind, serial: str) -> list[tuple[str, str]]:
    """The names, and the keys, of the parts of a wheelset that are of this kind, wherever it is."""
    if kind.name == WHEELSET:
        return [(serial, wheelset_key(serial))]
    if kind.name == AXLE:
        return [(serial, axle_key(serial))]
    return [(f"{serial} {side}", f"{kind.name} {serial} {side}") for side in ("left", "right")]


def parts_named_at(
    node: Node,
    at: tuple[str, ...],
    kind: WorkKind,
    on: date,
    after: frozenset[str],
    positions: Positions,
    reporter: RecordReporter,
) -> tuple[str, ...]:
    """Keys of the parts that `at` names on a day, each of the first kind of part that has such a position. Without `at`
    it is the one part of its kind (the car, the brake system); if there is no such part, that is reported."""
    kinds = [reporter.vocabulary.kinds[name] for name in kind.on]
    place = node.get("at") or node
    if not at:
        single = next((one for one in kinds if one.positions == "single"), None)
        if single is None:
            reporter.note(place, f"`{kind.name}` without `at`", f"`at: …`: which {' or '.join(kind.on)}", lacks="at")
            return ()
        return tuple(part for part, _ in positions.find(single, single.name, place, on, after))
    found: list[str] = []
    for text in at:
        own = next((one for one in kinds if positions.knows(one, text, on, after)), None)
        if own is not None:
            found.extend(part for part, _ in positions.find(own, text, place, on, after))
        elif len(kinds) == 1:
            positions.find(kinds[0], text, place, on, after)
        else:
            known = [word for one in kinds for word in positions.words(one, on, after)]
            words = f"`at: {text[:40]}`, which is no {' or '.join(kind.on)}"
            expected = one_of(known, f"no `at`: the record has no {' or '.join(kind.on)}")
            reporter.note(place, words, expected, nearest(text, known))
    return tuple(dict.fromkeys(found))
