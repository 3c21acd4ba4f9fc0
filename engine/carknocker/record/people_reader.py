"""The people and the gauges of a record."""

from collections.abc import Mapping

from carknocker.documents import Node
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.record.entries import read_entry
from carknocker.record.model import Gauge, Person
from carknocker.record.notes import Notes
from carknocker.record.structures import GaugeEntry, PersonEntry

# What a gauge can read to. A thermometer resolves differences: 1 °C is 9/5 °F, not 33.8 °F.
_DIMENSIONS = (
    "length", "weight", "pressure", "temperature difference", "tapes", "volume", "resistance", "speed",
    "pressure per minute", "degree of curve",
)  # fmt: skip


def read_people(section: Node | None, notes: Notes) -> Mapping[str, Person]:
    """Everyone whom the record names, by short name."""
    people: dict[str, Person] = {}
    roles = dict.fromkeys(notes.vocabulary.roles)
    for name, node in notes.mapping(section, "people"):
        entry, _ = read_entry(node, PersonEntry, notes, "a person")
        if entry is None:  # whoever names him is told of one problem, not of two
            people[name] = Person(name, "", "", (), None, node.where)
        else:
            notes.is_known(node.get("role") or node, entry.role, roles, "role")
            people[name] = Person(name, entry.role, entry.full_name, entry.accepted_by, entry.until, node.where)
    return people


def read_gauges(section: Node | None, notes: Notes) -> Mapping[str, Gauge]:
    """Every gauge that the record names."""
    gauges: dict[str, Gauge] = {}
    for name, node in notes.mapping(section, "gauges"):
        entry, _ = read_entry(node, GaugeEntry, notes, "a gauge")
        if entry is None:
            gauges[name] = Gauge(name, "", None, None, None, node.where)
        else:
            reads_to = _step(entry.reads_to)
            if entry.reads_to and reads_to is None:
                expected = "what the gauge reads to, with its unit: `1/16 in`, `1 psi`"
                notes.note(node.get("reads_to") or node, f"`{entry.reads_to[:40]}`", expected)
            unsure = _step(entry.uncertainty)
            if entry.uncertainty and unsure is None:
                expected = "the uncertainty that its paper states, with its unit: `1/64 in`, `0.5 psi`"
                notes.note(node.get("uncertainty") or node, f"`{entry.uncertainty[:40]}`", expected)
            if entry.checked is not None and entry.due is not None and entry.due < entry.checked:
                found = f"the gauge {name[:40]} due on {entry.due}, before its last check on {entry.checked}"
                expected = f"`due`: the day of its next check, {entry.checked} or later"
                notes.note(node.get("due") or node, found, expected)
            gauges[name] = Gauge(name, entry.kind, reads_to, entry.checked, entry.due, node.where, unsure)
    return gauges


def _step(text: str) -> Quantity | None:
    """The step that a text says, in whichever dimension it has one; None if it says none."""
    for dimension in _DIMENSIONS:
        try:
            step = read_quantity(text, dimension)
        except QuantityError:
            continue
        return step if step.n > 0 else None
    return None
