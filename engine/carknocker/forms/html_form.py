"""The form as one HTML file that works without any network: fields, the limits as whole numbers to compare with, and a
place for what was typed, so that the file can hand out copies of itself."""

import base64
import hashlib
import json
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import jinja2

from carknocker.documents.visible_text import one_line
from carknocker.forms.comma_in_figure import fact_of_entry, ranges_to_doubt_by, told_to_a_script
from carknocker.forms.entries import entry_named
from carknocker.forms.model import Box, Form, Grid, Row, Sheet, Tick
from carknocker.forms.rows import BARE, BOUND, possible_of
from carknocker.quantities import DIMENSIONS
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.ranges import Range, RangeEnd

FORMAT = "carknocker-html-form/2"
_SHELL = Path(__file__).parent / "shell"


def html_form(form: Form, send_to: str = "") -> str:
    """The whole file. It runs no script but its own and asks no address for anything. send_to: of a form that a service
    hands out, the address to which it sends what was filled in, once somebody presses Send; without one it sends
    nothing."""
    numbered = Numbered()
    sheets = [_sheet(sheet, number, form, numbered) for number, sheet in enumerate(form.every_sheet, start=1)]
    _tell_conditions(sheets)
    script, style = _script(sends=bool(send_to)), _text("form.css")
    told: dict[str, Any] = {
        "format": FORMAT,
        "car": form.mark,
        "title": one_line(form.car),
        "record": form.digest,
        "as_of": form.as_of.isoformat(),
        **_without_repeats([sheet["told"] for sheet in sheets]),
        "comma": told_to_a_script(),
        "bound": BOUND,
        "bare": BARE,
        "units": {name: dict(_factors(name)) for name in sorted(numbered.dimensions)},
    }
    told["layout"] = hashlib.sha256(data_text(told).encode()).hexdigest()[:16]  # by which fields are known again
    if send_to:
        told["send"] = send_to
    return _template().render(
        form=form,
        sends=bool(send_to),
        sheets=sheets,
        style=style,
        script=script,
        script_digest=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode(),
        style_digest=base64.b64encode(hashlib.sha256(style.encode()).digest()).decode(),
        told=data_text(told),
        answers=data_text({}),
    )


_OF_THE_FIELD = ("id", "column", "part", "only_if")


def _without_repeats(sheets: list[dict[str, Any]]) -> dict[str, Any]:
    """The sheets as the script is told of them: what fields of a row have in common stands once, under `rows`, and `is`
    of a field is its place there. What is empty is left out."""
    rows: dict[str, int] = {}
    told: list[dict[str, Any]] = []
    for sheet in sheets:
        boxes: list[dict[str, Any]] = []
        for box in sheet["boxes"]:
            row = {key: value for key, value in box.items() if key not in _OF_THE_FIELD and value not in ("", [])}
            place = rows.setdefault(json.dumps(row, sort_keys=True), len(rows))
            boxes.append({"is": place, **{key: box[key] for key in _OF_THE_FIELD if box[key]}})
        told.append({**sheet, "boxes": boxes})
    return {"sheets": told, "rows": [json.loads(row) for row in rows]}


def _tell_conditions(sheets: list[dict[str, Any]]) -> None:
    """Writes into each field which others have to say what for it to be wanted: their ids, now that all have one."""
    told = [box for sheet in sheets for box in sheet["told"]["boxes"]]
    ids = {(box["part"], box["attribute"]): box["id"] for box in told}
    for sheet in sheets:
        own = {box["id"] for box in sheet["told"]["boxes"]}
        for field in sheet["fields"]:
            known = [(ids.get((one.part, one.attribute), ""), list(one.words)) for one in field["box"].only_if]
            field["told"]["only_if"] = [[id, words, id in own] for id, words in known if id]


class Numbered:
    """Gives each field of a file its id. dimensions: of the figures that are compared with a limit."""

    def __init__(self) -> None:
        self.count = 0
        self.dimensions: set[str] = set()

    def next(self) -> str:
        self.count += 1
        return f"f{self.count}"


def data_text(value: Any) -> str:
    """A value as JSON that ends no script element and opens no comment."""
    text = json.dumps(value, ensure_ascii=True, sort_keys=True, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _sheet(sheet: Sheet, number: int, form: Form, numbered: Numbered) -> dict[str, Any]:
    """What the template shows of a sheet, and under `told` what the script and the reader of the form know of it."""
    blocks: list[dict[str, Any]] = []
    told_ticks: list[dict[str, Any]] = []
    fields: list[dict[str, Any]] = []
    tools: dict[str, None] = {}  # the gauge of each is asked once, in the field `gauge-SHEET-NUMBER`
    offered = {one.tool: one.gauges for one in sheet.gauges}
    for block in sheet.blocks:
        shown = [_field(row, box, numbered) for row, box in block.answers()]
        fields.extend(shown)
        tools.update(dict.fromkeys(one for one in (field["told"]["gauge"] for field in shown) if one in offered))
        if isinstance(block, Tick):
            tick = {"id": numbered.next(), "row": block.number, "says": _tick_values(block, shown)}
            told_ticks.append(tick)
            blocks.append({
                "tick": tick["id"], "heading": block.heading, "says": block.words,
                "fields": shown, "why": [], "folded": False, "entry": [],
            })  # fmt: skip
        elif block.by_column:
            blocks.extend(_entries(block, shown))
        else:
            rows = [{"row": row, "fields": [field for field in shown if field["row"] is row]} for row in block.rows]
            blocks.append(
                {"tick": None, "heading": block.heading, "rows": rows, "why": [], "folded": False, "entry": []}
            )
    told_boxes = [field["told"] for field in fields]
    parts = dict.fromkeys(box["part"] for box in told_boxes if box["writes"] in ("reading", "description"))
    return {
        "number": number,
        "place": 0 if sheet is form.who else number,
        "title": sheet.title,
        "blocks": blocks,
        "tools": [(tool, offered[tool]) for tool in tools],
        "wanted": sheet.wanted,
        "parts": list(parts),
        "fields": fields,
        "signed": form.is_signed(sheet),
        "told": {
            "name": sheet.name,
            "title": sheet.title,
            "signed": form.is_signed(sheet),
            "gauges": list(tools),
            "boxes": told_boxes,
            "ticks": told_ticks,
        },
    }


def _entries(block: Grid, shown: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    """Each column of a grid by itself. One that nobody asked for is folded."""
    for column in block.columns:
        own = [field for field in shown if field["box"].column == column.head]
        why = list(dict.fromkeys(word for field in own for word in field["box"].why))
        yield {
            "tick": None,
            "heading": column.head[:1].upper() + column.head[1:],
            "why": why,
            "folded": not why,
            "entry": own,
        }


def _tick_values(block: Tick, shown: list[dict[str, Any]]) -> dict[str, str]:
    """Field → what the tick says there; a field that is asked only where there is some has none."""
    values = {said.row.attribute: said.value for said in block.said}
    return {
        field["told"]["id"]: values[field["told"]["attribute"]]
        for field in shown
        if values.get(field["told"]["attribute"])
    }


def _field(row: Row, box: Box, numbered: Numbered) -> dict[str, Any]:
    field_id = numbered.next()
    attribute = _said_in(row, box)
    marks, dimension = _marks(row, box, attribute)
    possible = possible_of(row)
    doubted = ranges_to_doubt_by(attribute)
    if marks or possible is not None or doubted is not None:
        numbered.dimensions.add(dimension)
    limits = [limit for limit in row.limits if not limit.of or box.column in limit.of]
    return {
        "row": row,
        "box": box,
        "limits": limits,
        "told": {
            "id": field_id,
            "row": row.number,
            "column": box.column,
            "part": box.part,
            "attribute": row.attribute,
            "label": row.label,
            "unit": row.unit,
            "writes": row.writes,
            "gauge": row.gauge,
            "only_for": list(row.only_for),
            "only_if": [],
            "dimension": dimension,
            "marks": marks,
            "possible": [] if possible is None else [*_ends(possible), str(possible)],
            "comma": [] if doubted is None else [_ends(doubted[0]), _ends(doubted[1]), doubted[2]],
        },
    }


def _said_in(row: Row, box: Box) -> Attribute | None:
    """What is said in a box, of a part or of an entry; None where no vocabulary has it."""
    entry = entry_named(box.part) if row.writes == "entry" else None
    return (
        load_vocabulary().attribute(row.kind, row.attribute) if entry is None else fact_of_entry(entry, row.attribute)
    )


def _marks(row: Row, box: Box, attribute: Attribute | None) -> tuple[list[list[str]], str]:
    """The fixed limits of a box as word, whole number over whole number, in the base unit, and what they say; and the
    dimension."""
    dimension = attribute.type if attribute is not None else ""
    if dimension not in DIMENSIONS and dimension != "count":
        return [], ""
    marks = [
        [limit.word, str(limit.amount.numerator), str(limit.amount.denominator), f"{limit.told} ({limit.rule})"]
        for limit in row.limits
        if limit.amount is not None and (not limit.of or box.column in limit.of)
    ]
    return marks, dimension


def _ends(known: Range | None) -> list[list[str]]:
    """Both ends of a range; empty where there is none."""
    return [] if known is None else [_end(known.least), _end(known.most)]


def _end(end: RangeEnd | None) -> list[str]:
    """An end of a range as whole number over whole number, in the base unit; empty where that side is open."""
    return [] if end is None else [str(end.n), str(end.d)]


def _factors(dimension: str) -> Iterable[tuple[str, list[str]]]:
    """Spelling of a unit → its factor and its offset to the base unit, each as whole number over whole number."""
    if dimension == "count":
        return
    kind = DIMENSIONS[dimension]
    if kind.bare_allowed:
        yield "", ["1", "1", "0", "1"]
    for unit, factor in kind.units.items():
        offset = kind.offsets.get(unit, factor * 0)
        yield unit, [str(factor.numerator), str(factor.denominator), str(offset.numerator), str(offset.denominator)]


@cache
def _text(name: str) -> str:
    return (_SHELL / name).read_text(encoding="utf-8").strip()


def _script(*, sends: bool) -> str:
    own = _text("form.js")
    return own.replace('"use strict";\n', f'"use strict";\n{_text("send.js")}\n', 1) if sends else own


@cache
def _template() -> jinja2.Template:
    environment = jinja2.Environment(
        autoescape=True, trim_blocks=True, lstrip_blocks=True, undefined=jinja2.StrictUndefined
    )
    environment.filters["visible"] = one_line
    return environment.from_string(_text("form.html.jinja"))
