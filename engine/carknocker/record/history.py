"""Which wheelset was where: the work log replayed backwards from the fitted table, axle by axle, and proven by it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from carknocker.documents import Location
from carknocker.record.model import Fitting, MoveMade
from carknocker.record.notes import Notes


@dataclass(frozen=True, slots=True)
class Change:
    """One entry of the work log that changes the wheelset at an axle. `order`: its place in the file."""

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
    """Oldest first; on one day, what says `after` another comes behind it, else as the file has it."""
    ordered: list[Change] = []
    for change in sorted(changes, key=lambda one: (one.on, one.order)):
        place = len(ordered)
        while place and ordered[place - 1].on == change.on and change.id in ordered[place - 1].after:
            place -= 1
        ordered.insert(place, change)
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
    """No wheelset is at two axles at once."""
    by_wheelset: dict[str, list[Fitting]] = {}
    for fitting in fittings:
        by_wheelset.setdefault(fitting.wheelset, []).append(fitting)
    for wheelset, own in by_wheelset.items():
        own = sorted(own, key=lambda one: one.first or date.min)
        for before, after in pairwise(own):
            if before.last is None or (after.first or date.min) < before.last:
                where = places.get(after.began_with) or places.get(before.ended_with) or file_start
                since = f"since {after.first.isoformat()}" if after.first else "from the start of the log"
                notes.note(
                    where,
                    f"wheelset {wheelset} at axle {before.axle} and, {since}, at axle {after.axle} too",
                    "each wheelset at one axle at a time",
                    remedy="write down when it came off, or correct the serial",
                )


def prove_moves(fittings: tuple[Fitting, ...], moves: Iterable[MoveMade], notes: Notes) -> None:
    """No change of wheelset lies inside a move made: its miles could not be told apart."""
    for move in moves:
        for fitting in fittings:
            if fitting.first is not None and move.out < fitting.first < move.back:
                notes.note(
                    move.where,
                    f"a move from {move.out.isoformat()} to {move.back.isoformat()}, inside which {fitting.began_with} "
                    f"put {fitting.wheelset} at axle {fitting.axle}",
                    "moves that end where wheelsets are changed",
                    remedy="write two moves, each with its own miles",
                )
                break
