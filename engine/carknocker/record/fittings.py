"""Which wheelset was where: the work log replayed backwards from the axles as they are now, and proven."""

from collections.abc import Iterable, Mapping
from datetime import date

import msgspec

from carknocker.documents import Location
from carknocker.record.files import RecordReporter
from carknocker.record.model import Evidence, Fitting, Work
from carknocker.record.part_keys import wheelset_key
from carknocker.record.values import Day
from carknocker.vocabulary import work_to
from carknocker.vocabulary.program_names import MOUNTED_ON


class Change(msgspec.Struct, frozen=True):
    """One entry of the work log that changes the wheelset at an axle.

    after: the entries that it says (`after`) came before it. order: its place in the file.
    """

    id: str
    on: date
    axle: int
    off: str
    fitted: str
    end_for_end: bool
    after: frozenset[str]
    order: int
    where: Location


def replay(
    table: Mapping[int, tuple[str, Location]], changes: Iterable[Change], reporter: RecordReporter
) -> tuple[Fitting, ...]:
    """Every fitting on record. Reports where the log and the fitted table, or two entries, disagree."""
    by_axle: dict[int, list[Change]] = {}
    for change in changes:
        if change.axle in table:
            by_axle.setdefault(change.axle, []).append(change)
    fittings: list[Fitting] = []
    for axle in sorted(table):
        fittings.extend(_replay_axle(axle, table[axle], _in_order(by_axle.get(axle, [])), reporter))
    return tuple(fittings)


def _in_order(changes: list[Change]) -> list[Change]:
    """Oldest first; of one day, an entry that says `after` another follows it, otherwise as in the file."""
    waiting = sorted(changes, key=lambda one: (one.on, one.order))
    ordered: list[Change] = []
    while waiting:
        same_day = [one for one in waiting if one.on == waiting[0].on]
        still_open = {one.id for one in same_day}
        ready = next((one for one in same_day if not one.after & still_open), same_day[0])
        waiting.remove(ready)
        ordered.append(ready)
    return ordered


def _replay_axle(
    axle: int, now: tuple[str, Location], changes: list[Change], reporter: RecordReporter
) -> list[Fitting]:
    fittings: list[Fitting] = []
    wheelset = now[0]
    last: date | None = None
    ended_with = ""
    for change in reversed(changes):
        if change.fitted != wheelset:
            reporter.note(
                change.where,
                f"{change.id} says that {change.fitted} went on at axle {axle}, but afterwards {wheelset} is there",
                f"`fitted: {wheelset}`, or a later entry that puts {wheelset} there",
                remedy="correct the entry, the fitted table of the truck, or write down the change that is missing",
            )
        fittings.append(Fitting(change.fitted, axle, change.on, last, change.id, ended_with, change.end_for_end))
        wheelset, last, ended_with = change.off, change.on, change.id
    fittings.append(Fitting(wheelset, axle, None, last, "", ended_with, False))
    return fittings[::-1]


def prove_one_place(
    fittings: tuple[Fitting, ...], places: Mapping[str, Location], file_start: Location, reporter: RecordReporter
) -> None:
    """No wheelset is at two axles at once. places: id of a change → where it stands in the file."""
    by_wheelset: dict[str, list[Fitting]] = {}
    for fitting in fittings:
        by_wheelset.setdefault(fitting.wheelset, []).append(fitting)
    for wheelset, own in by_wheelset.items():
        own.sort(key=lambda one: (one.first or date.min, one.last or date.max))
        longest = own[0]
        for after in own[1:]:
            both_now = longest.last is None and after.last is None  # the fitted table says so, and is told of
            if not both_now and (longest.last is None or (after.first or date.min) < longest.last):
                where = places.get(after.began_with) or places.get(longest.ended_with) or places.get(after.ended_with)
                since = f"since {after.first.isoformat()}" if after.first else "from the start of the log"
                jobs = (longest.began_with, longest.ended_with, after.began_with, after.ended_with)
                named = ", ".join(one for one in dict.fromkeys(jobs) if one in places)
                remedy = "write down when it came off, or correct the serial"
                reporter.note(
                    where or file_start,
                    f"wheelset {wheelset} at axle {longest.axle} and, {since}, at axle {after.axle} too",
                    "each wheelset at one axle at a time",
                    remedy=f"{remedy} (jobs: {named})" if named else remedy,
                )
            if longest.last is not None and (after.last is None or after.last > longest.last):
                longest = after


def prove_mounted(
    fittings: Iterable[Fitting],
    met: Mapping[tuple[str, int, date], Location],
    descriptions: Iterable[Evidence],
    work: tuple[Work, ...],
    reporter: RecordReporter,
) -> None:
    """Reports what was said of a wheelset at its axle, and each job that fitted it, before the day it was mounted.

    met: wheelset, axle and day → where something is said of it. New wheels on the axle of a wheelset that was under the
    car before are no contradiction: it was off when it was mounted, or the log says that they were renewed.
    """
    mounted = {
        one.part.removeprefix("wheelset "): (one.value, one.where)
        for one in descriptions
        if one.attribute == MOUNTED_ON and one.on is None and isinstance(one.value, Day)
    }
    name = work_to("mount wheels")
    renewed = {
        serial: max((one.on for one in work if one.name == name and wheelset_key(serial) in one.at), default=None)
        for serial in mounted
    }
    jobs = {one.id: one.where for one in work if not one.event}
    for fitting in fittings:
        serial, axle = fitting.wheelset, fitting.axle
        day, written_at = mounted.get(serial, (None, None))
        if day is None or written_at is None or (fitting.last is not None and fitting.last <= day.last):
            continue
        last_renewed = renewed[serial]
        but = f"but it was mounted on {day.written} (line {written_at.line})"
        for (one, at, on), where in met.items():
            if (one, at) != (serial, axle) or not _within(on, fitting):
                continue
            if on < day.first and (last_renewed is None or last_renewed < on):
                reporter.note(
                    where,
                    f"by the log wheelset {serial} was at axle {axle} on {on}, {but}",
                    f"a job that fitted {serial} at axle {axle}, of {day.written} or later",
                    remedy="write down the job that the log lacks, or correct the day, or `mounted_on`",
                )
        first, job = fitting.first, fitting.began_with
        if first is not None and first < day.first and (last_renewed is None or last_renewed < first):
            reporter.note(
                jobs[job],
                f"{job} fitted wheelset {serial} on {first}, {but}",
                f"a day from {day.first} on",
                remedy=f"correct the day, or `mounted_on`; new wheels on its axle are a job: `{name}`",
            )


def _within(on: date, fitting: Fitting) -> bool:
    return (fitting.first is None or fitting.first <= on) and (fitting.last is None or on <= fitting.last)
