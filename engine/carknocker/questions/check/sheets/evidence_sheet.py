"""Sheet 7: who read what, when, with which gauge; the wheelsets axle by axle; the work done and the moves made."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from carknocker.documents import listed
from carknocker.dossier.evidence import SheetRow, history_of, sheets_of
from carknocker.dossier.gauges import GaugeOnRecord, gauges_of
from carknocker.dossier.view import View
from carknocker.dossier.wheelsets_by_axle import WheelsetAtAxle, wheelsets_by_axle
from carknocker.judgement.index import JudgementIndex
from carknocker.page.model import NOT_ON_FILE, Block, ColumnKind, Item, Paragraph, Section, Table
from carknocker.questions.check.full_table import full_table
from carknocker.questions.check.photograph_section import photograph_section
from carknocker.questions.check.record_lines import line_numbers

if TYPE_CHECKING:
    from carknocker.documents.pictures import SmallPicture

_LONGEST = 330
"""Of what was read on a sheet; beyond it the appendix names the parts."""


_MOST_DAYS = 8
"""Of readings, each told with who took them, where the sheet gives way."""


def evidence_sheet(
    view: View, index: JudgementIndex, pictures: "Mapping[str, SmallPicture]", margins: Item | None
) -> Section:
    """The sheet. margins: the least margins, drawn, where the sheet of the car has no room for them."""
    file = index.judgement.car.file
    sheets = sheets_of(index)
    rows = tuple(
        (
            one.on,
            one.by.partition(" (")[0],
            one.parts if len(one.parts) <= _LONGEST else f"{one.parts[: one.parts.rfind('; ', 0, _LONGEST)]}; and more",
            one.gauge.partition(" checked")[0].rstrip(",") or "none named",
            f"{one.readings:,}",
            f"{one.not_counted:,}" if one.not_counted else "",
            line_numbers(one.at, file),
        )
        for one in sheets
    )
    columns = ("Date", "By", "What was read", "Gauge", "Readings", "Not counted", "Line")
    blocks: list[Block | Item] = [] if rows else [Paragraph("No reading is on file.")]
    if rows:
        kinds: tuple[ColumnKind, ...] = ("text", "text", "text", "text", "number", "number", "text")
        blocks.append(full_table("Sheets of readings", columns, rows, kinds, headed=True))
    if margins is not None:
        blocks.append(margins)
    gauges = gauges_of(index)
    gauge_table: tuple[Item, ...] = ()
    if gauges:
        told = tuple(
            (
                one.name,
                one.kind,
                one.reads_to or "–",
                one.checked or NOT_ON_FILE,
                one.due or NOT_ON_FILE,
                "–" if one.last_read is None else one.last_read.isoformat(),
                _when_read(one),
            )
            for one in gauges
        )
        heads = ("Gauge", "Kind", "Reads to", "Checked", "Due", "Last read", "When read")
        gauge_table = (Item("Gauges", (Table("Gauges", heads, told, headed=True),)),)
    wheelsets = wheelsets_by_axle(index)
    wheelset_table: tuple[Block | Item, ...] = ()
    if any(map(_is_told, wheelsets)):
        wheelset_table = (Item("Wheelsets, axle by axle", (_wheelsets(wheelsets),)),)
    elif wheelsets:
        named = listed(tuple(one.serial for one in wheelsets if one.serial))
        wheelset_table = (Paragraph(f"Of the wheelsets only their names are on file: {named}." if named
                                    else "Nothing is on file of the wheelsets."),)  # fmt: skip
    blocks.extend((*gauge_table, *wheelset_table))
    work: list[Block | Item] = []
    made = [one for one in history_of(index) if one.sort != "test"]
    if made:
        done = tuple(
            (
                one.on,
                f"{one.what}: {one.where}" if one.sort != "move made" else f"move made, {one.what}",
                "after the last test" if one.after_last_test else "",
                one.by.partition(" (")[0],
                line_numbers(one.at, file),
            )
            for one in made
        )
        strong = tuple(number for number, one in enumerate(made) if one.after_last_test)
        table = full_table(
            "Work and moves", ("Date", "What", "Mark", "By or for", "Line"), done, strong=strong, headed=True
        )
        work.append(Item("Work and moves", (table,)))
    blocks.extend(work)
    photographs = photograph_section(view.photographs, pictures)
    if photographs is not None:
        blocks.extend(photographs.blocks)
    lead = "Who read what, when, with which gauge. The line is that of the owner’s record."
    counted = f"{sum(one.readings for one in sheets):,} readings"
    return Section(
        "Evidence and serials", tuple(blocks), folded=True, sheet=True, lead=lead, counted=counted,
        gives_way=(
            (2, (_elsewhere(sheets, "parts and lines"), *gauge_table, *wheelset_table, *work)),
            (4, (_elsewhere(sheets, "parts, and work and moves"), *gauge_table, *wheelset_table)),
            (6, (_elsewhere(sheets, "parts, wheelsets, and work and moves"), *gauge_table)),
        ),
    )  # fmt: skip


def _elsewhere(sheets: Sequence[SheetRow], rest: str) -> Paragraph:
    """What is kept of the readings where the sheet gives way, and where the rest stands."""
    counted = f"{sum(one.readings for one in sheets):,} readings"
    return Paragraph(
        f"{counted}{_by_day(sheets)}. The {rest} stand in the appendix, a file of its own: ask the owner for it."
    )


def _by_day(sheets: Sequence[SheetRow]) -> str:
    """`: 12 by RE on 2026-10-07, 716 by RE on 2026-09-12`, newest first; beyond so many, how many are older."""
    readings: dict[tuple[str, str], int] = {}
    for one in sheets:
        key = one.by.partition(" (")[0], one.on
        readings[key] = readings.get(key, 0) + one.readings
    told = [f"{number:,} by {by} on {on}" for (by, on), number in readings.items()][:_MOST_DAYS]
    older = sum(tuple(readings.values())[_MOST_DAYS:])
    if older:
        told.append(f"{older:,} older")
    return f": {', '.join(told)}" if told else ""


def _when_read(gauge: GaugeOnRecord) -> str:
    """Whether it was good when it was read, which counts; and where it is not good now."""
    if gauge.when_read is None or gauge.when_read == gauge.state:
        return gauge.state if gauge.when_read is not None else f"not read; {gauge.state} now"
    return f"{gauge.when_read}; {gauge.state} now"


def _is_told(one: WheelsetAtAxle) -> bool:
    """Whether more is on file of a wheelset than its name."""
    return any((one.axle_class, one.mounted_on, one.certificate, one.bearing_left, one.bearing_right, one.axle_serial,
                one.wheel_left_serial, one.wheel_right_serial))  # fmt: skip


def _wheelsets(wheelsets: tuple[WheelsetAtAxle, ...]) -> Table:
    columns = ("Axle", "Wheelset", "Class", "Mounted", "Certificate", "Bearings L, R", "Axle serial", "Wheels L, R")
    rows = tuple(
        (
            one.axle,
            one.serial or NOT_ON_FILE,
            one.axle_class or NOT_ON_FILE,
            one.mounted_on or NOT_ON_FILE,
            one.certificate or NOT_ON_FILE,
            _both(one.bearing_left, one.bearing_right),
            one.axle_serial or NOT_ON_FILE,
            _both(one.wheel_left_serial, one.wheel_right_serial),
        )
        for one in wheelsets
    )
    return Table("Wheelsets", columns, rows, headed=True)


def _both(left: str | None, right: str | None) -> str:
    if left == right:
        return left or NOT_ON_FILE
    return f"{left or NOT_ON_FILE}, {right or NOT_ON_FILE}"
