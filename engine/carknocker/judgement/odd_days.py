"""Days on record that hardly go together: trucks of one car built years apart, a single-car test older than the
rebuilding, a part read before it was made, a wheelset mounted long before or after its mounting check or while it stood
under the car, a bearing reconditioned after its wheels were mounted, wheels that came with a car built long before they
were mounted."""

from collections.abc import Iterator
from datetime import date

import msgspec

from carknocker.judgement.oddities import (
    FirstWheels,
    MountedAndChecked,
    Oddity,
    ReadBeforeMade,
    ReconditionedAfterMounting,
    TestedBeforeWork,
    TruckAndCarApart,
    TrucksApart,
    UnderTheCarAlready,
)
from carknocker.judgement.situation import Situation
from carknocker.quantities import Period
from carknocker.record.model import Evidence, Part
from carknocker.record.part_keys import serial_of
from carknocker.record.values import Day, Word
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import (
    APPLIED_ON,
    BEARING,
    BEARING_APPLIED_ON,
    BRAKE_SYSTEM,
    BUILT_ON,
    FITTED_AS_REPLACEMENT,
    MAINTENANCE_DONE_ON,
    MOUNTED_ON,
    MOUNTING_CHECK,
    REBUILT_ON,
    RECONDITIONED_ON,
    SINGLE_CAR_TEST,
    TRUCK,
    WHEEL,
    WHEELSET,
)

_TRUCKS_APART = Period(months=60)
"""Common practice: both trucks come from one order."""
_TRUCK_AND_CAR = Period(months=300)
"""Common practice: a truck of 25 years more or less than its car was exchanged."""
_CHECK_AND_MOUNTING = Period(months=12)
"""Common practice: the check is made at the press, and never before the wheels are on."""
_FIRST_WHEELS = Period(months=300)
"""Common practice: no car runs on its first wheels for so long."""


class OddDays(msgspec.Struct, frozen=True):
    """Values of a part that hardly go together. name: of the doubt."""

    name: str
    part: Part
    odd: Oddity
    touched: tuple[Evidence, ...]


def odd_days(situation: Situation) -> Iterator[OddDays]:
    """All of them, of what is neither void nor set aside."""
    by_kind = situation.standing.by_kind
    car = situation.newest("car", BUILT_ON)
    trucks = [(part, situation.newest(part.key, BUILT_ON)) for part in by_kind.get(TRUCK, ())]
    yield from _trucks([(part, told) for part, told in trucks if told is not None and told.value.__class__ is Day], car)
    yield from _tested_before_work(situation)
    for kind, marks in load_vocabulary().marked.items():
        for mark in (one for one in marks if one.made):
            for part in by_kind.get(kind, ()):
                yield from _read_before_made(part, mark.attribute, situation)
    for part in by_kind.get(WHEELSET, ()):
        mounted = situation.newest(part.key, MOUNTED_ON)
        if mounted is None or not isinstance(mounted.value, Day):
            continue
        check = situation.newest(part.key, MOUNTING_CHECK)
        odd = None if check is None else checked_when_mounted(mounted, check)
        if odd is not None:
            yield OddDays("mounted-when-checked", part, odd, (odd.mounted, odd.check))
        yield from _while_under_the_car(part, mounted, check, situation)
        yield from _reconditioned_since(part, mounted, situation)
        if car is not None and isinstance(car.value, Day) and _FIRST_WHEELS.after(car.value.last) < mounted.value.first:
            yield from _first_wheels(part, mounted, car, situation)


def checked_when_mounted(mounted: Evidence, check: Evidence) -> MountedAndChecked | None:
    """What is odd about the day of a mounting check beside that of the mounting; None where nothing is."""
    if not isinstance(mounted.value, Day) or check.on is None:
        return None
    before = check.on < mounted.value.first
    return MountedAndChecked(mounted, check) if before or _apart(mounted, check.on, _CHECK_AND_MOUNTING) else None


def _tested_before_work(situation: Situation) -> Iterator[OddDays]:
    """49 CFR 232.305(e): on each rebuilt car before it is used; of a year alone its end counts. Of brake maintenance, a
    part of which the test is, the first day counts: the test may stand in the same month."""
    rebuilt = situation.newest("car", REBUILT_ON)
    for part in situation.standing.by_kind.get(BRAKE_SYSTEM, ()):
        test = situation.newest(part.key, SINGLE_CAR_TEST)
        if test is None or test.on is None:
            continue
        if rebuilt is not None and isinstance(rebuilt.value, Day) and test.on < rebuilt.value.last:
            yield OddDays("tested-before-rebuilding", part, TestedBeforeWork(test, rebuilt), (test,))
        done = situation.newest(part.key, MAINTENANCE_DONE_ON)
        if done is not None and isinstance(done.value, Day) and test.on < done.value.first:
            yield OddDays("tested-before-maintenance", part, TestedBeforeWork(test, done), (test,))


def _read_before_made(part: Part, mark: str, situation: Situation) -> Iterator[OddDays]:
    """What counts of a part and was read before its mark is of another part, or one of the two days is wrong."""
    made = situation.newest(part.key, mark)
    if made is None or not isinstance(made.value, Day):
        return
    newest = (situation.newest(part.key, name) for name in situation.standing.evidence.get(part.key, {}))
    older = [one for one in newest if one is not None and one.on is not None and one.on < made.value.first]
    read = [one for one in older if one.sort != "description"]
    if read:
        yield OddDays("read-before-made", part, ReadBeforeMade(read[-1], made), (*read, made))


def _while_under_the_car(
    part: Part, mounted: Evidence, check: Evidence | None, situation: Situation
) -> Iterator[OddDays]:
    """Wheels are pressed on and checked in a shop, not under the car: a job has to say that it came out."""
    assert isinstance(mounted.value, Day)
    serial = serial_of(part.key) or ""
    days = [(mounted, mounted.value.first), *([] if check is None or check.on is None else [(check, check.on)])]
    for told, on in days:
        for fitting in situation.standing.car.fittings_of(serial):
            since = fitting.first
            if since is None or on <= since or (fitting.last and fitting.last < on):
                continue
            if not any(part.key in job.at and since < job.on <= on for job in situation.standing.work):
                yield OddDays("mounted-under-the-car", part, UnderTheCarAlready(told, on, since), (told,))


def _reconditioned_since(part: Part, mounted: Evidence, situation: Situation) -> Iterator[OddDays]:
    """A bearing comes off to be reconditioned, and goes on again: on a day that is on record, or by a job."""
    assert isinstance(mounted.value, Day)
    for key in situation.standing.inside_of(part.key, BEARING):
        told = situation.newest(key, RECONDITIONED_ON)
        if told is None or not isinstance(told.value, Day) or told.value.first <= mounted.value.last:
            continue
        put_on = [situation.newest(key, APPLIED_ON), situation.newest(part.key, BEARING_APPLIED_ON)]
        known = any(
            one is not None and isinstance(one.value, Day) and one.value.last >= told.value.first for one in put_on
        )
        jobs = (one for one in situation.standing.work if one.on >= mounted.value.last)
        if not known and not any(key in job.at or part.key in job.at for job in jobs if not job.event):
            odd = ReconditionedAfterMounting(told, mounted)
            yield OddDays("reconditioned-since-mounting", situation.standing.parts[key], odd, (told, mounted))


def _trucks(trucks: list[tuple[Part, Evidence]], car: Evidence | None) -> Iterator[OddDays]:
    if len(trucks) == 2:
        (one, first), (_, second) = trucks
        if _days_apart(first, second, _TRUCKS_APART):
            yield OddDays("trucks-of-one-age", one, TrucksApart(first, second), (first, second))
    for part, told in trucks:
        if car is not None and _days_apart(told, car, _TRUCK_AND_CAR):
            yield OddDays("truck-and-car-age", part, TruckAndCarApart(told, car), (told, car))


def _first_wheels(part: Part, mounted: Evidence, car: Evidence, situation: Situation) -> Iterator[OddDays]:
    for key in situation.standing.inside_of(part.key, WHEEL):
        told = situation.newest(key, FITTED_AS_REPLACEMENT)
        if told is not None and told.value == Word("no"):
            yield OddDays("first-wheels", situation.standing.parts[key], FirstWheels(mounted, car), (told,))


def _apart(one: Evidence, on: date, most: Period) -> bool:
    assert isinstance(one.value, Day)
    return most.after(one.value.last) < on or most.after(on) < one.value.first


def _days_apart(one: Evidence, other: Evidence, most: Period) -> bool:
    """Whether two days lie more than a period apart, whatever days of their years they are."""
    if not isinstance(one.value, Day) or not isinstance(other.value, Day):
        return False
    return most.after(one.value.last) < other.value.first or most.after(other.value.last) < one.value.first
