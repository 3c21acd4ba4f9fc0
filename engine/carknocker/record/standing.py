"""The car as it stood at the end of one day: which parts, where, with what evidence; and the move, as parts."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from functools import lru_cache

import msgspec

from carknocker.record.model import CarRecord, Evidence, Move, Part, Work
from carknocker.record.move_parts import move_parts, stated
from carknocker.record.part_keys import axle_position_key, serial_of
from carknocker.record.parts_on import parts_on, was_fitted


class CarOnDay(msgspec.Struct, frozen=True, eq=False, weakref=True):
    """The car at the end of a day, whatever move it is to make. What is worked out from it serves every judgement of
    that day. Fields as in `Standing`; compared by identity."""

    car: CarRecord
    as_of: date
    parts: Mapping[str, Part]
    by_kind: Mapping[str, tuple[Part, ...]]
    inside: Mapping[str, tuple[str, ...]]
    evidence: Mapping[str, Mapping[str, tuple[Evidence, ...]]]
    work: tuple[Work, ...]
    later: int


class Standing(msgspec.Struct, frozen=True, eq=False):
    """parts: in walking order, those of spares and of the move included. inside: container → parts directly in it.
    evidence: part → attribute → oldest first, dated up to the day. later: how many entries are dated after it.
    on_day: the same without the move, if it was made from that. Of a car that was changed since (a hypothetical one),
    only what is still the very same object as here may be taken from there.
    """

    car: CarRecord
    move: Move | None
    as_of: date
    parts: Mapping[str, Part]
    by_kind: Mapping[str, tuple[Part, ...]]
    inside: Mapping[str, tuple[str, ...]]
    evidence: Mapping[str, Mapping[str, tuple[Evidence, ...]]]
    work: tuple[Work, ...]
    later: int = 0
    on_day: CarOnDay | None = None
    _by_id: dict[str, Evidence] = msgspec.field(default_factory=dict)
    _containers: dict[str, tuple[str, ...]] = msgspec.field(default_factory=dict)
    _reached: dict[tuple[str, str], tuple[str, ...]] = msgspec.field(default_factory=dict)
    _inside: dict[str, dict[str, tuple[str, ...]]] = msgspec.field(
        default_factory=dict
    )  # part → kind → parts inside it

    def by_id(self, ids: Iterable[str]) -> list[Evidence]:
        """The evidence with these ids."""
        wanted = tuple(ids)
        if wanted and not self._by_id:
            day = self.on_day
            self._by_id.update(_by_id({}, self.evidence) if day is None else _by_id_on(day))
            if day is not None:
                self._by_id.update(_by_id(day.evidence, self.evidence))
        return [self._by_id[one] for one in wanted]

    def containers(self, part: str) -> tuple[str, ...]:
        """What the part is in, nearest first. Empty for a part that the car has not got."""
        known = self._containers.get(part)
        if known is None:
            known = self._containers[part] = self._found_containers(part)
        return known

    def _found_containers(self, part: str) -> tuple[str, ...]:
        found: list[str] = []
        here = self.parts.get(part)
        while here is not None and here.container is not None:
            found.append(here.container)
            here = self.parts.get(here.container)
        return tuple(found)

    def reach(self, part: str, kind: str) -> tuple[str, ...]:
        """The part itself if it is of that kind; else its nearest container of that kind; else the parts of that kind
        inside it; else those inside the nearest container that has any."""
        asked = (part, kind)
        if asked not in self._reached:
            self._reached[asked] = self._reach(part, kind)
        return self._reached[asked]

    def _reach(self, part: str, kind: str) -> tuple[str, ...]:
        here = self.parts.get(part)
        if here is None:
            return ()
        if here.kind == kind:
            return (part,)
        containers = self.containers(part)
        for container in containers:
            if self.parts[container].kind == kind:
                return (container,)
        for place in (part, *containers):
            found = self.inside_of(place, kind)
            if found:
                return found
        return ()

    def inside_of(self, part: str, kind: str) -> tuple[str, ...]:
        """The parts of a kind inside a part, at any depth; of the car, its own brake system's and ends' included."""
        found = self._inside.get(part)
        if found is None:
            by_kind: dict[str, list[str]] = {}
            for key in self._all_inside(part):
                by_kind.setdefault(self.parts[key].kind, []).append(key)
            found = self._inside[part] = {name: tuple(keys) for name, keys in by_kind.items()}
        return found.get(kind, ())

    def _all_inside(self, part: str) -> Iterator[str]:
        for key in self.inside.get(part, ()):
            yield key
            yield from self._all_inside(key)

    def place_at(self, thing_part: str, day: date, after: frozenset[str]) -> str:
        """The axle position where a part of a wheelset was on a day (work of that day counts if it is in `after`);
        a place, or a thing that was not fitted, is its own place."""
        serial = serial_of(thing_part)
        if serial is None:
            return thing_part
        for fitting in self.car.fittings:
            if fitting.wheelset == serial and was_fitted(fitting, day, after):
                return axle_position_key(fitting.axle)
        return thing_part


_EvidenceByPart = Mapping[str, Mapping[str, tuple[Evidence, ...]]]


@lru_cache(maxsize=1)
def _by_id_on(day: CarOnDay) -> dict[str, Evidence]:
    return _by_id({}, day.evidence)


def _by_id(known: _EvidenceByPart, evidence: _EvidenceByPart) -> dict[str, Evidence]:
    """The evidence by id, but for the parts of which it is known already."""
    return {
        one.id: one
        for part, own in evidence.items()
        if known.get(part) is not own
        for entries in own.values()
        for one in entries
    }


def stand(car: CarRecord, move: Move | None, as_of: date) -> Standing:
    """The car at the end of a day. What is dated later is left out and counted."""
    day = car_on_day(car, as_of)
    parts, evidence = dict(day.parts), dict(day.evidence)
    by_kind, inside = dict(day.by_kind), dict(day.inside)
    for part, facts in () if move is None else move_parts(move):
        parts[part.key] = part
        evidence[part.key] = {name: (stated(part, name, value),) for name, value in facts.items()}
        by_kind[part.kind] = (*by_kind.get(part.kind, ()), part)
        if part.container is not None:
            inside[part.container] = (*inside.get(part.container, ()), part.key)
    return Standing(car, move, as_of, parts, by_kind, inside, evidence, day.work, day.later, day)


_last: CarOnDay | None = None


def car_on_day(car: CarRecord, as_of: date) -> CarOnDay:
    """Kept for the car and the day that were asked for last: the questions about a car judge it many times."""
    global _last
    day = _last
    if day is None or day.car is not car or day.as_of != as_of:
        day = _last = _made_on_day(car, as_of)
    return day


def _made_on_day(car: CarRecord, as_of: date) -> CarOnDay:
    parts = {part.key: part for part in parts_on(car, as_of)}
    by_kind: dict[str, list[Part]] = {}
    inside: dict[str, list[str]] = {}
    for part in parts.values():
        by_kind.setdefault(part.kind, []).append(part)
        if part.container is not None:
            inside.setdefault(part.container, []).append(part.key)
    evidence, later = _evidence_up_to(car, as_of)
    work = tuple(entry for entry in car.work if entry.on <= as_of)
    return CarOnDay(
        car, as_of, parts,
        {kind: tuple(found) for kind, found in by_kind.items()},
        {container: tuple(keys) for container, keys in inside.items()},
        evidence, work,
        later + len(car.work) - len(work) + sum(made.out > as_of for made in car.moves_made),
    )  # fmt: skip


def _evidence_up_to(car: CarRecord, day: date) -> tuple[Mapping[str, Mapping[str, tuple[Evidence, ...]]], int]:
    """Part → attribute → evidence dated up to a day; and how many pieces are dated later."""
    if car.last_day <= day:
        return car.by_part, 0
    evidence: dict[str, Mapping[str, tuple[Evidence, ...]]] = {}
    later = 0
    for part, attributes in car.by_part.items():
        kept: dict[str, tuple[Evidence, ...]] = {}
        for name, entries in attributes.items():
            past = tuple(entry for entry in entries if entry.on is None or entry.on <= day)
            later += len(entries) - len(past)
            if past:
                kept[name] = past
        if kept:
            evidence[part] = kept
    return evidence, later
