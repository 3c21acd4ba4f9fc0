"""Sheets: dated readings, each to the part that stood at the position on the day of the sheet."""

from collections.abc import Mapping
from dataclasses import dataclass

from carknocker.documents import Location, Node
from carknocker.quantities import Quantity
from carknocker.record.heads import fixed_keys, read_head
from carknocker.record.model import Evidence, Gauge, Person
from carknocker.record.notes import Notes
from carknocker.record.positions import Positions
from carknocker.record.structures import SheetHead
from carknocker.record.value_reader import ReadValue, read_value
from carknocker.record.values import Figure, PressureDrop, Value
from carknocker.vocabulary.model import Attribute, Kind


@dataclass(frozen=True, slots=True)
class Named:
    """The people, the gauges, and the ids of work and events that an entry may name."""

    people: Mapping[str, Person]
    gauges: Mapping[str, Gauge]
    entries: Mapping[str, Location]

    def person(self, name: str, node: Node, notes: Notes) -> Person | None:
        if not name:
            return None
        notes.known(node.get("by") or node, name, self.people, "person")
        return self.people.get(name)

    def gauge(self, name: str, place: Node, notes: Notes) -> Gauge | None:
        if not name:
            return None
        notes.known(place, name, self.gauges, "gauge")
        return self.gauges.get(name)

    def after(self, ids: tuple[str, ...], node: Node, notes: Notes) -> frozenset[str]:
        """The entries named by `after`; each must be there."""
        return frozenset(one for one in ids if notes.known(node.get("after") or node, one, self.entries, "entry"))


class _Sheet:
    def __init__(self, number: int, head: SheetHead, node: Node, named: Named, notes: Notes) -> None:
        self.head, self.named, self.notes = head, named, notes
        self.name = f"sheet {number} of {head.on.isoformat()}" + (f" ({head.paper})" if head.paper else "")
        self.by = named.person(head.by, node, notes)
        self.gauge = named.gauge(head.gauge, node.get("gauge") or node, notes)
        self.after = named.after(head.after, node, notes)


def read_sheets(section: Node | None, positions: Positions, named: Named, notes: Notes) -> list[Evidence]:
    """All readings of all sheets. Notes two readings of one day for one attribute that disagree."""
    readings: list[Evidence] = []
    for number, node in enumerate(notes.sequence(section, "sheets"), start=1):
        if node.kind == "mapping":
            for key in node.keys():
                if key not in (*fixed_keys(SheetHead), "readings"):
                    notes.unknown_key(node, key, (*fixed_keys(SheetHead), "readings"), "a sheet")
        head = read_head(node, SheetHead, notes, "a sheet")
        if head is not None:
            readings.extend(_read_sheet(_Sheet(number, head, node, named, notes), node, positions))
    return _without_twins(readings, notes)


def _read_sheet(sheet: _Sheet, node: Node, positions: Positions) -> list[Evidence]:
    notes = sheet.notes
    sections = {kind.section: kind for kind in notes.vocabulary.kinds.values()}
    readings: list[Evidence] = []
    given = node.get("readings")
    if given is None:
        notes.note(node, "a sheet without readings", "`readings: …`")
    for section, parts in notes.mapping(given, "readings"):
        kind = sections.get(section)
        if kind is None or kind.name in ("move", "train", "leg"):
            notes.unknown_key(given or node, section, sections, "readings")
        elif kind.positions == "single":
            readings.extend(_read_part(sheet, kind, parts, positions.find(kind, kind.name, parts, sheet.head.on)))
        else:
            for position, values in notes.mapping(parts, section):
                where = parts.key_where(position)
                found = positions.find(kind, position, where, sheet.head.on, sheet.after)
                readings.extend(_read_part(sheet, kind, values, found))
    return readings


def _read_part(sheet: _Sheet, kind: Kind, node: Node, parts: list[tuple[str, str]]) -> list[Evidence]:
    notes = sheet.notes
    readings: list[Evidence] = []
    for name, value in notes.mapping(node, f"readings of a {kind.name}"):
        attribute = kind.attributes.get(name)
        if attribute is None:
            read = [one for one, own in kind.attributes.items() if not own.description and not own.derived]
            notes.unknown_key(node, name, read, f"readings of a {kind.name}")
            continue
        if attribute.description or attribute.derived or attribute.type in ("test", "paper"):
            notes.note(
                node.key_where(name), f"`{name}`, which is no reading", "a reading", remedy=_goes(attribute, kind)
            )
            continue
        found = read_value(value, attribute, notes)
        if found is not None:
            gauge = sheet.gauge if not found.gauge else sheet.named.gauge(found.gauge, value, notes)
            for part, place in parts:
                readings.append(_reading(sheet, attribute, part, place, found, gauge, value.where))
    return readings


def _goes(attribute: Attribute, kind: Kind) -> str:
    if attribute.derived:
        return "leave it out: it is worked out from other readings"
    if attribute.type in ("test", "paper"):
        return f"write it under `{attribute.type}s:`"
    return f"it is a description: write it in the section `{kind.section}:` of the record, without a date"


def _reading(
    sheet: _Sheet, attribute: Attribute, part: str, place: str, found: ReadValue, gauge: Gauge | None, where: Location
) -> Evidence:
    return Evidence(
        id=f"{part} {attribute.name}, {sheet.name}, line {where.line}",
        attribute=attribute.name, part=part, place=place, value=found.value, sort="reading", on=sheet.head.on,
        where=where, by=sheet.by, gauge=gauge, resolution=resolution_of(found.value, attribute, gauge),
        sheet=sheet.name, after=sheet.after,
    )  # fmt: skip


def resolution_of(value: Value, attribute: Attribute, gauge: Gauge | None) -> Quantity | None:
    """What the gauge can resolve, or else the tool that is usual for the attribute. A rate of leakage is read by two
    readings of one gauge: its resolution is that of the gauge for each minute."""
    if isinstance(value, PressureDrop):
        reads_to = gauge.reads_to if gauge is not None else None
        if reads_to is None or reads_to.dimension != "pressure":
            return attribute.reads_to
        return Quantity.of("pressure per minute", reads_to.amount / value.minutes.amount, "psi/min")
    if not isinstance(value, Figure):
        return None
    if gauge is not None and gauge.reads_to is not None and gauge.reads_to.dimension == value.quantity.dimension:
        return gauge.reads_to
    return attribute.reads_to


def _without_twins(readings: list[Evidence], notes: Notes) -> list[Evidence]:
    """Two readings of one day that say the same are one; two that disagree are noted, unless one came after work that
    the other did not."""
    kept: dict[tuple[object, ...], Evidence] = {}
    for reading in readings:
        key = (reading.part, reading.attribute, reading.on, reading.after)
        before = kept.get(key)
        if before is None:
            kept[key] = reading
        elif before.value != reading.value:
            notes.note(
                reading.where,
                f"a second reading of `{reading.attribute}` of {reading.part} on {reading.on}, which disagrees "
                f"with line {before.where.line}",
                "one reading a day",
                remedy="keep the one that counts, or say with `after: ID` that it was taken after a job of that day",
            )
    return list(kept.values())
