"""Readings that were written down wrongly, put right: what was written stays on record beside what was read, with who
says so, when, and how it came about."""

from collections.abc import Iterable, Sequence
from datetime import date

import msgspec
from msgspec.structs import replace

from carknocker.documents import Node, some
from carknocker.documents.structure import keys_of
from carknocker.record.acceptances import Acceptances
from carknocker.record.corrections_in_place import MARK_AND_NAME
from carknocker.record.entries import CorrectionEntry, read_head
from carknocker.record.entry_words import entry_called
from carknocker.record.files import RecordReporter
from carknocker.record.model import Correction, Evidence, Person
from carknocker.record.people_and_gauges import References
from carknocker.record.positions import Positions
from carknocker.record.sheets_reader import as_shown_by, gauge_uncertainty, refuse_go_or_no_go, resolution_of
from carknocker.record.value_reader import read_value
from carknocker.record.value_words import value_words
from carknocker.record.values import Bound, Figure, PressureDrop, Value
from carknocker.vocabulary.model import Attribute, Kind

_KEYS = (*keys_of(CorrectionEntry), "is")
_WITHOUT_IS = "a correction without `is`"


class Corrected(msgspec.Struct, frozen=True):
    """Readings with what was put right in them, and the corrections."""

    readings: list[Evidence]
    corrections: tuple[Correction, ...] = ()


def with_corrections(
    section: Node | None, readings: list[Evidence], positions: Positions, references: References,
    acceptances: Acceptances, reporter: RecordReporter,
) -> Corrected:  # fmt: skip
    """The readings as they were read. A later correction may put an earlier one right. Reports a correction of what is
    not on record, and one by somebody who may not make it."""
    found: list[Correction] = []
    for node in reporter.sequence(section, "corrections"):
        for key in node.keys():
            if key not in _KEYS:
                reporter.unknown_key(node, key, _KEYS, "a correction")
        entry = read_head(node, CorrectionEntry, reporter, "a correction")
        by = None if entry is None else references.person(entry.by, node, reporter)
        if entry is None or by is None:
            continue
        if entry.read_on is None:
            now = _description(entry, node, positions, reporter)
            if now:
                found.append(_correction(entry, None, now, by, None, node))
            continue
        attribute, parts = _meant(entry, entry.read_on, node, positions, reporter)
        at = [] if attribute is None else _said(entry, entry.read_on, attribute, parts, readings, node, reporter)
        if attribute is None or not at or not _may_correct(by, entry, readings[at[0]], node, acceptances, reporter):
            continue
        for place in at:
            was = readings[place]
            read = _as_read(was, attribute, node, reporter)
            if read is not None:
                readings[place] = read
                found.append(_correction(entry, entry.read_on, value_words(read.value), by, was, node))
    return Corrected(readings, tuple(found))


def _correction(
    entry: CorrectionEntry, read_on: date | None, now: str, by: Person, was: Evidence | None, node: Node
) -> Correction:
    return Correction(
        entry.of, entry.reading, entry.said, now, read_on, by, entry.on, entry.why, node.where, was,
    )  # fmt: skip


def _description(entry: CorrectionEntry, node: Node, positions: Positions, reporter: RecordReporter) -> str:
    """What a description, the mark, the name or an entry of a list was put right to; empty (reported) where it can't be
    told."""
    kind = positions.kind_named_in(entry.of)
    given = node.get("is")
    if given is None or given.is_empty:
        reporter.note(given or node, _WITHOUT_IS, "`is: …`: what is right", lacks="is")
        return ""
    if entry_called(entry.of) is not None:
        return reporter.text(given, "is")
    if kind is not None and kind.name == "car" and entry.reading in MARK_AND_NAME:
        return reporter.text(given, "is")
    attribute = None if kind is None else kind.attributes.get(entry.reading)
    if attribute is None or not attribute.description:
        expected = "a description; of a reading its day as well: `read_on: 2026-09-12`"
        reporter.note(node.get("reading") or node, f"`{entry.reading[:40]}` of {entry.of[:60]}", expected)
        return ""
    read = read_value(given, attribute, reporter)
    return "" if read is None else value_words(read.value)


def _meant(
    entry: CorrectionEntry, day: date, node: Node, positions: Positions, reporter: RecordReporter
) -> tuple[Attribute | None, tuple[str, ...]]:
    """The attribute, and the part as it is called now or was on the day of the reading."""
    kind = positions.kind_named_in(entry.of)
    place = node.get("of") or node
    if kind is None:
        reporter.note(place, f"`of: {entry.of[:60]}`", "a part, as in `wheel L3` or `safety appliance 1`")
        return None, ()
    attribute = kind.attributes.get(entry.reading)
    if attribute is None or attribute.description or attribute.derived or attribute.type in ("test", "paper"):
        known = [one for one, own in kind.attributes.items() if not own.description and not own.derived]
        given = node.get("reading") or node
        reporter.is_known(given, entry.reading, known, f"reading of a {kind.name}")
        return None, ()
    days = [one for one in (day, None) if positions.knows(kind, _bare(entry.of, kind), one)]
    if not days:
        positions.find(kind, _bare(entry.of, kind), place, day)  # says which there are
        return None, ()
    parts = [part for one in days for part, _ in positions.find(kind, _bare(entry.of, kind), place, one)]
    return attribute, tuple(dict.fromkeys(parts))


def _bare(of: str, kind: Kind) -> str:
    """The position in `wheel L3`; the kind itself where there is but one such part."""
    return of.removeprefix(kind.name).strip() or kind.name


def _said(
    entry: CorrectionEntry, day: date, attribute: Attribute, parts: Sequence[str], readings: Sequence[Evidence],
    node: Node, reporter: RecordReporter,
) -> list[int]:  # fmt: skip
    """Where the reading that a correction is about stands among the readings; nowhere (reported) where it is not on
    record, or where it is not one reading of one person."""
    of_day = [
        place for place, one in enumerate(readings)
        if one.part in parts and one.attribute == attribute.name and one.on == day
    ]  # fmt: skip
    told = f"`{attribute.name}` of {entry.of} on {day.isoformat()}"
    found = [place for place in of_day if value_words(readings[place].value) == entry.said]
    if not found:
        on_record = tuple(dict.fromkeys(value_words(readings[place].value) for place in of_day))
        expected = f"what is on record of that day: {some(on_record)}" if on_record else "a reading of that day"
        reporter.note(node.get("said") or node, f"a correction of {told}, `{entry.said[:60]}`", expected)
        return []
    if len({readings[place].part for place in found}) > 1:
        reporter.note(node.get("of") or node, f"{told}, which may be either of two wheels", "one wheel alone")
        return []
    readers = [one.name for place in found if (one := readings[place].by) is not None]
    if len(set(readers)) > 1:
        words = f"a correction of {told}, which {' and '.join(dict.fromkeys(readers))} read alike"
        reporter.note(node, words, "a reading of one person", remedy="read it again")
        return []
    return found


def _may_correct(
    by: Person, entry: CorrectionEntry, was: Evidence, node: Node, acceptances: Acceptances, reporter: RecordReporter
) -> bool:  # fmt: skip
    """Whether this person may put the reading right: who read it, or one whom every host accepts that accepts him."""
    if was.on is not None and entry.on < was.on:
        words = f"a correction of {entry.on.isoformat()} of what was read on {was.on.isoformat()}"
        reporter.note(node.get("on") or node, words, f"a day from {was.on.isoformat()} on")
        return False
    reader = was.by
    host = "" if reader is None else acceptances.who_does_not(reader, by, entry.on)
    if reader is not None and host:
        words = f"what {reader.name} read, put right by {by.name}, whom {host} does not accept on that day"
        expected = f"{reader.name}, or one whom {host} accepts"
        reporter.note(node.get("by") or node, words, expected, remedy="let who read it say what was read")
    return not host


def _as_read(was: Evidence, attribute: Attribute, node: Node, reporter: RecordReporter) -> Evidence | None:
    """The reading with the value that was read, by the same person with the same gauge; None (reported) where that
    can't be told."""
    given = node.get("is")
    if given is None or given.is_empty:
        reporter.note(given or node, _WITHOUT_IS, "`is: …`: what was read, as on a sheet", lacks="is")
        return None
    days = {} if was.on is None else {"read": (was.on, was.on)}
    read = read_value(given, attribute, reporter, days)
    if read is None:
        return None
    if read.gauge:
        reporter.note(given, "a gauge in a correction", "the value alone: its gauge is that of the reading")
        return None
    if _is_figure(read.value) and not _is_figure(was.value):
        words = f"a figure in place of `{value_words(was.value)}`, which no gauge showed"
        reporter.note(given, words, "a reading on a sheet, with its gauge")
        return None
    refuse_go_or_no_go(given, attribute, was.gauge, reporter)
    value = as_shown_by(was.gauge, read.value, reporter) if isinstance(read.value, Bound) else read.value
    if value == was.value:
        reporter.note(given, f"`{value_words(value)}`, which is on record", "what was read instead")
        return None
    kinds = reporter.vocabulary.gauge_kinds
    return replace(
        was, value=value, where=given.where, resolution=resolution_of(value, attribute, was.gauge, kinds),
        gauge_uncertainty=gauge_uncertainty(value, was.gauge, kinds), sure=read.sure,
    )  # fmt: skip


def _is_figure(value: Value) -> bool:
    return isinstance(value, Figure | Bound | PressureDrop)


def corrections_by(corrections: Iterable[Correction], day: date) -> tuple[Correction, ...]:
    """Those that were made by a day, in the order of the record."""
    return tuple(one for one in corrections if one.on <= day)
