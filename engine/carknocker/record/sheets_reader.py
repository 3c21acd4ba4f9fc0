"""Dated sheets of readings: who read what on which part, with which gauge; two readings of one day must agree."""

from collections.abc import Mapping
from datetime import date
from typing import TypeGuard

from msgspec.structs import replace

from carknocker.documents import Location, Node
from carknocker.documents.structure import keys_of
from carknocker.quantities import Quantity
from carknocker.record.descriptions import where_it_goes
from carknocker.record.entries import SheetHead, read_head
from carknocker.record.files import RecordReporter
from carknocker.record.model import Evidence, Gauge
from carknocker.record.part_keys import serial_of
from carknocker.record.people_and_gauges import References
from carknocker.record.positions import ALL, Positions
from carknocker.record.value_reader import GO_OR_NO_GO, ReadValue, read_value
from carknocker.record.value_words import value_words
from carknocker.record.values import Bound, Figure, NotAccessible, Opinion, PressureDrop, Value
from carknocker.vocabulary.model import Attribute, GaugeKind, Kind
from carknocker.vocabulary.program_names import MOVE_KINDS

MOST_READINGS = 100_000
"""Of a car. The largest demo car has a thousand."""
MOST_OF_A_DAY = 50
KEEP_ONE = "keep the one that counts, or say with `after: ID` that it was taken after a job of that day"
"""What is to be done about two readings of one day that disagree."""


def without_repeats(readings: list[Evidence], reporter: RecordReporter) -> list[Evidence]:
    """The readings, without repeats on one sheet. Reports two of one day that disagree, unless one was taken
    after work of that day and the other was not."""
    kept: dict[tuple[object, ...], Evidence] = {}
    same_day: dict[tuple[object, ...], list[Evidence]] = {}
    for reading in readings:
        once = (reading.part, reading.attribute, reading.sheet)
        before = kept.get(once)
        if before is not None and (before.value == reading.value or isinstance(reading.value, NotAccessible)):
            continue
        if before is not None and not isinstance(before.value, NotAccessible):
            _note_disagreement(before, reading, reporter)
            continue
        kept[once] = reading
        others = same_day.setdefault((reading.part, reading.attribute, reading.on, reading.after), [])
        unlike = next((one for one in others if not agree(one.value, reading.value)), None)
        if unlike is not None:
            _note_disagreement(unlike, reading, reporter)
        if any(one.value == reading.value for one in others):
            continue
        others.append(reading)
        what = f"different readings of `{reading.attribute}` of {reading.part} on {reading.on}"
        reporter.refuse_above(MOST_OF_A_DAY, len(others), reading.where, what)
    return list(kept.values())


def _note_disagreement(before: Evidence, reading: Evidence, reporter: RecordReporter) -> None:
    reporter.note(
        reading.where,
        f"a second reading of `{reading.attribute}` of {reading.part} on {reading.on}, which disagrees with "
        f"`{value_words(before.value)}`{_by(before)}, line {before.where.line}",
        "one reading a day",
        remedy=KEEP_ONE,
    )


def _by(reading: Evidence) -> str:
    return "" if reading.by is None else f", read by {reading.by.name}"


def agree(one: Value, other: Value) -> bool:
    """Whether both can be true: the same value, a figure within a bound, or nothing read at all."""
    if one == other or isinstance(one, NotAccessible) or isinstance(other, NotAccessible):
        return True
    words = [value.word if isinstance(value, Opinion) else getattr(value, "text", None) for value in (one, other)]
    if words[0] is not None:
        return words[0] == words[1]
    first, second = _as_bound(one), _as_bound(other)
    if first is None or second is None:
        return False
    return _reaches(first, second) and _reaches(second, first)


def _as_bound(value: Value) -> Bound | None:
    if isinstance(value, Bound):
        return value
    figure: Quantity | None = None
    if isinstance(value, Figure):
        figure = value.quantity
    elif isinstance(value, PressureDrop):
        figure = value.per_minute
    return None if figure is None else Bound(figure, False, figure, False)


def _reaches(lower: Bound, upper: Bound) -> bool:
    """Whether some figure lies above the low side of one and below the high side of the other."""
    if lower.low is None or upper.high is None:
        return True
    if lower.low == upper.high:
        return not (lower.low_open or upper.high_open)
    return lower.low < upper.high


_KEYS = (*keys_of(SheetHead), "readings")
_NO_HEAD = SheetHead(on=date.max, by="")


class _Sheet:
    def __init__(
        self, number: int, head: SheetHead, node: Node, references: References, reporter: RecordReporter,
        read_before: int,
    ) -> None:  # fmt: skip
        """read_before: how many readings the sheets before it have."""
        self.head, self.references, self.reporter = head, references, reporter
        self.name = f"sheet {number} of {head.on.isoformat()}" + (f" ({head.paper})" if head.paper else "")
        self.by = references.person(head.by, node, reporter)
        self.gauge = references.gauge(head.gauge, node.get("gauge") or node, reporter)
        events = references.events_of(head.on, node.get("taken") or node, reporter) if head.taken else ()
        self.after = references.after((*head.after, *events), head.on, node, reporter)
        self.read_before = read_before
        self.days = {"read": (head.on, head.on)}


def read_sheets(
    section: Node | None, positions: Positions, references: References, reporter: RecordReporter, *, proven: bool = True
) -> list[Evidence]:
    """All readings of all sheets, as they are written there.

    proven: whether it is sure which wheelset was where; if not, two readings at one axle may be of two wheelsets.
    """
    readings: list[Evidence] = []
    count = 0
    sections = {kind.section: kind for kind in reporter.vocabulary.kinds.values() if kind.name not in MOVE_KINDS}
    for number, node in enumerate(reporter.sequence(section, "sheets"), start=1):
        for key in node.keys():
            if key not in _KEYS:
                reporter.unknown_key(node, key, _KEYS, "a sheet")
        head = read_head(node, SheetHead, reporter, "a sheet")
        if head is not None:
            read = _read_sheet(_Sheet(number, head, node, references, reporter, count), node, sections, positions)
            readings.extend(read)
            count += len(read)
        elif node.kind == "mapping":  # its readings are looked at all the same, so that every problem is told at once
            sheet = _Sheet(number, _NO_HEAD, node, references, reporter, count)
            count += len(_read_sheet(sheet, node, sections, positions))
    return [one for one in readings if proven or one.part == one.place or serial_of(one.part) is None]


def _read_sheet(sheet: _Sheet, node: Node, sections: dict[str, Kind], positions: Positions) -> list[Evidence]:
    reporter = sheet.reporter
    readings: list[Evidence] = []
    given = node.get("readings")
    if given is None or given.is_empty:
        reporter.note(
            given or node, "a sheet without readings", "`readings: {section: {position: {attribute: value}}}`"
        )
        return readings
    for section, parts in reporter.mapping(given, "readings"):
        kind = sections.get(section)
        if kind is None:
            reporter.unknown_section(given, section, sections, "readings")
        elif kind.positions == "single":
            found = positions.find(kind, kind.name, given.key_where(section), sheet.head.on)
            readings.extend(_read_part(sheet, kind, parts, found))
            reporter.refuse_above(MOST_READINGS, sheet.read_before + len(readings), given, "readings")
        else:
            of_all: list[Evidence] = []
            of_one: list[Evidence] = []
            for position, values in reporter.mapping(parts, section):
                where = parts.key_where(position)
                found = positions.find(kind, position, where, sheet.head.on, sheet.after)
                (of_all if position.strip() == ALL else of_one).extend(_read_part(sheet, kind, values, found))
                count = sheet.read_before + len(readings) + len(of_all) + len(of_one)
                reporter.refuse_above(MOST_READINGS, count, where, "readings")
            said = {(reading.part, reading.attribute): reading.value for reading in of_one}
            _refuse_of_none(of_all, said, reporter)
            readings.extend(reading for reading in of_all if (reading.part, reading.attribute) not in said)
            readings.extend(of_one)
    return readings


def _refuse_of_none(of_all: list[Evidence], said: Mapping[tuple[str, str], Value], reporter: RecordReporter) -> None:
    """Reports what `all` says where every part is said by itself, and otherwise: it would be lost without a word."""
    by_attribute: dict[str, list[Evidence]] = {}
    for reading in of_all:
        by_attribute.setdefault(reading.attribute, []).append(reading)
    for name, alike in by_attribute.items():
        apart = [said.get((reading.part, name)) for reading in alike]
        if None not in apart and any(value != alike[0].value for value in apart):
            reporter.note(
                alike[0].where,
                f"`{name}` of `all`, where each of them is said by itself",
                "one of the two",
                remedy="take away what is not so",
            )  # fmt: skip


def _read_part(sheet: _Sheet, kind: Kind, node: Node, parts: list[tuple[str, str]]) -> list[Evidence]:
    reporter = sheet.reporter
    readings: list[Evidence] = []
    for name, value in reporter.mapping(node, f"readings of a {kind.name}"):
        attribute = kind.attributes.get(name)
        if attribute is None:
            read = [one for one, own in kind.attributes.items() if not own.description and not own.derived]
            reporter.unknown_attribute(node, name, read, kind, f"readings of a {kind.name}")
            continue
        if attribute.description or attribute.derived or attribute.type in ("test", "paper"):
            found_here = f"`{name}`, which is no reading"
            expected = f"a reading of the {kind.name}"
            reporter.note(node.key_where(name), found_here, expected, remedy=where_it_goes(attribute, kind))
            continue
        found = read_value(value, attribute, reporter, sheet.days)
        if found is not None:
            named = sheet.references.gauge(found.gauge, value, reporter) if found.gauge else None
            refuse_go_or_no_go(value, attribute, named if found.gauge else sheet.gauge, reporter)
            gauge, ungauged = _read_with(found.value, attribute, kind, named, sheet)
            if isinstance(found.value, Bound):
                found = replace(found, value=as_shown_by(gauge, found.value, reporter))
            where = value.where
            readings.extend(
                _reading(sheet, attribute, part, place, found, gauge, ungauged, where) for part, place in parts
            )
    return readings


def _reading(
    sheet: _Sheet, attribute: Attribute, part: str, place: str, found: ReadValue, gauge: Gauge | None, ungauged: bool,
    where: Location,
) -> Evidence:  # fmt: skip
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
        resolution=resolution_of(found.value, attribute, gauge, sheet.reporter.vocabulary.gauge_kinds),
        sheet=sheet.name,
        after=sheet.after,
        gauge_uncertainty=gauge_uncertainty(found.value, gauge, sheet.reporter.vocabulary.gauge_kinds),
        sure=found.sure,
        ungauged=ungauged,
        access=sheet.head.access,
    )


def _read_with(
    value: Value, attribute: Attribute, kind: Kind, named: Gauge | None, sheet: _Sheet
) -> tuple[Gauge | None, bool]:
    """The gauge that showed a value, and whether a figure that is read with one lacks it.

    A sheet's gauge showed the figures that such a gauge reads; what the eye sees, or any rule shows, it did not.
    """
    vocabulary = sheet.reporter.vocabulary
    gauge, one = named or sheet.gauge, (kind.name, attribute.name)
    if not isinstance(value, Figure | Bound | PressureDrop):
        return named, False
    needed = one in vocabulary.read_with_gauge
    if gauge is None:
        return None, needed
    known = vocabulary.gauge_kinds.get(gauge.kind)
    if known is None or one in known.reads:
        return gauge, False
    if needed:
        return gauge, True
    return (gauge if known.any_length and attribute.type == "length" else named), False


def as_shown_by(gauge: Gauge | None, bound: Bound, reporter: RecordReporter) -> Bound:
    """A bound as its gauge showed it: a go/no-go gauge decided whatever is told with it."""
    kind = None if gauge is None else reporter.vocabulary.gauge_kinds.get(gauge.kind)
    return replace(bound, go_or_no_go=True) if kind is not None and kind.finest is None else bound


def refuse_go_or_no_go(node: Node, attribute: Attribute, gauge: Gauge | None, reporter: RecordReporter) -> None:
    """Reports what only a go/no-go gauge tells, where the gauge that is named reads figures."""
    if gauge is None or node.kind != "mapping":
        return
    kind = reporter.vocabulary.gauge_kinds.get(gauge.kind)
    if (gauge.reads_to if kind is None else kind.finest) is None:
        return
    for key in GO_OR_NO_GO:
        if node.get(key) is not None:
            found = f"`{key}` for `{attribute.name}`, read with {gauge.name}, a {gauge.kind}"
            reporter.note(node.key_where(key), found, "the go/no-go gauge that showed it: `gauge: NAME` beside it")


def resolution_of(
    value: Value, attribute: Attribute, gauge: Gauge | None, kinds: Mapping[str, GaugeKind]
) -> Quantity | None:
    """What the gauge can resolve, or else the tool that is usual for the attribute; None for what is no figure, and
    for what a go/no-go gauge decided. Of a gauge that does not say, the coarsest that it can be.

    A rate of leakage comes from two readings of one gauge: it is resolved to the gauge's step for the minutes waited.
    What a thermometer resolves is a difference of temperatures.
    """
    if not _leaves_open(value):
        return None
    own = None if gauge is None else _of_value(_step_of(gauge, attribute, kinds), value)
    if own is not None or attribute.reads_to is None:
        return own
    return _of_value(attribute.reads_to, value) or attribute.reads_to


def _leaves_open(value: Value) -> TypeGuard[Figure | PressureDrop | Bound]:
    """Whether a gauge leaves something open in it: a figure, or a bound that no go/no-go gauge decided."""
    return isinstance(value, Figure | PressureDrop) or (isinstance(value, Bound) and not value.go_or_no_go)


def _step_of(gauge: Gauge, attribute: Attribute, kinds: Mapping[str, GaugeKind]) -> Quantity | None:
    """What a gauge reads to; of one that does not say, the coarsest of its kind, and of a kind that nobody knows, the
    coarsest of those that read such a thing."""
    if gauge.reads_to is not None:
        return gauge.reads_to
    known = kinds.get(gauge.kind)
    if known is not None:
        return known.coarsest
    one = (attribute.kind, attribute.name)
    steps = [kind.coarsest for kind in kinds.values() if one in kind.reads and kind.coarsest is not None]
    return max(steps, key=lambda step: step.amount, default=None)


def gauge_uncertainty(value: Value, gauge: Gauge | None, kinds: Mapping[str, GaugeKind]) -> Quantity | None:
    """The gauge's own uncertainty as it stands in the figure; None where there is none, or it leaves nothing open."""
    if gauge is None or not _leaves_open(value):
        return None
    return _of_value(uncertainty_of_gauge(gauge, kinds), value)


def uncertainty_of_gauge(gauge: Gauge, kinds: Mapping[str, GaugeKind]) -> Quantity | None:
    """As stated, else the largest of its kind that is fit for use, of a kind that nobody knows one step; None where
    there is none."""
    known = kinds.get(gauge.kind)
    return gauge.uncertainty or (gauge.reads_to if known is None else known.uncertainty)


def _of_value(step: Quantity | None, value: Figure | PressureDrop | Bound) -> Quantity | None:
    """What a step of a gauge is worth in a figure or a bound; None where the gauge reads something else."""
    if step is None:
        return None
    if isinstance(value, PressureDrop):
        if step.dimension != "pressure":
            return None
        return Quantity.of("pressure per minute", step.amount / value.minutes.amount, "psi/min")
    quantity = value.quantity if isinstance(value, Figure) else value.low or value.high
    wanted = "" if quantity is None else quantity.dimension
    return step if step.dimension in (wanted, "temperature difference" if wanted == "temperature" else wanted) else None
