"""The car as it stood at the end of one day: which parts, where, with what evidence; and the move, as parts."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import date, timedelta
from functools import lru_cache

import msgspec

from carknocker.documents.node import Location
from carknocker.record.model import CarRecord, Evidence, Fitting, Leg, Move, Part, SureEntry, Work
from carknocker.record.part_keys import axle_position_key, leg_key, serial_of, wheelset_key, wheelset_parts
from carknocker.record.unlisted_parts import parts_there, told_of, unlisted_part
from carknocker.record.values import Day, Figure, Value, Word
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import TRAIN


def was_fitted(fitting: Fitting, day: date, after: frozenset[str]) -> bool:
    """Whether a fitting holds for what was done on a day: work of the same day counts only if it was before."""
    if fitting.first is not None and (
        day < fitting.first or (day == fitting.first and fitting.began_with not in after)
    ):
        return False
    if fitting.last is None:
        return True
    return day < fitting.last or (day == fitting.last and fitting.ended_with not in after)


def parts_on(car: CarRecord, day: date) -> tuple[Part, ...]:
    """The parts on a day: as now, but with the wheelsets that were at the axles then."""
    now = {fitting.axle: fitting for fitting in car.fittings if fitting.last is None}
    then = {
        fitting.axle: fitting
        for fitting in car.fittings
        if (fitting.first is None or fitting.first <= day) and (fitting.last is None or fitting.last > day)
    }
    if now == then:
        return car.parts
    moved = {fitting.wheelset for fitting in (*now.values(), *then.values())}
    kept = [part for part in car.parts if serial_of(part.key) not in moved]
    for axle, fitting in sorted(then.items()):
        where = next((p.where for p in car.parts if p.key == axle_position_key(axle)), Location(car.file, 1, 1))
        kept.extend(wheelset_parts(fitting.wheelset, axle, fitting.end_for_end, where))
    known = {part.key for part in car.parts}
    fitted_then = {fitting.wheelset for fitting in then.values()}
    for serial in sorted(moved - fitted_then):
        if wheelset_key(serial) in known:
            where = next(p.where for p in car.parts if p.key == wheelset_key(serial))
            kept.extend(wheelset_parts(serial, None, False, where))
    return tuple(kept)


def move_parts(move: Move) -> Iterator[tuple[Part, Mapping[str, Value]]]:
    """The move, the train and each leg as parts, with what the move file says of them."""
    move_facts = {
        **move.facts,
        "host": Word(move.host),
        "train": Word(move.train),
        "rides": Word(move.rides),
        "out": Day(move.out, move.out, move.out.isoformat()),
        "back": Day(move.back, move.back, move.back.isoformat()),
    }
    yield Part("move", "move", "", "the move", None, True, move.where), move_facts
    yield Part("train", "train", "", "the train", "move", True, move.where), move.train_facts
    for leg in move.legs:
        key = leg_key(leg.number)
        label = f"leg {leg.number} ({leg.start} to {leg.end})"
        yield (
            Part(key, "leg", str(leg.number), label, "move", True, leg.where),
            {**leg.facts, "from": Word(leg.start), "to": Word(leg.end), "miles": Figure(leg.miles), **_days(leg)},
        )


def _days(leg: Leg) -> dict[str, Value]:
    """The days of a leg, where the move says them."""
    days = {"on": leg.on, "until": leg.until}
    return {name: Day(day, day, day.isoformat()) for name, day in days.items() if day is not None}


def stated(part: Part, name: str, value: Value, sure: str = "") -> Evidence:
    """What the move file says of one of these parts, as a description. sure: why it is so though it can hardly be."""
    return Evidence(f"{part.key} {name}", name, part.key, part.key, value, "description", None, part.where, sure=sure)


def _sure_of(sure: tuple[SureEntry, ...], part: Part, name: str, value: Value) -> str:
    """What the move file says with `sure` of a fact, or of the entry whose fixed key it is."""
    own, fixed = (part.key, part.label), name in _FIXED.get(part.kind, ())
    for one in sure:
        if one.of in own and ((one.attribute == name and one.value == value) or (fixed and not one.attribute)):
            return one.why
    return ""


_FIXED = {"move": frozenset(("host", "train", "rides", "out", "back")),
          "leg": frozenset(("from", "to", "miles", "on", "until"))}  # fmt: skip
"""What the head of an entry of the move file says, by its kind of part: `sure` on the entry is about it."""


_PLANNED = frozenset(("out", "back"))


def _is_later(value: Value, day: date) -> bool:
    return isinstance(value, Day) and value.first > day


def later_in_move(move: Move, day: date) -> Iterator[tuple[str, Day]]:
    """What the move file says was done on a day that has not come yet, such as the request: name and day."""
    for name, value in move.facts.items():
        if isinstance(value, Day) and _is_later(value, day):
            yield name, value


_SET_OUT_WITHIN = timedelta(days=31)
"""For how long after a move made a car can be said to have become defective in the train: it was set out since."""


def said_too_early(move: Move, car: CarRecord, day: date) -> Iterator[tuple[str, str, str]]:
    """What the move file says was found in a train that has not left yet: part, name and word. Of the car itself it can
    be said, too, where a move made ended not long ago."""
    kinds = load_vocabulary().kinds
    set_out = any(made.out <= day <= made.back + _SET_OUT_WITHIN for made in car.moves_made)
    for part, facts in () if day >= move.out else (("move", move.facts), (TRAIN, move.train_facts)):
        for name, value in facts.items():
            en_route = kinds[part].attributes[name].en_route if name in kinds[part].attributes else ()
            if isinstance(value, Word) and value.text in en_route and not (part == "move" and set_out):
                yield part, name, value.text


_MOST_NAMED = 4


def later_words(car: CarRecord, day: date) -> str:
    """The entries dated after a day, the earliest first, each with its day and its line; "" where there are none."""
    found = sorted(_later(car, day).items(), key=lambda one: (one[0][1], one[1].line))
    named = [f"{what} of {on.isoformat()} (line {where.line})" for (what, on), where in found[:_MOST_NAMED]]
    rest = len(found) - len(named)
    more = f"; and {rest} more" if rest else ""
    return f"Not counted, being dated after {day.isoformat()}: {'; '.join(named)}{more}." if named else ""


def _later(car: CarRecord, day: date) -> dict[tuple[str, date], Location]:
    """What it is and its day → where it stands, once for all the readings of a sheet."""
    found: dict[tuple[str, date], Location] = {}
    for entry in car.evidence:
        shown = entry.shown_from
        if shown is not None and shown > day:
            of_sheet = entry.sort == "reading" and shown == entry.on
            what = "readings" if of_sheet else f"{entry.attribute.replace('_', ' ')} ({entry.sort})"
            found.setdefault((what, shown), entry.where)
    for work in car.work:
        if work.on > day:
            found.setdefault((f"{work.id} {work.name}", work.on), work.where)
    for made in car.moves_made:
        if made.out > day:
            found.setdefault(("a move made", made.out), made.where)
    for correction in car.corrections:
        if correction.on > day:
            found.setdefault(("a correction", correction.on), correction.where)
    return found


class PartPaths(msgspec.Struct, frozen=True, eq=False):
    """Ways between parts, each found once. containers: part → what it is in, nearest first. inside: part → kind → parts
    inside it. reached: part and kind → what `Standing.reach` finds. Whoever changes the parts begins anew."""

    containers: dict[str, tuple[str, ...]] = msgspec.field(default_factory=dict)
    inside: dict[str, dict[str, tuple[str, ...]]] = msgspec.field(default_factory=dict)
    reached: dict[tuple[str, str], tuple[str, ...]] = msgspec.field(default_factory=dict)


class CarOnDay(msgspec.Struct, frozen=True, eq=False, weakref=True):
    """The car at the end of a day, whatever move it is to make. What is worked out from it serves every judgement of
    that day. Fields as in `Standing`; compared by identity. told_by: ids of the evidence that says which parts stand
    there unlisted."""

    car: CarRecord
    as_of: date
    parts: Mapping[str, Part]
    by_kind: Mapping[str, tuple[Part, ...]]
    inside: Mapping[str, tuple[str, ...]]
    evidence: Mapping[str, Mapping[str, tuple[Evidence, ...]]]
    work: tuple[Work, ...]
    later: int
    told_by: frozenset[str] = frozenset()
    paths: PartPaths = msgspec.field(default_factory=PartPaths)


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
    paths: PartPaths = msgspec.field(default_factory=PartPaths)

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
        found = self.paths.containers.get(part)
        if found is None:
            found = self._found_containers(part)
            if self._of_car(part):
                self.paths.containers[part] = found
        return found

    def _of_car(self, part: str) -> bool:
        """Whether a part is one of the car, so that its paths are the same whatever the move."""
        return self.on_day is None or part in self.on_day.parts

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
        found = self.paths.reached.get(asked)
        if found is None:
            found = self._reach(part, kind)
            if self._of_car(part):
                self.paths.reached[asked] = found
        return found

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
        inside = self.paths.inside.get(part)
        if inside is None:
            by_kind: dict[str, list[str]] = {}
            for key in self._all_inside(part):
                by_kind.setdefault(self.parts[key].kind, []).append(key)
            inside = {name: tuple(keys) for name, keys in by_kind.items()}
            if self._of_car(part):
                self.paths.inside[part] = inside
        return inside.get(kind, ())

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
        for fitting in self.car.fittings_of(serial):
            if was_fitted(fitting, day, after):
                return axle_position_key(fitting.axle)
        return thing_part


_EvidenceByPart = Mapping[str, Mapping[str, tuple[Evidence, ...]]]


@lru_cache(maxsize=1)
def _by_id_on(day: CarOnDay) -> dict[str, Evidence]:
    return _by_id({}, day.evidence)


def _by_id(known: _EvidenceByPart, evidence: _EvidenceByPart) -> dict[str, Evidence]:
    """The evidence by id, without that of parts already listed."""
    return {
        one.id: one
        for part, own in evidence.items()
        if known.get(part) is not own
        for entries in own.values()
        for one in entries
    }


def stand(car: CarRecord, move: Move | None, as_of: date, without: Collection[str] = ()) -> Standing:
    """The car at the end of a day. What is dated later is left out and counted. without: ids of evidence that does not
    count, so that it can't say either that a part is not there."""
    day = car_on_day(car, as_of, without)
    parts, evidence = dict(day.parts), dict(day.evidence)
    by_kind, inside = dict(day.by_kind), dict(day.inside)
    too_early = set() if move is None else {(key, name) for key, name, _ in said_too_early(move, car, as_of)}
    sure = () if move is None else move.sure
    for part, facts in () if move is None else move_parts(move):
        parts[part.key] = part
        evidence[part.key] = {
            name: (stated(part, name, value, _sure_of(sure, part, name, value) if sure else ""),)
            for name, value in facts.items()
            if (part.kind != "move" or name in _PLANNED or not _is_later(value, as_of))
            and (part.key, name) not in too_early
        }
        by_kind[part.kind] = (*by_kind.get(part.kind, ()), part)
        if part.container is not None:
            inside[part.container] = (*inside.get(part.container, ()), part.key)
    return Standing(car, move, as_of, parts, by_kind, inside, evidence, day.work, day.later, day, paths=day.paths)


def listed_now(car: CarRecord) -> Standing:
    """The parts that the record lists, as the car stands now, with all evidence of whatever day."""
    by_kind: dict[str, tuple[Part, ...]] = {}
    inside: dict[str, tuple[str, ...]] = {}
    _put_in(car.parts, by_kind, inside)
    parts = {part.key: part for part in car.parts}
    return Standing(car, None, date.max, parts, by_kind, inside, car.by_part, car.work)


_last: CarOnDay | None = None
_last_without: tuple[CarOnDay, frozenset[str], CarOnDay] | None = None


def car_on_day(car: CarRecord, as_of: date, without: Collection[str] = ()) -> CarOnDay:
    """The car at the end of a day. The last one is kept, since one question judges the same car many times. without: as
    in `stand`."""
    global _last, _last_without
    day = _last
    if day is None or day.car is not car or day.as_of != as_of:
        day = _last = _made_on_day(car, as_of)
    aside = frozenset(one for one in day.told_by if one in without) if without else None
    if not aside:
        return day
    kept = _last_without
    if kept is None or kept[0] is not day or kept[1] != aside:
        kept = _last_without = (day, aside, _made_on_day(car, as_of, aside))
    return kept[2]


def _made_on_day(car: CarRecord, as_of: date, without: Collection[str] = ()) -> CarOnDay:
    parts = {part.key: part for part in parts_on(car, as_of)}
    by_kind: dict[str, tuple[Part, ...]] = {}
    inside: dict[str, tuple[str, ...]] = {}
    _put_in(parts.values(), by_kind, inside)
    evidence, later = _evidence_up_to(car, as_of)
    work = tuple(entry for entry in car.work if entry.on <= as_of)
    told_by: set[str] = set()
    unlisted: list[Part] = []
    told: dict[str, Mapping[str, tuple[Evidence, ...]]] = {}
    for there in parts_there(Standing(car, None, as_of, parts, by_kind, inside, evidence, work), without):
        told_by.update(one.id for one in there.looked_at)
        part = unlisted_part(there)
        if part is not None:
            unlisted.append(part)
            told[part.key] = told_of(part, there)
    parts.update((part.key, part) for part in unlisted)
    _put_in(unlisted, by_kind, inside)
    return CarOnDay(
        car, as_of, parts, by_kind, inside, {**evidence, **told} if told else evidence, work,
        later + len(car.work) - len(work) + sum(made.out > as_of for made in car.moves_made),
        frozenset(told_by),
    )  # fmt: skip


def _put_in(parts: Iterable[Part], by_kind: dict[str, tuple[Part, ...]], inside: dict[str, tuple[str, ...]]) -> None:
    """Adds parts to those of their kind and to what is in their containers."""
    kinds: dict[str, list[Part]] = {}
    containers: dict[str, list[str]] = {}
    for part in parts:
        kinds.setdefault(part.kind, []).append(part)
        if part.container is not None:
            containers.setdefault(part.container, []).append(part.key)
    by_kind.update((kind, (*by_kind.get(kind, ()), *found)) for kind, found in kinds.items())
    inside.update((key, (*inside.get(key, ()), *found)) for key, found in containers.items())


def _evidence_up_to(car: CarRecord, day: date) -> tuple[Mapping[str, Mapping[str, tuple[Evidence, ...]]], int]:
    """Part → attribute → evidence dated up to a day, as it was written where it was put right later; and how many
    pieces are dated later."""
    not_yet = {one.was.id: one.was for one in reversed(car.corrections) if one.was is not None and one.on > day}
    if car.last_day <= day and not not_yet:
        return car.by_part, 0
    evidence: dict[str, Mapping[str, tuple[Evidence, ...]]] = {}
    later = len(not_yet)
    for part, attributes in car.by_part.items():
        kept: dict[str, tuple[Evidence, ...]] = {}
        for name, entries in attributes.items():
            past = tuple(
                not_yet.get(entry.id, entry) for entry in entries
                if (shown := entry.shown_from) is None or shown <= day
            )  # fmt: skip
            later += len(entries) - len(past)
            if past:
                kept[name] = past
        if kept:
            evidence[part] = kept
    return evidence, later
