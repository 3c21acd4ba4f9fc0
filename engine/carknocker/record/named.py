"""What entries of a record name: people, gauges, and the ids of work and events."""

from collections.abc import Iterable, Mapping
from datetime import date

import msgspec

from carknocker.documents import Node
from carknocker.record.model import Fitting, Gauge, Person
from carknocker.record.notes import Notes


class Named(msgspec.Struct, frozen=True):
    """days: id of work or event → its day (None where it is not readable). before: id → the ids that came before it
    on its day."""

    people: Mapping[str, Person]
    gauges: Mapping[str, Gauge]
    days: Mapping[str, date | None]
    before: Mapping[str, frozenset[str]]

    def person(self, name: str, node: Node, notes: Notes) -> Person | None:
        """The person whom an entry names with `by`; None, noted, if the record does not know him."""
        if name:
            notes.is_known(node.get("by") or node, name, self.people, "person")
        return self.people.get(name)

    def gauge(self, name: str, place: Node, notes: Notes) -> Gauge | None:
        """The gauge of a name; None, noted, if the record does not know it."""
        if name:
            notes.is_known(place, name, self.gauges, "gauge")
        return self.gauges.get(name)

    def after(self, ids: tuple[str, ...], on: date, node: Node, notes: Notes) -> frozenset[str]:
        """The entries that `after` names, and all that came before those. Each must be there, and not be later."""
        found: set[str] = set()
        place = node.get("after") or node
        for one in ids:
            if not notes.is_known(place, one, self.days, "job or event"):
                continue
            day = self.days[one]
            if day is not None and day > on:
                found_here = f"`after: {one[:40]}` on {on.isoformat()}, but {one[:40]} is of {day.isoformat()}"
                notes.note(place, found_here, "an entry of that day or an earlier one")
            found.update((one, *self.before.get(one, ())))
        return frozenset(found)


def what_came_before(after: Mapping[str, Iterable[str]], fittings: Iterable[Fitting] = ()) -> dict[str, frozenset[str]]:
    """For each entry, all entries that came before it on its day: those it says it was after, the earlier changes at
    its axle, the change that took its wheelset off another axle, and what came before those in turn.

    Two wheelsets that change places on one day thus come before each other: the swap is one job.
    """
    direct: dict[str, set[str]] = {one: set(ids) for one, ids in after.items()}
    fittings = tuple(fittings)
    taken_off = {(one.wheelset, one.last): one for one in fittings if one.last is not None}
    last: dict[int, Fitting] = {}
    for fitting in fittings:
        before = last.get(fitting.axle)
        if before is not None and before.began_with and before.first == fitting.first:
            direct.setdefault(fitting.began_with, set()).add(before.began_with)
        source = None if fitting.first is None else taken_off.get((fitting.wheelset, fitting.first))
        if source is not None and source.axle != fitting.axle:
            direct.setdefault(fitting.began_with, set()).add(source.ended_with)
        last[fitting.axle] = fitting
    return {start: _all_before(start, direct) for start in direct}


def _all_before(start: str, direct: Mapping[str, Iterable[str]]) -> frozenset[str]:
    seen: set[str] = set()
    waiting = list(direct[start])
    while waiting:
        one = waiting.pop()
        if one not in seen:
            seen.add(one)
            waiting.extend(direct.get(one, ()))
    return frozenset(seen)
