"""Which wheelset was where: the work log replayed backwards from the fitted table, axle by axle, and proven by it."""

from collections.abc import Iterable, Mapping
from datetime import date

import msgspec

from carknocker.documents import Location
from carknocker.record.model import Fitting
from carknocker.record.notes import Notes


class Change(msgspec.Struct, frozen=True):
    """One entry of the work log that changes the wheelset at an axle.

    after: the entries that by their own word came before it. order: its place in the file.
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


def replay(table: Mapping[int, tuple[str, Location]], changes: Iterable[Change], notes: Notes) -> tuple[Fitting, ...]:
    """Every fitting there ever was. Notes where the log and the fitted table, or two entries, don't agree."""
    by_axle: dict[int, list[Change]] = {}
    for change in changes:
        if change.axle in table:
            by_axle.setdefault(change.axle, []).append(change)
    fittings: list[Fitting] = []
    for axle in sorted(table):
        fittings.extend(_replay_axle(axle, table[axle], _in_order(by_axle.get(axle, [])), notes))
    return tuple(fittings)


def _in_order(changes: list[Change]) -> list[Change]:
    """Oldest first; on one day, what came `after` another stands behind it, else as the file has it."""
    waiting = sorted(changes, key=lambda one: (one.on, one.order))
    ordered: list[Change] = []
    while waiting:
        same_day = [one for one in waiting if one.on == waiting[0].on]
        still_open = {one.id for one in same_day}
        ready = next((one for one in same_day if not one.after & still_open), same_day[0])
        waiting.remove(ready)
        ordered.append(ready)
    return ordered


def _replay_axle(axle: int, now: tuple[str, Location], changes: list[Change], notes: Notes) -> list[Fitting]:
    fittings: list[Fitting] = []
    wheelset = now[0]
    last: date | None = None
    ended_with = ""
    for change in reversed(changes):
        if change.fitted != wheelset:
            notes.note(
                change.where,
                f"{change.id} says that {change.fitted} went on at axle {axle}, but afterwards {wheelset} is there",
                f"`fitted: {wheelset}`, or a later entry that puts {wheelset} there",
                remedy="correct the entry, the fitted table of the truck, or write down the change that is missing",
            )
        fittings.append(Fitting(change.fitted, axle, change.on, last, change.id, ended_with, change.end_for_end))
        wheelset, last, ended_with = change.off, change.on, change.id
    fittings.append(Fitting(wheelset, axle, None, last, "", ended_with, False))
    return fittings[::-1]


def prove(fittings: tuple[Fitting, ...], places: Mapping[str, Location], file_start: Location, notes: Notes) -> None:
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
                notes.note(
                    where or file_start,
                    f"wheelset {wheelset} at axle {longest.axle} and, {since}, at axle {after.axle} too",
                    "each wheelset at one axle at a time",
                    remedy=f"{remedy} (jobs: {named})" if named else remedy,
                )
            if longest.last is not None and (after.last is None or after.last > longest.last):
                longest = after
