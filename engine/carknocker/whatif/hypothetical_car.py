"""Hypothetical cars: the record as it would be after work, tests and readings, as it was on an earlier day, or with its
wheelsets at other axles. Pure; no file is ever written."""

from collections.abc import Container, Iterable, Mapping
from datetime import date

from msgspec.structs import replace

from carknocker.documents import Location
from carknocker.judgement.situation import Situation
from carknocker.record.model import NO_END, CarRecord, Evidence, Fitting, Part, Person, Spare, Work
from carknocker.record.part_keys import axle_position_key, serial_of, wheelset_key, wheelset_parts
from carknocker.record.standing import PartPaths, parts_on
from carknocker.vocabulary.program_names import AXLE, BEARING, WHEEL, WHEELSET

PLANNED = "planned"
"""The name of the file in which what is only planned is said to stand."""
NOWHERE = Location(PLANNED, 1, 1)


def with_work(car: CarRecord, entries: Iterable[Work]) -> CarRecord:
    """The car with further work on record. A change of wheelsets is made by `with_wheelsets`, not by its entry."""
    return replace(car, work=tuple(sorted((*car.work, *entries), key=lambda one: one.on)))


def with_evidence(car: CarRecord, entries: Iterable[Evidence]) -> CarRecord:
    """The car with further readings, tests and papers, each newer than what was there on its day."""
    evidence = sorted((*car.evidence, *entries), key=lambda one: one.on or date.min)
    return replace(car, evidence=tuple(evidence), by_part={}, last_day=date.min)


def with_wheelsets(car: CarRecord, at: Mapping[int, str], day: date, ids: Mapping[int, str] | None = None) -> CarRecord:
    """The car with these wheelsets at these axles from that day on.

    at: axle → serial; an axle that is not named keeps its wheelset, so that no serial may come twice. ids: axle → id of
    the work that does it. What comes off is no longer under the car; what goes on is no longer a spare.
    """
    changed = {axle: serial for axle, serial in at.items() if fitted_now(car).get(axle) != serial}
    if not changed:
        return car
    spares = tuple(one for one in car.spares if one.serial not in changed.values())
    fittings = changed_fittings(car, changed, changed.keys(), day, ids or {})
    return replace(car, fittings=fittings, parts=_refitted(car, changed), spares=spares)


def changed_fittings(
    car: CarRecord, changed: Mapping[int, str], emptied: Container[int], day: date, ids: Mapping[int, str]
) -> tuple[Fitting, ...]:
    """The fittings of a car, with those at the emptied axles ended and those of the changed begun on that day."""
    fittings: list[Fitting] = []
    for fitting in car.fittings:
        if fitting.last is None and fitting.axle in emptied:
            fittings.append(replace(fitting, last=day, ended_with=ids.get(fitting.axle, "")))
        else:
            fittings.append(fitting)
    fittings.extend(
        Fitting(serial, axle, day, None, ids.get(axle, ""), "", False) for axle, serial in sorted(changed.items())
    )
    return tuple(fittings)


def fitted_now(car: CarRecord) -> dict[int, str]:
    """Axle → serial of the wheelset that is there now."""
    return {fitting.axle: fitting.wheelset for fitting in car.fittings if fitting.last is None}


def _refitted(car: CarRecord, changed: Mapping[int, str]) -> tuple[Part, ...]:
    """The parts with the changed wheelsets where the ones before them were in walking order; the rest after them."""
    before = fitted_now(car)
    places = {wheelset_key(before[axle]): axle for axle in changed}
    moving = {*changed.values(), *(before[axle] for axle in changed)}
    where = {part.position: part.where for part in car.parts if part.kind == WHEELSET}
    parts: list[Part] = []
    for part in car.parts:
        if serial_of(part.key) not in moving:
            parts.append(part)
        elif part.key in places:
            axle = places[part.key]
            serial = changed[axle]
            parts.extend(wheelset_parts(serial, axle, False, where.get(serial, NOWHERE)))
    for serial in sorted(moving - set(changed.values())):
        parts.extend(wheelset_parts(serial, None, False, where.get(serial, NOWHERE)))
    return tuple(parts)


def with_spare(car: CarRecord, spare: Spare) -> CarRecord:
    """The car with a spare as given, in the place of the one of the same id."""
    others = tuple(one for one in car.spares if one.id != spare.id)
    return replace(car, spares=(*others, spare))


def someone_accepted(situation: Situation, day: date) -> Person:
    """Someone on record whose signature the host of the move accepts on that day; else someone yet to be named."""
    host, people = situation.move.host, situation.standing.car.people.values()
    named = (one for one in people if situation.accepts(one, day))
    return next(named, Person("", "someone whom the host accepts", "", (host,), NO_END, NOWHERE))


_KINDS = (WHEELSET, WHEEL, BEARING, AXLE)


def rearranged(before: Situation, at: Mapping[int, str]) -> Situation:
    """The situation with these wheelsets at these axles, as if they had always been there.

    at: axle → serial, of wheelsets that are parts of the situation. An axle that is not named keeps its wheelset, or is
    empty where that one is named for another axle.
    """
    standing = before.standing
    now = fitted_now(standing.car)
    changed = {axle: serial for axle, serial in at.items() if now.get(axle) != serial}
    if not changed:
        return before
    taken = set(at.values())
    emptied = {axle for axle, serial in now.items() if axle in changed or (axle not in at and serial in taken)}
    places: dict[str, int | None] = {now[axle]: None for axle in emptied}
    places.update({serial: axle for axle, serial in changed.items()})
    parts: dict[str, Part] = dict(standing.parts)
    inside = dict(standing.inside)
    for axle in emptied:
        position = axle_position_key(axle)
        inside[position] = tuple(key for key in inside[position] if key != wheelset_key(now[axle]))
    for serial, at_axle in places.items():
        parts.update((part.key, part) for part in wheelset_parts(serial, at_axle, False, NOWHERE))
        if at_axle is not None:
            position = axle_position_key(at_axle)
            inside[position] = (*inside[position], wheelset_key(serial))
    by_kind = {**standing.by_kind, **{kind: tuple(parts[one.key] for one in standing.by_kind[kind]) for kind in _KINDS}}
    car = replace(
        standing.car,
        fittings=changed_fittings(standing.car, changed, emptied, standing.as_of, {}),
        spares=tuple(one for one in standing.car.spares if one.serial not in taken),
        evidence=(),  # what is known of the parts is in the standing
    )
    changed_standing = replace(standing, car=car, parts=parts, by_kind=by_kind, inside=inside, paths=PartPaths())
    return Situation(changed_standing, before.move, before.excluded, before)


def as_it_stood(car: CarRecord, day: date) -> CarRecord:
    """The car with nothing on record that is dated after the day; the car itself where nothing is."""
    later = (
        car.last_day > day
        or any(one.on > day for one in car.work)
        or any(one.out > day for one in car.moves_made)
        or any(one.first is not None and one.first > day for one in car.fittings)
    )
    if not later:
        return car
    fittings = tuple(
        replace(one, last=None, ended_with="") if one.last is not None and one.last > day else one
        for one in car.fittings
        if one.first is None or one.first <= day
    )
    return replace(
        car,
        parts=parts_on(car, day),
        fittings=fittings,
        evidence=tuple(one for one in car.evidence if (shown := one.shown_from) is None or shown <= day),
        work=tuple(one for one in car.work if one.on <= day),
        moves_made=tuple(one for one in car.moves_made if one.out <= day),
        by_part={},
        last_day=date.min,
    )
