"""What may be believed: for every part the newest valid value of each attribute, on one day, for one host."""

from collections.abc import Collection, Mapping
from datetime import date
from fractions import Fraction
from functools import cached_property, lru_cache, partial

from carknocker.judgement.observed_value import ObservedValue, text_of
from carknocker.record.model import Evidence, Move, Person
from carknocker.record.standing import CarOnDay, Standing
from carknocker.record.values import NotAccessible, Word
from carknocker.vocabulary import does_of
from carknocker.vocabulary.model import Attribute
from carknocker.workings import WORKINGS, Candidate, Missing, Readings, Worked
from carknocker.workings.age_and_miles import miles_of_car_since, miles_of_wheelset_since
from carknocker.workings.uncertainty import candidates_of, uncertainty_of

PartValues = dict[str, ObservedValue]
"""Attribute of a part → its newest value that counts."""
_NOTHING: Mapping[str, tuple[Evidence, ...]] = {}


def accepted_by_host(person: Person | None, host: str, day: date) -> bool:
    """Whether the host accepts what this person signs on that day."""
    if person is None:
        return False
    wanted = host.casefold()
    if not any(name.casefold() == wanted for name in person.accepted_by):
        return False
    return person.until is None or person.until >= day


def _no_longer_accepted(standing: Standing, host: str) -> frozenset[str]:
    """The people of whom an event says that the host no longer accepts what they signed."""
    ended: set[str] = set()
    for entry in standing.work:
        person, by = entry.facts.get("person"), entry.facts.get("host")
        if does_of(entry.name) != "end an acceptance" or not isinstance(person, Word):
            continue
        if not isinstance(by, Word) or by.text.casefold() == host.casefold():
            ended.add(person.text)
    return frozenset(ended)


@lru_cache(maxsize=1)
def _values_on(day: CarOnDay) -> Mapping[str, PartValues]:
    """The newest values of each part on which nothing is set aside. Parts with tests are not among them, since which
    tests count depends on the host."""
    values: dict[str, PartValues] = {}
    for key, attributes in day.evidence.items():
        if not any(one.sort == "test" for entries in attributes.values() for one in entries):
            values[key] = {
                name: ObservedValue(evidence.value, evidence)
                for name, entries in attributes.items()
                if (evidence := _newest_accessible(entries)) is not None
            }
    return values


def _newest_accessible(entries: tuple[Evidence, ...]) -> Evidence | None:
    return next((one for one in reversed(entries) if one.value.__class__ is not NotAccessible), None)


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


class Situation:
    """The car on the day, with void and uncounted evidence set aside.

    excluded: id of evidence → why it is not counted (void, gauge overdue). values: part key → attribute → its newest
    value that counts. What an accepted shop must show leaves out, besides, what was read by someone whom the host does
    not accept.
    """

    def __init__(
        self, standing: Standing, move: Move, excluded: Mapping[str, str], before: "Situation | None" = None, *,
        anew: Collection[str] = (),
    ) -> None:  # fmt: skip
        """before: the same standing with less set aside; its values serve where nothing more is set aside. anew: parts
        with other evidence than before, whose values it can't give."""
        self.standing = standing
        self.move = move
        self.excluded = excluded
        self._worked: dict[tuple[str, str, bool], Worked | Missing] = {}
        # part → its values, and those of accepted persons; a judgement's two situations share them
        shared = before is not None and before.standing is standing and before.move is move
        self._shop_values: dict[str, tuple[PartValues, PartValues]] = (
            before._shop_values if before is not None and shared else {}
        )
        self._derived: dict[tuple[str, str, bool], ObservedValue | None] = {}
        self._owners: dict[tuple[str, str], str | None] = {}
        self._accepted: dict[tuple[str, date], bool] = {}
        self._miles: dict[tuple[str | None, date], Fraction] = {}
        self._no_longer_accepted = _no_longer_accepted(standing, move.host)
        evidence = standing.evidence
        if before is None:
            day = standing.on_day
            known = {} if day is None else _values_on(day)
            changed = {one.part for one in standing.by_id(excluded)}
            self._read = {
                key: known[key]
                if day is not None and key in known and key not in changed and evidence.get(key) is day.evidence[key]
                else self._newest(evidence.get(key, _NOTHING))
                for key in standing.parts
            }
            self.values = dict(self._read)
            return
        fresh = {one.part for one in standing.by_id(excluded.keys() - before.excluded.keys())}
        fresh.update(anew)
        renewed = {key: self._newest(evidence.get(key, _NOTHING)) for key in before.values if key in fresh}
        self._read = {**before._read, **renewed}
        self.values = {**before.values, **renewed}

    def _newest(self, attributes: Mapping[str, tuple[Evidence, ...]]) -> PartValues:
        values: PartValues = {}
        for name, entries in attributes.items():
            for evidence in reversed(entries):
                if self._counts(evidence):
                    values[name] = ObservedValue(evidence.value, evidence)
                    break
                if evidence.sort == "reading" and evidence.id in self.excluded:
                    break  # read again, void or with a bad gauge: nothing older comes back in its place
        return values

    def _newest_by_accepted(self, key: str, anyone: PartValues) -> PartValues:
        """The values of a part that accepted persons showed; those of anyone, where nobody else showed any."""
        others: list[Evidence] = []
        by, on, counts = None, None, False
        for value in anyone.values():
            evidence = value.evidence
            if evidence is not None and evidence.sort == "reading":
                if evidence.by is not by or evidence.on is not on:  # most readings of a part are of one sheet
                    by, on = evidence.by, evidence.on
                    counts = on is not None and self._accepts(by, on)
                if not counts:
                    others.append(evidence)
        if not others:
            return anyone
        values = dict(anyone)
        for evidence in others:
            entries = self.standing.evidence[key][evidence.attribute]
            older = self._newest_accepted(entries) if len(entries) > 1 else None
            if older is None:
                del values[evidence.attribute]
            else:
                values[evidence.attribute] = older
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
            return evidence.on is not None and self._accepts(evidence.by, evidence.on)
        return True

    def _accepts(self, person: Person | None, day: date) -> bool:
        if person is None:
            return False
        asked = (person.name, day)
        if asked not in self._accepted:
            ended = person.name in self._no_longer_accepted
            self._accepted[asked] = not ended and accepted_by_host(person, self.move.host, day)
        return self._accepted[asked]

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
            held = ObservedValue(result.value, None, partial(self._uncertainty, key, attribute, result, shop))
            days = [one.on for one in result.used if one.sort == "reading" and one.on is not None]
            held.on = min(days, default=None)
        self._derived[asked] = held
        return held

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
                self._miles[asked] = miles_of_wheelset_since(car, wheelset.removeprefix("wheelset "), since, until)
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
