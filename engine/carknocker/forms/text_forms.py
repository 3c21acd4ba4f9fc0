"""The form as text to fill in and read back: CSV for spreadsheet programs, YAML for an editor. Empty is: not read."""

import csv
import io
import json
from collections.abc import Iterator

import msgspec

from carknocker.documents.visible_text import one_line, visible_json
from carknocker.forms.model import Block, Box, Form, Row, Sheet, Tick

FORM = "carknocker-form/1"
"""The first line of the YAML form."""
COLUMNS = (
    "car", "sheet", "row", "part", "attribute", "what", "words", "unit", "limit", "measured", "tool", "access", "who",
    "group", "value", "gauge", "sure", "on", "by", "taken",
)  # fmt: skip
"""Of the CSV form. From `value` on they are to be filled in; an empty `on`, `by`, `taken` is as in the row above."""
TICKED = "x"
LAST_ROW = "last row"
"""The part that the last row of the CSV form names. A form without it is cut off: what was below is lost."""
LAST_LINE = "last_line"
"""The last key of the YAML form: `last_line: yes`."""


class TickOfSome(msgspec.Struct, frozen=True):
    """The part of a tick that says all of `says` (attribute → value) of each of `parts`."""

    heading: str
    parts: tuple[str, ...]
    says: tuple[tuple[str, str], ...]


def ticks_of(tick: Tick) -> tuple[TickOfSome, ...]:
    """A tick in pieces that need no list of their boxes: usually one. Without a piece for a name that holds what stands
    between names."""
    said: dict[str, dict[str, str]] = {}
    for box in tick.boxes:
        if tick.value_of(box):
            said.setdefault(box.part, {})[box.attribute] = tick.value_of(box)
    alike: dict[tuple[tuple[str, str], ...], list[str]] = {}
    for part, values in said.items():
        if BETWEEN.strip() not in part:
            alike.setdefault(tuple(values.items()), []).append(part)
    return tuple(TickOfSome(tick.heading, tuple(parts), says) for says, parts in alike.items())


BETWEEN = "; "
"""Stands between the parts, and between the values, that a tick of the CSV form names."""


def csv_form(form: Form) -> str:
    """A row for each box and for each tick, sheet by sheet, with the line ends that RFC 4180 asks for."""
    stream = io.StringIO()
    writer = csv.DictWriter(stream, COLUMNS, restval="", lineterminator="\r\n")
    writer.writeheader()
    rows = [
        {"car": _cell(form.mark), "sheet": _cell(sheet.name), **row}
        for sheet in _who_first(form)
        for block in sheet.blocks
        for row in _csv_rows(block)
    ]
    writer.writerows(rows)
    told = f"the form has {len(rows):,} rows above this one: keep them and this one, or it is refused as cut off"
    writer.writerow({"car": _cell(form.mark), "row": str(len(rows)), "part": LAST_ROW, "what": told})
    return stream.getvalue()


def _who_first(form: Form) -> list[Sheet]:
    """The sheets in the order in which they are filled in."""
    return sorted(form.every_sheet, key=lambda sheet: sheet is not form.who)


def _csv_rows(block: Block) -> Iterator[dict[str, str]]:
    if isinstance(block, Tick):
        for one in ticks_of(block):
            yield {
                "row": str(block.number), "part": _cell(BETWEEN.join(one.parts)),
                "attribute": BETWEEN.join(f"{name}: {value}" for name, value in one.says),
                "what": _cell(one.heading), "words": TICKED, "group": _group_of(block),
            }  # fmt: skip
    for row, box in block.answers():
        limits = (limit for limit in row.limits if not limit.of or box.column in limit.of)
        yield {
            "row": str(row.number), "part": _cell(box.part), "attribute": box.attribute,
            "what": _cell(f"{row.label} ({box.which})" if box.which else row.label),
            "words": _cell(" / ".join(row.words)), "unit": row.unit,
            "limit": _cell("; ".join(f"{limit.told} ({limit.rule})" for limit in limits)),
            "measured": _cell("; ".join(_how(row))), "tool": _cell(row.tool), "access": row.access, "who": _who(row),
            "group": box.group,
        }  # fmt: skip


def _how(row: Row) -> Iterator[str]:
    if row.only_for:
        yield f"only for: {', '.join(row.only_for)}"
    if row.only_if:
        yield row.only_if
    if row.how:
        yield row.how


def _group_of(tick: Tick) -> str:
    return tick.boxes[0].group if len({box.group for box in tick.boxes}) == 1 else ""


def _who(row: Row) -> str:
    return "someone whom the host accepts" if row.accepted else ""


def _cell(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    words = one_line(text)
    return f"'{words}" if words[:1] in ("=", "+", "-", "@") else words


def yaml_form(form: Form) -> str:
    """The sheets of the form, its ticks before the boxes, part by part."""
    lines = [
        f"format: {FORM}",
        f"car: {_quoted(form.mark)}",
        f"# For the move with {one_line(form.host)}, {form.out.isoformat()} to {form.back.isoformat()}.",
        "# Write each value behind its colon, with its unit; leave empty what was not read.",
        "#   15/16 in · yes · not accessible (car not moved) · {reads: 15/16 in, gauge: G-1}",
        "#   {takes_at: 7/8 in} · {does_not_take_at: 7/8 in} · {before: 90 psi, after: 88 psi, minutes: 1}",
        "#   {reads: 15/16 in, sure: how it was made sure}: for a figure outside of what is possible",
        f"# People on record: {one_line(', '.join(form.people)) or 'none'}",
        f"# Gauges on record: {one_line(', '.join(form.gauges)) or 'none'}",
        "# Then: carknocker enter CAR THIS-FILE",
        "sheets:" if any(sheet.blocks for sheet in _who_first(form)) else "sheets: []",
    ]
    for sheet in _who_first(form):
        if sheet.blocks:
            lines.extend(_yaml_sheet(sheet, signed=form.is_signed(sheet)))
    lines.append(f"{LAST_LINE}: yes  # keep this last line: a form without it is refused as cut off")
    return "\n".join(lines) + "\n"


_HEAD = (
    "on:  # the day, like 2026-10-08",
    "by:  # who read, by the short name of the record",
    "car:  # how the car stood: level track, tanks full",
    "taken:  # yes, if it was read after something was done or happened to the car on that day",
)


def _yaml_sheet(sheet: Sheet, *, signed: bool) -> Iterator[str]:
    yield f"  - sheet: {_quoted(sheet.name)}"
    if signed:
        yield from (f"    {line}" for line in _HEAD)
    if sheet.gauges:
        yield "    gauges:  # the gauge of each tool, by the short name of the record"
        for tool in sheet.gauges:
            known = one_line(", ".join(tool.gauges)) or "none on record can read it"
            yield f"      {_quoted(tool.tool)}:  # {known}"
    ticks = [one for block in sheet.blocks if isinstance(block, Tick) for one in ticks_of(block)]
    if ticks:
        yield f"    ticks:  # {TICKED} where it is so; what is otherwise is written below, and counts before the tick"
        for one in ticks:
            yield f"      - tick:  # {one_line(one.heading)}"
            yield f"        parts: [{', '.join(_quoted(part) for part in one.parts)}]"
            yield f"        says: {{{', '.join(f'{name}: {_quoted(value)}' for name, value in one.says)}}}"
    yield "    readings:"
    parts: dict[str, list[tuple[Row, Box, bool]]] = {}
    for block in sheet.blocks:
        for row, box in block.answers():
            parts.setdefault(box.part, []).append((row, box, isinstance(block, Tick)))
    for part, own in parts.items():
        which = own[0][1].which
        yield f"      {_quoted(part)}:{f'  # {one_line(which)}' if which else ''}"
        for row, box, ticked in own:
            yield f"        {box.attribute}:  # {one_line(_hint(row, box, ticked=ticked))}"


def _hint(row: Row, box: Box, *, ticked: bool) -> str:
    """Words, limit, place and tool of a box, in one line."""
    told = (
        "only if not as ticked" if ticked else "",
        " / ".join(row.words),
        row.unit if row.box in ("length", "figure") else "",
        "; ".join(limit.told for limit in row.limits if not limit.of or box.column in limit.of),
        *_how(row),
        f"with {row.tool}" if row.tool else "",
        f"by {_who(row)}" if row.accepted else "",
        "" if box.group == "decides now" else box.group,
    )
    return " | ".join(word for word in told if word) or row.label


def _quoted(text: str) -> str:
    return visible_json(json.dumps(text, ensure_ascii=False))
