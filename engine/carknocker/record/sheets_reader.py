"""Sheets: dated readings, each to the part that stood at the position on the day of the sheet."""

from datetime import date

from carknocker.documents import Location, Node
from carknocker.documents.structure import keys_of
from carknocker.quantities import Quantity
from carknocker.record.descriptions_reader import where_it_goes
from carknocker.record.entries import read_head
from carknocker.record.model import Evidence, Gauge
from carknocker.record.named import Named
from carknocker.record.notes import Notes
from carknocker.record.part_keys import serial_of
from carknocker.record.positions import Positions
from carknocker.record.structures import SheetHead
from carknocker.record.twins import without_twins
from carknocker.record.value_reader import ReadValue, read_value
from carknocker.record.values import Figure, PressureDrop, Value
from carknocker.vocabulary.model import Attribute, Kind
from carknocker.vocabulary.program_names import MOVE_KINDS

_KEYS = (*keys_of(SheetHead), "readings")
_NO_HEAD = SheetHead(on=date.max, by="")


class _Sheet:
    def __init__(self, number: int, head: SheetHead, node: Node, named: Named, notes: Notes) -> None:
        self.head, self.named, self.notes = head, named, notes
        self.name = f"sheet {number} of {head.on.isoformat()}" + (f" ({head.paper})" if head.paper else "")
        self.by = named.person(head.by, node, notes)
        self.gauge = named.gauge(head.gauge, node.get("gauge") or node, notes)
        self.after = named.after(head.after, head.on, node, notes)


def read_sheets(
    section: Node | None, positions: Positions, named: Named, notes: Notes, *, proven: bool = True
) -> list[Evidence]:
    """All readings of all sheets. Notes two readings of one day for one attribute that disagree.

    proven: whether it is sure which wheelset was where; if not, two readings of a wheelset at an axle may be of two.
    """
    readings: list[Evidence] = []
    sections = {kind.section: kind for kind in notes.vocabulary.kinds.values() if kind.name not in MOVE_KINDS}
    for number, node in enumerate(notes.sequence(section, "sheets"), start=1):
        for key in node.keys():
            if key not in _KEYS:
                notes.unknown_key(node, key, _KEYS, "a sheet")
        head = read_head(node, SheetHead, notes, "a sheet")
        if head is not None:
            readings.extend(_read_sheet(_Sheet(number, head, node, named, notes), node, sections, positions))
        elif node.kind == "mapping":  # its readings are looked at all the same, so that every problem is told at once
            _read_sheet(_Sheet(number, _NO_HEAD, node, named, notes), node, sections, positions)
    sure = [one for one in readings if proven or one.part == one.place or serial_of(one.part) is None]
    return without_twins(sure, notes)


def _read_sheet(sheet: _Sheet, node: Node, sections: dict[str, Kind], positions: Positions) -> list[Evidence]:
    notes = sheet.notes
    readings: list[Evidence] = []
    given = node.get("readings")
    if given is None or given.is_empty:
        notes.note(given or node, "a sheet without readings", "`readings: {section: {position: {attribute: value}}}`")
        return readings
    for section, parts in notes.mapping(given, "readings"):
        kind = sections.get(section)
        if kind is None:
            notes.unknown_key(given, section, sections, "readings")
        elif kind.positions == "single":
            found = positions.find(kind, kind.name, given.key_where(section), sheet.head.on)
            readings.extend(_read_part(sheet, kind, parts, found))
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
            found_here = f"`{name}`, which is no reading"
            expected = f"a reading of the {kind.name}"
            notes.note(node.key_where(name), found_here, expected, remedy=where_it_goes(attribute, kind))
            continue
        found = read_value(value, attribute, notes)
        if found is not None:
            gauge = sheet.named.gauge(found.gauge, value, notes) if found.gauge else sheet.gauge
            where = value.where
            readings.extend(_reading(sheet, attribute, part, place, found, gauge, where) for part, place in parts)
    return readings


def _reading(
    sheet: _Sheet, attribute: Attribute, part: str, place: str, found: ReadValue, gauge: Gauge | None, where: Location
) -> Evidence:
    return Evidence(
        id=f"{part} {attribute.name}, {sheet.name}",
        attribute=attribute.name,
        part=part,
        place=place,
        value=found.value,
        sort="reading",
        on=sheet.head.on,
        where=where,
        by=sheet.by,
        gauge=gauge,
        resolution=resolution_of(found.value, attribute, gauge),
        sheet=sheet.name,
        after=sheet.after,
        gauge_uncertainty=gauge_uncertainty(found.value, gauge),
    )


def resolution_of(value: Value, attribute: Attribute, gauge: Gauge | None) -> Quantity | None:
    """What the gauge can resolve, or else the tool that is usual for the attribute; None for what is no figure.

    A rate of leakage comes from two readings of one gauge: it is resolved to the gauge's step for the minutes waited.
    What a thermometer resolves is a difference of temperatures.
    """
    if not isinstance(value, Figure | PressureDrop):
        return None
    own = None if gauge is None else _of_value(gauge.reads_to, value)
    if own is not None or attribute.reads_to is None:
        return own
    return _of_value(attribute.reads_to, value) or attribute.reads_to


def gauge_uncertainty(value: Value, gauge: Gauge | None) -> Quantity | None:
    """The gauge's own uncertainty as it stands in the figure; None where none is stated, or the value is no figure."""
    if gauge is None or not isinstance(value, Figure | PressureDrop):
        return None
    return _of_value(gauge.uncertainty, value)


def _of_value(step: Quantity | None, value: Figure | PressureDrop) -> Quantity | None:
    """What a step of a gauge is worth in a figure; None where the gauge reads something else."""
    if step is None:
        return None
    if isinstance(value, PressureDrop):
        if step.dimension != "pressure":
            return None
        return Quantity.of("pressure per minute", step.amount / value.minutes.amount, "psi/min")
    wanted = value.quantity.dimension
    return step if step.dimension in (wanted, "temperature difference" if wanted == "temperature" else wanted) else None
