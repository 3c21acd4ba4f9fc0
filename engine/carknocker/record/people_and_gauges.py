"""The people and the gauges of a record, and what its entries refer to: those, and the ids of work and events."""

from collections.abc import Iterable, Mapping
from datetime import date
from functools import partial

import msgspec

from carknocker.documents import Node
from carknocker.documents.suggestions import OtherNames
from carknocker.quantities import Quantity, QuantityError, read_quantity, write_quantity
from carknocker.record.entries import GaugeEntry, PersonEntry, read_entry
from carknocker.record.files import RecordReporter
from carknocker.record.model import Fitting, Gauge, Person
from carknocker.record.possible_values import NO_DAYS, in_range, refuse_impossible_entry
from carknocker.vocabulary.model import GaugeKind

# What a gauge can read to. A thermometer resolves differences: 1 °C is 9/5 °F, not 33.8 °F.
_DIMENSIONS = (
    "length", "weight", "pressure", "temperature difference", "tapes", "volume", "resistance", "speed",
    "pressure per minute", "degree of curve",
)  # fmt: skip


def read_people(section: Node | None, reporter: RecordReporter) -> Mapping[str, Person]:
    """Everyone whom the record names, by short name."""
    people: dict[str, Person] = {}
    roles = dict.fromkeys(reporter.vocabulary.roles)
    for name, node in reporter.mapping(section, "people"):
        entry, _ = read_entry(node, PersonEntry, reporter, f"the person {name[:40]}")
        if entry is None:  # whoever names him is told of one problem, not of two
            people[name] = Person(name, "", "", (), None, node.where)
        else:
            reporter.is_known(node.get("role") or node, entry.role, roles, "role")
            if not entry.sure:
                refuse_impossible_entry("people.until", entry.until, node.get("until") or node, reporter)
            people[name] = Person(
                name,
                entry.role,
                entry.full_name,
                entry.accepted_by,
                entry.until,
                node.where,
                entry.from_day,
                entry.telephone,
            )
    return people


def read_gauges(section: Node | None, reporter: RecordReporter) -> Mapping[str, Gauge]:
    """Every gauge that the record names."""
    gauges: dict[str, Gauge] = {}
    for name, node in reporter.mapping(section, "gauges"):
        entry, _ = read_entry(node, GaugeEntry, reporter, f"the gauge {name[:40]}")
        if entry is None:
            gauges[name] = Gauge(name, "", None, None, None, node.where)
        else:
            reads_to = _step(entry.reads_to)
            if entry.reads_to and reads_to is None:
                expected = "what the gauge reads to, with its unit: `1/16 in`, `1 psi`"
                reporter.note(node.get("reads_to") or node, f"`{entry.reads_to[:40]}`", expected)
            kind = reporter.vocabulary.gauge_kind_called(entry.kind)
            known = reporter.vocabulary.gauge_kinds.get(kind)
            _check_unit(known, reads_to, node.get("reads_to") or node, reporter)
            unsure = _step(entry.uncertainty)
            if entry.uncertainty and unsure is None:
                expected = "the uncertainty that its paper states, with its unit: `1/64 in`, `0.5 psi`"
                reporter.note(node.get("uncertainty") or node, f"`{entry.uncertainty[:40]}`", expected)
            if entry.checked is not None and entry.due is not None and entry.due < entry.checked:
                found = f"the gauge {name[:40]} due on {entry.due}, before its last check on {entry.checked}"
                expected = f"`due`: the day of its next check, {entry.checked} or later"
                reporter.note(node.get("due") or node, found, expected)
            elif not entry.sure:
                since = NO_DAYS if entry.checked is None else {"checked": (entry.checked, entry.checked)}
                refuse_impossible_entry("gauges.due", entry.due, node.get("due") or node, reporter, since)
            if not entry.sure:
                refuse_impossible_entry("gauges.checked", entry.checked, node.get("checked") or node, reporter)
                _check_step(known, name[:40], reads_to, node.get("reads_to") or node, reporter)
            _check_uncertainty(known, entry, reads_to, unsure, node.get("uncertainty") or node, reporter)
            if entry.checked_before and (entry.checked is None or max(entry.checked_before) > entry.checked):
                found = f"the gauge {name[:40]} checked before on {max(entry.checked_before)}"
                expected = (
                    f"days before its last check on {entry.checked}" if entry.checked else "its last check: `checked`"
                )
                reporter.note(node.get("checked_before") or node, found, expected)
            gauges[name] = Gauge(
                name, kind, reads_to, entry.checked, entry.due, node.where, unsure, entry.checked_before
            )
    return gauges


_SURE = "look again; if it is so, add `sure: WHY`"


def _check_unit(known: GaugeKind | None, reads_to: Quantity | None, node: Node, reporter: RecordReporter) -> None:
    """A gauge of a known kind reads in the unit of something that such a gauge reads."""
    if known is None or known.finest is None or reads_to is None:
        return
    kinds = reporter.vocabulary.kinds
    dimensions = {known.finest.dimension, *(kinds[part].attributes[name].type for part, name in known.reads)}
    if reads_to.dimension not in dimensions:
        found = f"`{write_quantity(reads_to)}`, which no {known.name} reads to"
        reporter.note(node, found, f"what the gauge reads to, as `{write_quantity(known.finest)}`")


def _check_step(
    known: GaugeKind | None, name: str, reads_to: Quantity | None, node: Node, reporter: RecordReporter
) -> None:
    """A gauge reads as fine as its kind can: else what it read would be worth more without the gauge."""
    if reads_to is None:
        return
    if known is None or known.finest is None or known.coarsest is None:
        usual = reporter.vocabulary.entry_ranges.get(f"gauges.reads_to {reads_to.dimension}")
        if usual is not None and usual.usual is not None and not usual.usual.holds(reads_to):
            found = f"the gauge {name} reading to {write_quantity(reads_to)}"
            reporter.note(node, found, f"a gauge that reads {in_range(usual.usual)}", remedy=_SURE)
        return
    finest, coarsest = known.finest, known.coarsest
    if finest.dimension == reads_to.dimension and not finest.amount <= reads_to.amount <= coarsest.amount:
        found = f"the gauge {name} reading to {write_quantity(reads_to)}"
        expected = f"a {known.name} that reads from {write_quantity(finest)} to {write_quantity(coarsest)}"
        reporter.note(node, found, expected, remedy=_SURE)


def _check_uncertainty(
    known: GaugeKind | None, entry: GaugeEntry, reads_to: Quantity | None, unsure: Quantity | None, node: Node,
    reporter: RecordReporter,
) -> None:  # fmt: skip
    """None is stated that is larger than what counts where none is: else it would be better to say nothing."""
    if unsure is None:
        return
    most = reads_to if known is None else known.uncertainty
    found = f"an uncertainty of {write_quantity(unsure)} (kind: {entry.kind[:40]})"
    if most is None:
        what = "none: no paper states one of such a gauge" if known is not None else "what the gauge reads to as well"
        reporter.note(node, found, what, remedy="leave it out" if known is not None else "write `reads_to`")
    elif most.dimension == unsure.dimension and unsure.amount > most.amount and not entry.sure:
        reporter.note(node, found, f"at most {write_quantity(most)}", remedy=_SURE)


def _step(text: str) -> Quantity | None:
    """The smallest step that a text states, in any dimension that a gauge can have; None if it states none."""
    for dimension in _DIMENSIONS:
        try:
            step = read_quantity(text, dimension)
        except QuantityError:
            continue
        return step if step.n > 0 else None
    return None


class References(msgspec.Struct, frozen=True):
    """days: id of work or event → its day (None where it is not readable). before: id → the ids that came before it
    on its day. events: those of the ids that are events."""

    people: Mapping[str, Person]
    gauges: Mapping[str, Gauge]
    days: Mapping[str, date | None]
    before: Mapping[str, frozenset[str]]
    events: frozenset[str] = frozenset()

    def person(self, name: str, node: Node, reporter: RecordReporter) -> Person | None:
        """The person whom an entry names with `by`; None (reported) if the record does not know him."""
        if name:
            names = partial(_names_of_people, self.people)
            reporter.is_known(node.get("by") or node, name, self.people, "person", names)
        return self.people.get(name)

    def gauge(self, name: str, place: Node, reporter: RecordReporter) -> Gauge | None:
        """The gauge of a name; None (reported) if the record does not know it."""
        if name:
            names = partial(_names_of_gauges, self.gauges, reporter)
            reporter.is_known(place, name, self.gauges, "gauge", names)
        return self.gauges.get(name)

    def events_of(self, on: date, place: Node, reporter: RecordReporter) -> tuple[str, ...]:
        """The events of a day, of which a sheet says that it was taken after them; a day without one is reported."""
        found = tuple(sorted(one for one in self.events if self.days.get(one) == on))
        if not found:
            said = f"`taken: after the events of the day`, but no event of {on.isoformat()} is on record"
            reporter.note(
                place, said, "an event of that day under `events:`", remedy="write it down, or leave `taken` out"
            )
        return found

    def after(self, ids: tuple[str, ...], on: date, node: Node, reporter: RecordReporter) -> frozenset[str]:
        """The entries that `after` names, and all that came before those. Each must be there, and not be later."""
        known: list[str] = []
        place = node.get("after") or node
        for one in ids:
            if not reporter.is_known(place, one, self.days, "job or event"):
                continue
            day = self.days[one]
            if day is not None and day > on:
                found_here = f"`after: {one[:40]}` on {on.isoformat()}, but {one[:40]} is of {day.isoformat()}"
                reporter.note(place, found_here, "an entry of that day or an earlier one")
            known.append(one)
        found: set[str] = set()
        for one in sorted(known, key=lambda one: len(self.before.get(one, ())), reverse=True):
            if one not in found:  # else all that came before it is there too
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
    return _closed(direct)


def _closed(direct: Mapping[str, Iterable[str]]) -> dict[str, frozenset[str]]:
    """What can be reached from each entry: Warshall's algorithm, a set of entries as the bits of a number. What is no
    entry leads nowhere, and is refused where it is named."""
    names = tuple(direct)
    numbers = {name: number for number, name in enumerate(names)}
    reached = [sum(1 << numbers[one] for one in set(direct[name]) if one in numbers) for name in names]
    for middle in range(len(names)):
        bit, beyond = 1 << middle, reached[middle]
        reached = [here | beyond if here & bit else here for here in reached]
    return {
        name: frozenset(names[number] for number in range(len(names)) if bits >> number & 1)
        for name, bits in zip(names, reached, strict=True)
    }


def _names_of_people(people: Mapping[str, Person]) -> OtherNames:
    """Each person's short name with the full one."""
    return {name: (person.full_name,) for name, person in people.items() if person.full_name}


def _names_of_gauges(gauges: Mapping[str, Gauge], reporter: RecordReporter) -> OtherNames:
    """Each gauge's short name with its kind, where it is the only one of that kind, and with what people call it."""
    kinds = [gauge.kind for gauge in gauges.values()]
    known = reporter.vocabulary.gauge_kinds
    return {
        name: (gauge.kind, *(known[gauge.kind].other_names if gauge.kind in known else ()))
        for name, gauge in gauges.items()
        if gauge.kind and kinds.count(gauge.kind) == 1
    }
