"""What may be believed: for every part the newest valid value of each attribute, on one day, for one host."""

from collections.abc import Collection, Iterable, Mapping
from copy import copy
from datetime import date
from fractions import Fraction
from functools import cached_property, lru_cache, partial
from itertools import product

import msgspec
from msgspec.structs import replace

from carknocker.judgement.observed_value import ObservedValue, text_of
from carknocker.judgement.set_aside import SetAside
from carknocker.record.acceptances import AcceptanceEnded, Acceptances
from carknocker.record.model import Evidence, Move, Person
from carknocker.record.part_keys import serial_of
from carknocker.record.standing import CarOnDay, Standing
from carknocker.record.values import NotAccessible, Word
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import MOVE_KINDS
from carknocker.workings import WORKINGS, Candidate, Missing, Readings, Worked
from carknocker.workings.age_and_miles import miles_of_car_since, miles_of_wheelset_since
from carknocker.workings.uncertainty import candidates_of, uncertainty_of

PartValues = dict[str, ObservedValue]
"""Attribute of a part → its newest value that counts."""
_NOTHING: Mapping[str, tuple[Evidence, ...]] = {}


class _Sheet(msgspec.Struct, frozen=True):
    """Readings of one part by one person on one day."""

    by: Person | None
    on: date | None
    readings: tuple[Evidence, ...]


class _DayValues(msgspec.Struct, frozen=True):
    """values: part → its newest values, nothing set aside, but for its tests, since which of those count depends on the
    host. tests: part → the names of its tests. sheets: part → its values that are readings."""

    values: dict[str, PartValues]
    tests: dict[str, frozenset[str]]
    sheets: dict[str, tuple[_Sheet, ...]]


@lru_cache(maxsize=1)
def _values_on(day: CarOnDay) -> _DayValues:
    found = _DayValues({}, {}, {})
    for key, attributes in day.evidence.items():
        tests = frozenset(name for name, entries in attributes.items() if any(one.sort == "test" for one in entries))
        values = {
            name: ObservedValue(evidence.value, evidence)
            for name, entries in attributes.items()
            if name not in tests and (evidence := _newest_accessible(entries)) is not None
        }
        found.values[key] = values
        found.sheets[key] = _sheets_of(values)
        if tests:
            found.tests[key] = tests
    return found


@lru_cache(maxsize=1)
def _shop_values_on(
    day: CarOnDay, host: str, ended: frozenset[AcceptanceEnded]
) -> dict[str, tuple[PartValues, PartValues]]:
    """Part → its values, and what persons whom a host accepts showed of them; filled as it is asked for. ended: which
    acceptances ended by an event."""
    return {}


def _newest_accessible(entries: tuple[Evidence, ...]) -> Evidence | None:
    return next((one for one in reversed(entries) if one.value.__class__ is not NotAccessible), None)


def _sheets_of(values: PartValues) -> tuple[_Sheet, ...]:
    sheets: dict[tuple[str | None, date | None], list[Evidence]] = {}
    for value in values.values():
        evidence = value.evidence
        if evidence is not None and evidence.sort == "reading":
            by = evidence.by
            sheets.setdefault((None if by is None else by.name, evidence.on), []).append(evidence)
    return tuple(_Sheet(found[0].by, found[0].on, tuple(found)) for found in sheets.values())


class ShopReadings:
    """What a working may look at where only accepted persons count."""

    def __init__(self, situation: "Situation") -> None:
        self.standing = situation.standing
        self._situation = situation

    def newest(self, part: str, attribute: str) -> Evidence | None:
        """The newest valid evidence of an accepted person."""
        if part not in self.standing.parts:
            return None
        held = self._situation.values_of(part, shop=True).get(attribute)
        return None if held is None else held.evidence

    def counted(self, key: str, attribute: str) -> list[Evidence]:
        """All valid evidence of accepted persons, oldest first."""
        return self._situation.counted(key, attribute, shop=True)


def _by_part(evidence: Iterable[Evidence]) -> dict[str, frozenset[str]]:
    """The attributes of some evidence by part."""
    names: dict[str, set[str]] = {}
    for one in evidence:
        names.setdefault(one.part, set()).add(one.attribute)
    return {part: frozenset(found) for part, found in names.items()}


class Situation:
    """The car on the day, with void and uncounted evidence set aside.

    excluded: id of evidence → why it is not counted (void, gauge overdue). values: part key → attribute → its newest
    value that counts. What an accepted shop must show leaves out, besides, what was read by someone whom the host does
    not accept.
    """

    def __init__(
        self, standing: Standing, move: Move, excluded: Mapping[str, SetAside], before: "Situation | None" = None, *,
        anew: Collection[str] = (),
    ) -> None:  # fmt: skip
        """before: the same standing with less set aside; its values serve where nothing more is set aside. anew: parts
        with other evidence than before, whose values it can't give."""
        self.standing = standing
        self.move = move
        self.excluded = excluded
        self._with_uncertainty = True
        self._worked: dict[tuple[str, str, bool], Worked | Missing] = {}
        self._sheets_known: dict[str, tuple[PartValues, tuple[_Sheet, ...]]] = {}
        self._derived: dict[tuple[str, str, bool], ObservedValue | None] = {}
        self._owners: dict[tuple[str, str], str | None] = {}
        self._accepted: dict[tuple[str, date], bool] = {}
        self._miles: dict[tuple[str | None, date], Fraction] = {}
        self._acceptances = Acceptances(standing.work)
        day = standing.on_day
        self._shop_values = {} if day is None else _shop_values_on(day, move.host, self._acceptances.ended)
        if before is None:
            self._read = self._all_newest()
            self.values = dict(self._read)
            return
        evidence = standing.evidence
        renewed = {
            key: self._newest(evidence.get(key, _NOTHING), before._read[key], names)
            for key, names in _by_part(standing.by_id(excluded.keys() - before.excluded.keys())).items()
            if key in before.values
        }
        renewed.update((key, self._newest(evidence.get(key, _NOTHING))) for key in anew if key in before.values)
        self._read = {**before._read, **renewed}
        self.values = {**before.values, **renewed}

    def _all_newest(self) -> dict[str, PartValues]:
        """The newest values that count of every part. Most are those of the car on the day, whatever is set aside."""
        standing = self.standing
        day, evidence = standing.on_day, standing.evidence
        if day is None:
            return {key: self._newest(evidence.get(key, _NOTHING)) for key in standing.parts}
        known = _values_on(day)
        aside = _by_part(standing.by_id(self.excluded))
        read: dict[str, PartValues] = {}
        for key in standing.parts:
            own, values = evidence.get(key, _NOTHING), known.values.get(key)
            if values is None or day.evidence.get(key) is not own:
                read[key] = self._newest(own)
            elif key in aside or key in known.tests:
                read[key] = self._newest(own, values, aside.get(key, frozenset()) | known.tests.get(key, frozenset()))
            else:
                read[key] = values
        return read

    def _newest(
        self, attributes: Mapping[str, tuple[Evidence, ...]], known: PartValues | None = None,
        but_for: Collection[str] = (),
    ) -> PartValues:  # fmt: skip
        """known: the values, as they are but for those of some attributes."""
        values: PartValues = {}
        for name, entries in attributes.items():
            value = known.get(name) if known is not None and name not in but_for else self._newest_of(entries)
            if value is not None:
                values[name] = value
        return values

    def _newest_of(self, entries: tuple[Evidence, ...]) -> ObservedValue | None:
        for evidence in reversed(entries):
            if self._counts(evidence):
                return ObservedValue(evidence.value, evidence)
            if evidence.sort == "reading" and evidence.id in self.excluded:
                return None  # read again, void or with a bad gauge: nothing older comes back in its place
        return None

    def _newest_by_accepted(self, key: str, anyone: PartValues) -> PartValues:
        """The values of a part that accepted persons showed; those of anyone, where nobody else showed any."""
        others = [one for one in self._sheets(key, anyone) if one.on is None or not self.accepts(one.by, one.on)]
        if not others:
            return anyone
        values, entries = dict(anyone), self.standing.evidence[key]
        for sheet in others:
            for evidence in sheet.readings:
                name = evidence.attribute
                older = self._newest_accepted(entries[name]) if len(entries[name]) > 1 else None
                if older is None:
                    del values[name]
                else:
                    values[name] = older
        return values

    def _newest_accepted(self, entries: tuple[Evidence, ...]) -> ObservedValue | None:
        for evidence in reversed(entries):
            if self._counts(evidence, shop=True):
                return ObservedValue(evidence.value, evidence)
            if evidence.sort == "reading" and evidence.id in self.excluded:
                break
        return None

    def _counts(self, evidence: Evidence, *, shop: bool = False) -> bool:
        if evidence.id in self.excluded or evidence.value.__class__ is NotAccessible:
            return False
        sort = evidence.sort
        if sort == "test" or (shop and sort == "reading"):
            if sort == "test" and text_of(evidence.value) != "passed":
                return True  # a test that failed counts, whoever made it
            return evidence.on is not None and self.accepts(evidence.by, evidence.on)
        return True

    def accepts(self, person: Person | None, day: date) -> bool:
        """Whether the host accepts what a person signs on a day, and no event has ended that."""
        if person is None:
            return False
        asked = (person.name, day)
        if asked not in self._accepted:
            self._accepted[asked] = self._acceptances.accepts(self.move.host, person, day)
        return self._accepted[asked]

    @cached_property
    def open_choices(self) -> Mapping[tuple[str, str], tuple[str, ...]]:
        """What the move leaves open (`place: anywhere`): its part and attribute → each word that it may come to be."""
        found: dict[tuple[str, str], tuple[str, ...]] = {}
        for kind in MOVE_KINDS:
            for part in self.standing.by_kind.get(kind, ()):
                for name, held in self.values.get(part.key, {}).items():
                    attribute = load_vocabulary().attribute(kind, name)
                    open_ = () if attribute is None else attribute.left_open
                    if attribute is not None and open_ and (text_of(held.value) or "") in open_:
                        found[part.key, name] = tuple(word for word in attribute.one_of if word not in open_)
        return found

    @cached_property
    def decided(self) -> tuple["Situation", ...]:
        """The situations in which the move says what it leaves open, one for each way; none where it leaves nothing."""
        choices = self.open_choices
        return tuple(self._with_words(dict(zip(choices, words, strict=True))) for words in product(*choices.values()))

    def _with_words(self, words: Mapping[tuple[str, str], str]) -> "Situation":
        found: dict[tuple[str, str], ObservedValue] = {}
        for (key, name), word in words.items():
            held = self.values[key][name]
            said = None if held.evidence is None else replace(held.evidence, value=Word(word))
            found[key, name] = ObservedValue(Word(word), said)
        return self.with_values(found)

    def with_values(self, values: Mapping[tuple[str, str], ObservedValue]) -> "Situation":
        """The same with other values, by part and attribute."""
        other = copy(self)
        other._worked, other._sheets_known, other._derived, other._shop_values = {}, {}, {}, {}
        other.values, other._read = dict(self.values), dict(self._read)
        for (key, name), value in values.items():
            other.values[key] = other._read[key] = {**other.values[key], name: value}
        return other

    def values_of(self, key: str, *, shop: bool = False) -> PartValues:
        """The values of a part by attribute; with `shop`, only what an accepted person showed."""
        if not shop:
            return self.values[key]
        values = self.values[key]
        found = self._shop_values.get(key)
        if found is None or found[0] is not values:
            # of a part that was given other values since, what accepted persons showed is as on record
            read = self._read.get(key)
            anyone = values if values is read else self._newest(self.standing.evidence.get(key, _NOTHING))
            found = self._shop_values[key] = (values, self._newest_by_accepted(key, anyone))
        return found[1]

    def not_older(self, key: str, values: PartValues, oldest: date) -> PartValues:
        """The values of a part without readings from before a day; the very same where there are none."""
        if all(sheet.on is None or sheet.on >= oldest for sheet in self._sheets(key, values)):
            return values
        return {name: one for name, one in values.items() if one.on is None or one.on >= oldest}

    def _sheets(self, key: str, values: PartValues) -> tuple[_Sheet, ...]:
        """The readings among the values of a part: as they were on the day, or of values that are others by now."""
        day = self.standing.on_day
        known = None if day is None else _values_on(day)
        if known is not None and known.values.get(key) is values:
            return known.sheets[key]
        found = self._sheets_known.get(key)
        if found is None or found[0] is not values:
            found = self._sheets_known[key] = (values, _sheets_of(values))
        return found[1]

    def counted(self, key: str, attribute: str, *, shop: bool = False) -> list[Evidence]:
        """All evidence of an attribute that counts, oldest first; with `shop`, only of accepted persons."""
        entries = self.standing.evidence.get(key, {}).get(attribute, ())
        return [evidence for evidence in entries if self._counts(evidence, shop=shop)]

    def newest(self, part: str, attribute: str) -> Evidence | None:
        """The newest valid evidence of an attribute, for workings."""
        values = self.values.get(part)
        held = None if values is None else values.get(attribute)
        return None if held is None else held.evidence

    def readings(self, *, shop: bool = False) -> Readings:
        """What workings look at; with `shop`, only what an accepted person showed."""
        return ShopReadings(self) if shop else self

    def derived(self, key: str, attribute: Attribute, *, shop: bool = False) -> ObservedValue | None:
        """The value that a working yields, or None; with `shop`, from what accepted persons showed alone."""
        asked = (key, attribute.name, shop)
        if asked in self._derived:
            return self._derived[asked]
        stated = self.values_of(key, shop=shop).get(attribute.name)
        if stated is not None:
            return stated
        result = self.work_out(key, attribute, shop=shop)
        held = None
        if isinstance(result, Worked):
            open_by = partial(self._uncertainty, key, attribute, result, shop) if self._with_uncertainty else None
            held = ObservedValue(result.value, None, open_by)
            days = [one.on for one in result.used if one.sort == "reading" and one.on is not None]
            held.on = min(days, default=None)
        self._derived[asked] = held
        return held

    def without_uncertainty(self) -> "Situation":
        """The same, its derived figures taken as they are: for who only asks whether something fails."""
        plain = copy(self)
        plain._derived, plain._with_uncertainty = {}, False
        return plain

    def work_out(self, key: str, attribute: Attribute, *, shop: bool = False) -> Worked | Missing:
        """The working of a derived attribute: its figure with the worked line, or what is missing for it."""
        asked = (key, attribute.name, shop)
        found = self._worked.get(asked)
        if found is None:
            working = WORKINGS.get(attribute.derived)
            if working is None:
                found = Missing(key, attribute.name, "no working yields it")
            else:
                found = working(self.readings(shop=shop), self.standing.parts[key])
            self._worked[asked] = found
        return found

    def why_set_aside(self, key: str, attribute: str) -> SetAside | None:
        """Why the newest evidence of an attribute does not count; None where there is none, or it counts."""
        entries = self.standing.evidence.get(key, _NOTHING).get(attribute, ())
        return self.excluded.get(entries[-1].id) if entries else None

    @property
    def worked(self) -> Mapping[tuple[str, str], Worked | Missing]:
        """What was worked out so far, of all that anyone read: part key and attribute → the working."""
        return {(key, name): found for (key, name, shop), found in self._worked.items() if not shop}

    def candidates(self, key: str, attribute: Attribute, *, shop: bool = False) -> tuple[Candidate, ...]:
        """All that may govern a derived figure, with what each reading adds to its uncertainty; none where it can't be
        worked out."""
        worked = self.work_out(key, attribute, shop=shop)
        return self._candidates(key, attribute, worked, shop) if isinstance(worked, Worked) else ()

    def _candidates(self, key: str, attribute: Attribute, worked: Worked, shop: bool) -> tuple[Candidate, ...]:
        working = WORKINGS[attribute.derived]
        return candidates_of(self.readings(shop=shop), self.standing.parts[key], working, worked)

    def _uncertainty(self, key: str, attribute: Attribute, worked: Worked, shop: bool) -> Fraction:
        return uncertainty_of(self._candidates(key, attribute, worked, shop))

    def miles_since(self, wheelset: str | None, since: date) -> Fraction:
        """Miles made since a day, up to the day of the judgement: by a wheelset, or None: by the car."""
        asked = (wheelset, since)
        if asked not in self._miles:
            car, until = self.standing.car, self.standing.as_of
            if wheelset is None:
                self._miles[asked] = miles_of_car_since(car, since, until)
            else:
                self._miles[asked] = miles_of_wheelset_since(car, serial_of(wheelset) or wheelset, since, until)
        return self._miles[asked]

    @cached_property
    def miles_planned(self) -> Fraction:
        """Miles of the planned move."""
        return sum((leg.miles.amount for leg in self.move.legs), Fraction(0))

    def owner(self, key: str, kind: str) -> str | None:
        """The part of that kind that the part is in (itself included), or the one car, move or train."""
        place = (key, kind)
        if place not in self._owners:
            self._owners[place] = self._find_owner(key, kind)
        return self._owners[place]

    def _find_owner(self, key: str, kind: str) -> str | None:
        parts = self.standing.parts
        if kind in ("car", "move", "train"):
            return kind if kind in parts else None
        if parts[key].kind == kind:
            return key
        return next((container for container in self.standing.containers(key) if parts[container].kind == kind), None)
