"""The car as it stood at the end of one day: which parts, where, with what evidence; and the move, as parts."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

import msgspec

from carknocker.record.model import CarRecord, Evidence, Move, Part, Work
from carknocker.record.move_parts import move_parts, stated
from carknocker.record.parts_on import parts_on, was_fitted
from carknocker.record.wheelset_parts import thing_key_of_wheelset


class Standing(msgspec.Struct, frozen=True, eq=False):
    """parts: in walking order, those of spares and of the move included. inside: container → parts directly in it.
    evidence: part → attribute → oldest first, dated up to the day. later: how many entries are dated after it.
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
    _by_id: dict[str, Evidence] = msgspec.field(default_factory=dict)
    _reached: dict[tuple[str, str], tuple[str, ...]] = msgspec.field(default_factory=dict)

    def by_id(self, ids: Iterable[str]) -> list[Evidence]:
        """The evidence with these ids."""
        wanted = tuple(ids)
        if wanted and not self._by_id:
            for own in self.evidence.values():
                for entries in own.values():
                    self._by_id.update((entry.id, entry) for entry in entries)
        return [self._by_id[one] for one in wanted]

    def containers(self, part: str) -> tuple[str, ...]:
        """What the part is in, nearest first. Empty for a part that the car has not got."""
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
            found = tuple(key for key in self._all_inside(place) if self.parts[key].kind == kind)
            if found:
                return found
        return ()

    def inside_of(self, part: str, kind: str) -> tuple[str, ...]:
        """The parts of a kind inside a part, at any depth; of the car, its own brake system's and ends' included."""
        return tuple(key for key in self._all_inside(part) if self.parts[key].kind == kind)

    def _all_inside(self, part: str) -> Iterator[str]:
        for key in self.inside.get(part, ()):
            yield key
            yield from self._all_inside(key)

    def place_at(self, thing_part: str, day: date, after: frozenset[str]) -> str:
        """The axle position where a part of a wheelset was on a day (work of that day counts if it is in `after`);
        a place, or a thing that was not fitted, is its own place."""
        serial = thing_key_of_wheelset(thing_part)
        if serial is None:
            return thing_part
        for fitting in self.car.fittings:
            if fitting.wheelset == serial and was_fitted(fitting, day, after):
                return f"axle position {fitting.axle}"
        return thing_part


def stand(car: CarRecord, move: Move | None, as_of: date) -> Standing:
    """The car at the end of a day. What is dated later is left out and counted."""
    parts = {part.key: part for part in parts_on(car, as_of)}
    evidence, later = _evidence_up_to(car, as_of)
    if move is not None:
        for part, facts in move_parts(move):
            parts[part.key] = part
            evidence[part.key] = {name: (stated(part, name, value),) for name, value in facts.items()}
    by_kind: dict[str, list[Part]] = {}
    inside: dict[str, list[str]] = {}
    for part in parts.values():
        by_kind.setdefault(part.kind, []).append(part)
        if part.container is not None:
            inside.setdefault(part.container, []).append(part.key)
    work = tuple(entry for entry in car.work if entry.on <= as_of)
    return Standing(
        car=car,
        move=move,
        as_of=as_of,
        parts=parts,
        by_kind={kind: tuple(found) for kind, found in by_kind.items()},
        inside={container: tuple(keys) for container, keys in inside.items()},
        evidence=evidence,
        work=work,
        later=later + len(car.work) - len(work) + sum(made.out > as_of for made in car.moves_made),
    )


def _evidence_up_to(car: CarRecord, day: date) -> tuple[dict[str, Mapping[str, tuple[Evidence, ...]]], int]:
    """Part → attribute → evidence dated up to a day; and how many pieces are dated later."""
    if car.last_day <= day:
        return dict(car.by_part), 0
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
