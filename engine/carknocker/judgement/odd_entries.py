"""Entries beside the readings that could be but hardly are: a gauge, a person, a paper, a fact of a test, a spare, a
move made outside of what is usual. What rests on them counts only against the car, unless the entry says `sure`."""

from collections.abc import Iterable, Iterator
from functools import lru_cache

import msgspec

from carknocker.documents import nearest
from carknocker.documents.node import Location
from carknocker.judgement.oddities import (
    AllAlike,
    BadFact,
    EntryOddity,
    OddAcceptance,
    OddDue,
    OddFact,
    OddNumber,
    OddPaper,
    OneCertificate,
    UnknownGauge,
)  # fmt: skip
from carknocker.quantities.period import Period
from carknocker.record.model import NO_END, CarRecord, Evidence
from carknocker.record.part_keys import kind_of_key
from carknocker.record.possible_values import is_within
from carknocker.record.standing import CarOnDay
from carknocker.record.values import Day, Figure, Value, Word
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import ALWAYS_END, FLANGE_THICKNESS, RIM_THICKNESS, WHEEL
from carknocker.vocabulary.ranges import Days, Range

_PASSED = Word("passed")


class OddEntry(msgspec.Struct, frozen=True):
    """An entry that could hardly be, or that is bad whatever a rule makes of it. evidence: ids of what rests on it."""

    odd: EntryOddity
    where: Location
    evidence: tuple[str, ...] = ()


@lru_cache(maxsize=1)
def odd_entries(day: CarOnDay) -> tuple[OddEntry, ...]:
    """The odd entries of a car on a day, in the order of the file."""
    car, sure = day.car, {one.where for one in day.car.sure if not one.attribute}
    found = [
        *_gauges(day),
        *_people(day),
        *_papers(day),
        *_facts_of_tests(day),
        *_certificates(day),
        *_spares(car),
        *_all_alike(day),
    ]
    return tuple(sorted((one for one in found if one.where not in sure), key=lambda one: one.where))


def _gauges(day: CarOnDay) -> Iterator[OddEntry]:
    used: dict[str, list[Evidence]] = {}
    for attributes in day.evidence.values():
        for entries in attributes.values():
            for entry in entries:
                if entry.gauge is not None:
                    used.setdefault(entry.gauge.name, []).append(entry)
    for gauge in day.car.gauges.values():
        own = used.get(gauge.name, [])
        usual, kinds = _usual("gauges.due"), load_vocabulary().gauge_kinds
        if own and gauge.kind not in kinds:
            yield OddEntry(UnknownGauge(gauge, nearest(gauge.kind, kinds)), gauge.where)
        needs_check = gauge.kind in kinds and kinds[gauge.kind].check
        never = gauge.due == NO_END
        if gauge.checked is None or gauge.due is None or usual is None or (never and not needs_check):
            continue
        days: Days = {"checked": (gauge.checked, gauge.checked)}
        if never or not usual.meets_day(gauge.due, gauge.due, days):
            last = None if usual.most is None else usual.most.days(days)
            after = tuple(one.id for one in own if last is not None and one.on is not None and one.on > last[1])
            yield OddEntry(OddDue(gauge, usual, days), gauge.where, after)


def _people(day: CarOnDay) -> Iterator[OddEntry]:
    usual, days = _usual("people.until"), {"as-of": (day.as_of, day.as_of)}
    for person in day.car.people.values():
        until = person.until
        if usual is None or until is None:
            continue
        if bool(person.accepted_by) if until == NO_END else not usual.meets_day(until, until, days):
            yield OddEntry(OddAcceptance(person, usual, days), person.where)


def _papers(day: CarOnDay) -> Iterator[OddEntry]:
    for entry in _signed(day, "paper"):
        start, until = entry.facts.get("from"), entry.until
        kind = _label(entry)
        usual = _usual(f"papers.until {kind}") or _usual("papers.until")
        if usual is None or until is None or not isinstance(start, Day) or (until == NO_END and kind not in ALWAYS_END):
            continue
        days = {"from": (start.first, start.last)}
        if until == NO_END or not usual.meets_day(until, until, days):
            yield OddEntry(OddPaper(entry, usual, days), entry.where, (entry.id,))


def _facts_of_tests(day: CarOnDay) -> Iterator[OddEntry]:
    vocabulary = load_vocabulary()
    sure = {(one.of, one.attribute): one.value for one in day.car.sure if one.attribute}
    told: dict[tuple[Location, str], list[Evidence]] = {}
    odd: dict[tuple[Location, str], OddFact] = {}
    bad: dict[tuple[Location, str], OddEntry] = {}
    for entry in _signed(day, "test"):
        attribute = vocabulary.attribute(kind_of_key(entry.part), entry.attribute)
        facts = {} if attribute is None or entry.on is None else vocabulary.facts_of(attribute)
        for name, value in entry.facts.items():
            fact = facts.get(name)
            if fact is not None and isinstance(value, Word) and value.text in fact.bad:
                kind = vocabulary.tests[attribute.label] if attribute is not None else None
                alone = kind is not None and name in kind.named_alone
                # a test that fails by it counts as failed; another one only against the car
                bad[entry.where, name] = OddEntry(
                    BadFact(entry, fact), entry.where, _in_favor((entry,)) if alone else ()
                )
            found = _odd_fact(fact, value, entry)
            if found is not None and sure.get((f"the test `{_label(entry)}`", name)) != value:
                told.setdefault((entry.where, name), []).append(entry)
                odd[entry.where, name] = found
    for key, entries in told.items():
        yield OddEntry(odd[key], key[0], _in_favor(entries))
    yield from bad.values()


_CERTIFICATE = "certificate"
_ONE_BATCH = Period(months=3)
"""Within which one certificate may tell of checks on several days: those of one batch. Common practice."""


def _certificates(day: CarOnDay) -> Iterator[OddEntry]:
    """Tests of one kind with one certificate and too long between them: one of the two was copied."""
    vocabulary = load_vocabulary()
    sure = {(one.of, one.attribute): one.value for one in day.car.sure if one.attribute}
    told: dict[tuple[str, Value], dict[Location, list[Evidence]]] = {}
    for entry in _signed(day, "test"):
        value = entry.facts.get(_CERTIFICATE)
        if value is not None and entry.on is not None:
            told.setdefault((entry.attribute, value), {}).setdefault(entry.where, []).append(entry)
    for lines in told.values():
        for where, entries in lines.items():
            test = entries[0]
            attribute = vocabulary.attribute(kind_of_key(test.part), test.attribute)
            other = next((one[0] for one in lines.values() if _far_apart(test, one[0])), None)
            lifted = sure.get((f"the test `{_label(test)}`", _CERTIFICATE)) == test.facts[_CERTIFICATE]
            if other is not None and attribute is not None and not lifted:
                fact = vocabulary.facts_of(attribute)[_CERTIFICATE]
                yield OddEntry(OneCertificate(test, fact, other), where, _in_favor(entries))


def _far_apart(one: Evidence, other: Evidence) -> bool:
    days = sorted(test.on for test in (one, other) if test.on is not None)
    return len(days) == 2 and _ONE_BATCH.after(days[0]) < days[1]


def _in_favor(tests: Iterable[Evidence]) -> tuple[str, ...]:
    """The tests that passed: one that failed counts, whatever else it says."""
    return tuple(one.id for one in tests if one.value == _PASSED)


def _odd_fact(fact: Attribute | None, value: Value, test: Evidence) -> OddFact | None:
    usual = None if fact is None or fact.ranges is None else fact.ranges.usual
    if fact is None or usual is None or test.on is None:
        return None
    days = {"on": (test.on, test.on)}
    if is_within(value, usual, days) or (isinstance(value, Day) and value.last == NO_END):
        return None
    return OddFact(test, fact, usual, days)


def _spares(car: CarRecord) -> Iterator[OddEntry]:
    for spare in car.spares:
        for key, number in (("carried", spare.carried), ("shelf", spare.shelf)):
            usual = _usual(f"spares.{key} {spare.name}") or _usual(f"spares.{key}")
            if usual is not None and not usual.holds(number):
                yield OddEntry(OddNumber(spare, key, number, usual), spare.where)


_FEWEST_WHEELS = 8
"""Of a car, both trucks of two axles."""


def _all_alike(day: CarOnDay) -> Iterator[OddEntry]:
    """The newest sheet of wheels on which no wheel differs from another. Nothing rests on it: new wheels are alike."""
    wheels = [part.key for part in day.car.parts if part.kind == WHEEL and part.fitted]
    if len(wheels) < _FEWEST_WHEELS:
        return
    sheets: set[str] = set()
    lines: set[Location] = set()
    values: dict[str, list[Value]] = {RIM_THICKNESS: [], FLANGE_THICKNESS: []}
    first: Evidence | None = None
    for key in wheels:
        for name, said in values.items():
            entries = day.evidence.get(key, {}).get(name, ())
            if not entries or entries[-1].value.__class__ is not Figure:
                return
            said.append(entries[-1].value)
            sheets.add(entries[-1].sheet)
            if name == RIM_THICKNESS:
                lines.add(entries[-1].where)
                first = first or entries[-1]
    alike = all(one == said[0] for said in values.values() for one in said)
    if alike and first is not None and len(sheets) == 1 and len(lines) > 1:
        yield OddEntry(AllAlike(first, len(wheels)), first.where)


def _signed(day: CarOnDay, sort: str) -> Iterator[Evidence]:
    for attributes in day.evidence.values():
        for entries in attributes.values():
            if entries[0].sort == sort:
                yield from entries


def _label(entry: Evidence) -> str:
    attribute = load_vocabulary().attribute(kind_of_key(entry.part), entry.attribute)
    return entry.attribute.replace("_", " ") if attribute is None else attribute.label


def _usual(name: str) -> Range | None:
    ranges = load_vocabulary().entry_ranges.get(name)
    return None if ranges is None else ranges.usual
