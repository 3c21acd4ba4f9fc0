"""Readings that could be but hardly are: by themselves (outside of what is usual, finer than the gauge reads), or
beside an earlier one of the same part."""

from collections.abc import Iterator, Mapping
from datetime import date
from fractions import Fraction
from functools import lru_cache

import msgspec

from carknocker.judgement.failed_tests import FailedTests
from carknocker.judgement.mending import Mending
from carknocker.judgement.odd_days import checked_when_mounted
from carknocker.judgement.odd_wear import BesideEarlier, worn_too_fast
from carknocker.judgement.oddities import (
    FinerThanGauge,
    FinerThanTool,
    LongDrop,
    OddDrop,
    Oddity,
    OutOfReach,
    OutsideUsual,
)
from carknocker.judgement.situation import Situation
from carknocker.quantities import Quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.part_keys import kind_of_key
from carknocker.record.possible_values import NO_DAYS, is_within
from carknocker.record.values import Bound, Day, Figure, NotAccessible, PressureDrop, Value
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Access, Attribute
from carknocker.vocabulary.program_names import BRAKE_PIPE_LEAKAGE, BUILT_ON, MOUNTED_ON, MOUNTING_CHECK, MOVE_KINDS


class OddReading(msgspec.Struct, frozen=True):
    """A reading that is doubtful by itself or beside earlier ones. name: of the doubt."""

    name: str
    part: Part
    reading: Evidence
    earlier: tuple[Evidence, ...]
    odd: Oddity


class OddOlderReading(msgspec.Struct, frozen=True):
    """A reading that could hardly be, and by which nothing is judged."""

    reading: Evidence
    odd: Oddity


def odd_readings(situation: Situation, mending: Mending, *, of_move: bool) -> Iterator[OddReading]:
    """All of them, by part in walking order, of what is neither void nor set aside. of_move: those of the move, the
    train and its legs; else those of the car. mending: which work takes damage away."""
    standing = situation.standing
    known, beside = _asked(standing.car.file, standing.car.digest), BesideEarlier(situation, mending)
    tests = FailedTests(situation, mending)
    of_moves = {part.key for kind in MOVE_KINDS for part in standing.by_kind.get(kind, ())}
    for key in standing.evidence:
        part = standing.parts.get(key)
        if part is None or (key in of_moves) is not of_move:
            continue
        for value in situation.values[key].values():
            reading = value.evidence
            if reading is None or reading.sort == "paper":
                continue
            if reading.sort == "test":
                failed = tests.before(part, reading)
                if failed is not None:
                    yield OddReading("passed-after-failed", part, reading, (failed.earlier,), failed)
                continue
            name, odd = _by_itself(reading, part.kind, key, situation, known)
            if odd is not None:
                yield OddReading(name, part, reading, (), odd)
            worn = beside.odd(part, reading)
            if worn is not None:
                yield OddReading(worn.name, part, reading, (worn.earlier,), worn.odd)


_Found = tuple[str, Oddity | None]
"""The name of a doubt and what is odd; empty and None where nothing is."""
_Asked = dict[int, tuple[Evidence, _Found]]
"""Readings by identity, each with the doubt that it raises by itself."""
_MOST_KEPT = 20_000
_NOTHING_ODD: _Found = ("", None)


@lru_cache(maxsize=1)
def _asked(file: str, digest: str) -> _Asked:
    """What was asked of the readings of one record, and of what is assumed beside them; of one record only, so that a
    fleet holds no more than its last car."""
    return {}


def odd_older_readings(situation: Situation) -> Iterator[OddOlderReading]:
    """The odd ones among the readings and descriptions that have a newer one, that are void, or that are of a thing
    which left the car."""
    standing, kinds = situation.standing, load_vocabulary().kinds
    for key, attributes in standing.car.by_part.items():
        kind = kind_of_key(key)
        own = situation.values_of(key) if key in standing.parts else {}
        for name, entries in attributes.items():
            if entries[-1].sort not in ("reading", "description") or kind not in kinds:
                continue
            held = own.get(name)
            used = None if held is None else held.evidence
            for entry in entries:
                if entry is not used and not entry.confirmed and (entry.on is None or entry.on <= standing.as_of):
                    odd = _by_itself(entry, kind, key, situation, {})[1]
                    if odd is not None:
                        yield OddOlderReading(entry, odd)
        if key not in standing.parts and attributes.get(MOUNTED_ON) and attributes.get(MOUNTING_CHECK):
            mounted, check = attributes[MOUNTED_ON][-1], attributes[MOUNTING_CHECK][-1]
            apart = None if mounted.sure else checked_when_mounted(mounted, check)
            if apart is not None:
                yield OddOlderReading(mounted, apart)
    for worn in worn_too_fast(situation):
        if not any(one.confirmed for one in (worn.earlier, worn.later)):
            yield OddOlderReading(worn.earlier, worn)


def _by_itself(reading: Evidence, kind: str, key: str, situation: Situation, asked: _Asked) -> _Found:
    """What is odd about a reading by itself. What does not count from a day is asked once for each reading, since one
    question judges it many times."""
    kept = asked.get(id(reading))
    if kept is not None and kept[0] is reading:
        return kept[1]
    attribute = load_vocabulary().kinds[kind].attributes.get(reading.attribute)
    usual = None if attribute is None or attribute.ranges is None else attribute.ranges.usual
    found = _too_fine(reading)
    if found[1] is None and attribute is not None:
        if usual is not None:
            days = _days(reading, key, situation) if usual.anchors else NO_DAYS
            if _too_long(reading.value):
                found = "long-drop", LongDrop(reading, attribute)
            elif _not_charged(reading):
                found = "odd-drop", OddDrop(reading, attribute)
            elif not is_within(reading.value, usual, days) or _says_nothing(reading.value, attribute):
                found = "unusual", OutsideUsual(reading, attribute, usual, days)
        if found[1] is None and reading.access and _out_of_reach(reading, attribute):
            found = "out-of-reach", OutOfReach(reading, attribute)
        if found[1] is None and _finer_than_any_tool(reading, attribute):
            found = "finer-than-the-usual-tool", FinerThanTool(reading, attribute)
    if usual is None or not usual.anchors:
        if len(asked) >= _MOST_KEPT:
            asked.clear()
        asked[id(reading)] = (reading, found)
    return found


_FREE: frozenset[Access] = frozenset(("wheel free", "wheelset out", "truck out", "shop"))
_OUT: frozenset[Access] = frozenset(("truck out", "shop"))
_REACHED_WITH: Mapping[Access, frozenset[Access]] = {"wheel free": _FREE, "wheelset out": _FREE, "truck out": _OUT}
"""What has to be said of a sheet for a reading that takes such an access. Common practice; of others it is not asked,
since people write one word for a whole walk."""


def _out_of_reach(reading: Evidence, attribute: Attribute) -> bool:
    """Whether a sheet claims a reading that no one of its accesses allows."""
    wanted = _REACHED_WITH.get(attribute.access)
    return wanted is not None and wanted.isdisjoint(reading.access) and not isinstance(reading.value, NotAccessible)


_LONGEST_DROP = Fraction(5)
"""Minutes. Common practice: a leakage is taken over one minute, at a cylinder over three."""


def _too_long(value: Value) -> bool:
    return isinstance(value, PressureDrop) and value.minutes.amount > _LONGEST_DROP


_CHARGED_LEAST, _CHARGED_MOST = Fraction(50), Fraction(130)
"""Psi from which the leakage of a brake pipe is taken: at the least what 70 psi leave after a reduction of 20 psi.
Common practice."""


def _not_charged(reading: Evidence) -> bool:
    value = reading.value
    return (
        isinstance(value, PressureDrop)
        and reading.attribute == BRAKE_PIPE_LEAKAGE
        and not _CHARGED_LEAST <= value.before.amount <= _CHARGED_MOST
    )


def _says_nothing(value: Value, attribute: Attribute) -> bool:
    """Whether a bound lies where no such figure can be: a go or no-go gauge of 8-3/4 in at a flange."""
    possible = None if attribute.ranges is None else attribute.ranges.possible
    if possible is None or not isinstance(value, Bound):
        return False
    return any(end is not None and not possible.holds(end) for end in (value.low, value.high))


def _days(reading: Evidence, key: str, situation: Situation) -> dict[str, tuple[date, date]]:
    """What the ends of a range of days count from, as far as it is known."""
    day = situation.standing.as_of
    found = {"as-of": (day, day)}
    if reading.on is not None:
        found["read"] = (reading.on, reading.on)
    for name, place, attribute in (("built", "car", BUILT_ON), ("mounted", key, MOUNTED_ON)):
        told = situation.newest(place, attribute)
        if told is not None and isinstance(told.value, Day):
            found[name] = (told.value.first, told.value.last)
    return found


_LAST_PLACE = Fraction(1, 200)


def _too_fine(reading: Evidence) -> _Found:
    """Whether a figure is finer than half a step of the gauge, which the eye can still tell."""
    if reading.gauge is None or not _finer(reading.value, reading.gauge.reads_to, 2):
        return _NOTHING_ODD
    return "finer-than-the-gauge", FinerThanGauge(reading, reading.gauge)


def _finer_than_any_tool(reading: Evidence, attribute: Attribute) -> bool:
    """Whether a reading without a gauge is finer than a quarter of what the usual tool reads to, or one with a gauge of
    which nothing says what it reads to, than half of that."""
    if reading.sort != "reading" or (reading.gauge is not None and reading.gauge.reads_to is not None):
        return False
    return _finer(reading.value, attribute.reads_to, 4 if reading.gauge is None else 2)


def _finer(value: Value, step: Quantity | None, parts: int) -> bool:
    """Whether a figure is no whole number of parts of a step. A figure in other units than those of the step was
    converted, and is too fine where it is less than half a step; one in decimals may be rounded to hundredths."""
    if step is None or value.__class__ is not Figure:
        return False
    assert isinstance(value, Figure)
    quantity = value.quantity
    if step.dimension != quantity.dimension:
        return False
    if quantity.unit != step.unit and quantity.unit and step.unit:
        return 0 < quantity.amount < step.amount / 2
    n, d = parts * quantity.n * step.d, quantity.d * step.n
    if n % d == 0:
        return False
    rest = Fraction(n, d) % 1
    off = min(rest, 1 - rest) * step.amount / parts
    decimal = quantity.d & (quantity.d - 1) != 0
    return not decimal or off > _LAST_PLACE
