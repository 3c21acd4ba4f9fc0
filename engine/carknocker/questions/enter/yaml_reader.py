"""A form in YAML read back."""

from collections.abc import Iterator

from carknocker.documents import Location, Node, Problem, ProblemList, nearest, read_document, some
from carknocker.forms.entries import entry_named
from carknocker.forms.text_forms import FORM, LAST_LINE, TICKED
from carknocker.questions.enter.filled_form import FilledForm, FilledSheet, is_ticked, with_gauge_of_tool

HEADS = ("on", "by", "gauge", "access", "car", "paper", "after", "taken")
"""What a sheet of the record says at its head."""


def read_yaml(text: str, file: str, problems: ProblemList) -> FilledForm | None:
    root = read_document(text, file, problems)
    if root is None or root.kind != "mapping":
        return None
    start = Location(file, 1, 1)
    stated = root.get("format")
    if stated is None or stated.text.strip() != FORM:
        problems.add(Problem(start if stated is None else stated.where, "another format, or none", f"`format: {FORM}`"))
        return None
    for key in root.keys():
        if key not in ("format", "car", "sheets", LAST_LINE):
            problems.add(Problem(root.key_where(key), f"the key `{key[:40]}`", "`format`, `car` and `sheets`"))
    end = root.get(LAST_LINE)
    if end is None or end.text.strip() != "yes" or root.keys()[-1] != LAST_LINE:
        where = Location(file, text.count("\n") + 1, 1) if end is None else end.where
        found = "a form that ends before its last line: sheets may be lost"
        remedy = f"take the whole form; one written by hand ends in the line `{LAST_LINE}: yes`"
        problems.add(Problem(where, found, f"`{LAST_LINE}: yes` as its last line", remedy=remedy))
    mark, sheets = root.get("car"), root.get("sheets")
    filled: list[FilledSheet] = []
    if sheets is not None and sheets.kind != "sequence" and not sheets.is_empty:
        problems.add(Problem(sheets.where, sheets.describe(), "a list of sheets"))
    for node in () if sheets is None or sheets.kind != "sequence" else sheets.nodes:
        own = ProblemList()
        sheet = _yaml_sheet(node, own)
        if sheet is None:
            own.refuse_if_any()
        elif sheet.answers or len(own):
            sheet.problems = own
            filled.append(sheet)
    mark_at = (start if mark is None else mark.where, "")
    return FilledForm("" if mark is None or mark.kind != "scalar" else mark.text.strip(), mark_at, tuple(filled))


_KEYS = (*HEADS, "sheet", "gauges", "ticks", "readings")


def _yaml_sheet(node: Node, problems: ProblemList) -> FilledSheet | None:
    if node.kind != "mapping":
        problems.add(Problem(node.where, node.describe(), "a sheet: `on`, `by`, `readings`"))
        return None
    for key in node.keys():
        if key not in _KEYS:
            problems.add(Problem(node.key_where(key), f"the key `{key[:40]}`", some(HEADS), nearest(key, _KEYS)))
    head = {key: value.plain() for key in HEADS if (value := node.get(key)) is not None and not value.is_empty}
    named = node.get("sheet")
    name = "" if named is None or named.kind != "scalar" else named.text.strip()
    sheet = FilledSheet(node.where, head, {}, title=f"sheet “{name[:60]}”" if name else "", name=name)
    sheet.heads = {key: (value.where, "") for key in head if (value := node.get(key)) is not None}
    gauges = _gauges(node.get("gauges"), problems)
    for tool, _, gauge in _pairs(node.get("gauges"), "", ProblemList()):
        sheet.gauges_at.setdefault(gauge.text.strip(), (gauge.where, f"gauge for {tool[:40]}: "))
    said: set[tuple[str, str]] = set()
    for part, part_at, values in _pairs(node.get("readings"), "parts with their readings", problems):
        for attribute, attribute_at, value in _pairs(values, "readings: `flange_thickness: 1 in`", problems):
            if value.is_empty:
                sheet.leave_blank(part, attribute, value.where)
            else:
                said.add((part, attribute))
                answer = with_gauge_of_tool(part, attribute, value.plain(), gauges)
                words = "" if entry_named(part) is not None else f"{part[:40]}, {attribute[:40]}: "
                named_at = (part_at, words), (attribute_at, words)
                sheet.say(part, attribute, answer, value.where, problems, words, named_at=named_at)
    for part, attribute, text, where in _ticked(node.get("ticks"), problems):
        if (part, attribute) not in said:
            sheet.say(part, attribute, text, where, problems, f"{part[:40]}, {attribute[:40]}: ")
    if sheet.is_signed and not {"on", "by"} <= head.keys():
        found = "a sheet with readings, but without its day or without who read"
        problems.add(Problem(node.where, found, "`on:` and `by:` filled in"))
    return sheet


def _gauges(node: Node | None, problems: ProblemList) -> dict[str, str]:
    """Tool → the gauge that was used."""
    found = {}
    for tool, _, gauge in _pairs(node, "tools, each with its gauge", problems):
        if gauge.kind == "scalar" and not gauge.is_empty:
            found[tool] = gauge.text.strip()
        elif not gauge.is_empty:
            problems.add(Problem(gauge.where, gauge.describe(), "the short name of a gauge"))
    return found


def _ticked(node: Node | None, problems: ProblemList) -> Iterator[tuple[str, str, str, Location]]:
    """Part, attribute and value of all that the ticks of a sheet say, with the place of the tick."""
    if node is None or node.is_empty:
        return
    if node.kind != "sequence":
        problems.add(Problem(node.where, node.describe(), "a list of ticks"))
        return
    for one in node.nodes:
        box, parts, says = (one.get(key) if one.kind == "mapping" else None for key in ("tick", "parts", "says"))
        if parts is None or says is None or parts.kind != "sequence" or says.kind != "mapping":
            problems.add(Problem(one.where, one.describe(), "a tick as it was written: `tick`, `parts`, `says`"))
            continue
        if box is None or box.is_empty:
            continue
        if box.kind != "scalar" or not is_ticked(box.text):
            problems.add(Problem(box.where, f"{box.describe()} in a box to tick", f"`{TICKED}`, or nothing"))
            continue
        for part in parts.nodes:
            for attribute, _, value in says.items():
                yield part.text, attribute, value.text, box.where


def _pairs(node: Node | None, expected: str, problems: ProblemList) -> list[tuple[str, Location, Node]]:
    """The members of a mapping; none, noted, for what is written there and is no mapping."""
    if node is None or node.is_empty:
        return []
    if node.kind != "mapping":
        problems.add(Problem(node.where, node.describe(), expected))
        return []
    return node.items()
