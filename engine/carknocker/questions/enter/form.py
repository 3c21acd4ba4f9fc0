"""A filled-in form read back: which sheets it makes. YAML as `worksheet` writes it, or CSV."""

from carknocker.documents import InputRefused, Location, Node, Problem, ProblemList, nearest, read_document, some
from carknocker.questions.enter.csv_form import read_csv_form
from carknocker.questions.enter.filled_form import FilledForm, FilledSheet, named
from carknocker.questions.worksheet.forms import FORM

HEADS = ("on", "by", "gauge", "access", "car", "paper", "after")


def read_form(text: str, file: str) -> FilledForm:
    """The form in a text: CSV where its name ends so, else YAML. Raises InputRefused with every problem in it."""
    problems = ProblemList()
    form = read_csv_form(text, file, problems) if file.casefold().endswith(".csv") else _read_yaml(text, file, problems)
    problems.refuse_if_any()
    if form is None or not form.sheets:
        found = "a form with nothing filled in"
        raise InputRefused((Problem(Location(file, 1, 1), found, "a value behind a reading", remedy="fill it in"),))
    return form


def _read_yaml(text: str, file: str, problems: ProblemList) -> FilledForm | None:
    root = read_document(text, file, problems)
    if root is None or root.kind != "mapping":
        return None
    start = Location(file, 1, 1)
    stated = root.get("format")
    if stated is None or stated.text.strip() != FORM:
        problems.add(Problem(start if stated is None else stated.where, "another format, or none", f"`format: {FORM}`"))
        return None
    for key in root.keys():
        if key not in ("format", "car", "sheets"):
            problems.add(Problem(root.key_where(key), f"the key `{key[:40]}`", "`format`, `car` and `sheets`"))
    mark, sheets = root.get("car"), root.get("sheets")
    filled: list[FilledSheet] = []
    if sheets is not None and sheets.kind != "sequence" and not sheets.is_empty:
        problems.add(Problem(sheets.where, sheets.describe(), "a list of sheets"))
    for node in () if sheets is None or sheets.kind != "sequence" else sheets.nodes:
        sheet = _yaml_sheet(node, problems)
        if sheet is not None and sheet.count:
            filled.append(sheet)
    return FilledForm("" if mark is None or mark.kind != "scalar" else mark.text.strip(), tuple(filled))


def _yaml_sheet(node: Node, problems: ProblemList) -> FilledSheet | None:
    if node.kind != "mapping":
        problems.add(Problem(node.where, node.describe(), "a sheet: `on`, `by`, `readings`"))
        return None
    for key in node.keys():
        if key not in (*HEADS, "readings"):
            problems.add(
                Problem(node.key_where(key), f"the key `{key[:40]}`", some(HEADS), nearest(key, (*HEADS, "readings")))
            )
    head = {key: value.plain() for key in HEADS if (value := node.get(key)) is not None and not value.is_empty}
    sheet = FilledSheet(node.where, head, {})
    readings = node.get("readings")
    for part, where, values in _pairs(readings, "parts with their readings", problems):
        told = named(part, where, problems)
        if told is None:
            continue
        for attribute, place, value in _pairs(values, "readings: `flange_thickness: 1 in`", problems):
            if not value.is_empty and not sheet.put(*told, attribute, value.plain()):
                problems.add(Problem(place, f"`{attribute}` of {part} a second time", "each reading once on a sheet"))
    if sheet.count and not {"on", "by"} <= head.keys():
        found = "a sheet with readings, but without its day or without who read"
        problems.add(Problem(node.where, found, "`on:` and `by:` filled in"))
    return sheet


def _pairs(node: Node | None, expected: str, problems: ProblemList) -> list[tuple[str, Location, Node]]:
    """The members of a mapping; none, noted, for what is written there and is no mapping."""
    if node is None or node.is_empty:
        return []
    if node.kind != "mapping":
        problems.add(Problem(node.where, node.describe(), expected))
        return []
    return node.items()
