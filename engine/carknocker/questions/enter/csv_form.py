"""A filled-in CSV form read back."""

import csv
import io
import re
from collections.abc import Iterator
from typing import Any

from carknocker.documents import Location, Problem, ProblemList
from carknocker.questions.enter.filled_form import FilledForm, FilledSheet, named
from carknocker.questions.worksheet.forms import COLUMNS

_BOUND = re.compile(r"(takes at|does not take at|over|under|at least|at most)\s+(.+)")
_DROP = re.compile(r"before\s+(.+?)[,;]?\s+after\s+(.+?)[,;]?\s+minutes\s+(.+)")
_COMMA_IN_FIGURE = re.compile(r"\d,\d")
_MOST_ROWS = 20_000


def read_csv_form(text: str, file: str, problems: ProblemList) -> FilledForm | None:
    """The form in a text; None, noted, where the text is no such form."""
    separator = _separator(text)
    reader = csv.DictReader(io.StringIO(text, newline=""), strict=True, delimiter=separator)
    reader.fieldnames = [name.strip().casefold() for name in reader.fieldnames or ()]
    start = Location(file, 1, 1)
    try:
        missing = [name for name in ("car", "part", "attribute", "value", "on", "by") if name not in _names(reader)]
        if missing:
            expected = f"the columns {', '.join(COLUMNS)}, separated by commas, semicolons or tabs"
            problems.add(Problem(start, f"a form without the column {missing[0]}", expected))
            return None
        return _from_rows(_rows(reader, file), start, problems, decimal_commas=separator != ",")
    except csv.Error as error:
        problems.add(Problem(Location(file, reader.line_num + 1, 1), f"no CSV: {error}", "the form as it was written"))
        return None


def _separator(text: str) -> str:
    """What stands between the columns, by the head of the form: some spreadsheets put semicolons or tabs there."""
    head = text.partition("\n")[0]
    return max((",", ";", "\t"), key=head.count)


def _names(reader: "csv.DictReader[str]") -> list[str]:
    return [name for name in reader.fieldnames or () if name]


def _rows(reader: "csv.DictReader[str]", file: str) -> Iterator[tuple[Location, dict[str, str]]]:
    for number, row in enumerate(reader):
        if number >= _MOST_ROWS:
            raise csv.Error(f"more than {_MOST_ROWS:,} rows")
        plain = {key: value.strip() for key, value in row.items() if isinstance(key, str) and isinstance(value, str)}
        yield Location(file, reader.line_num, 1), plain


def _from_rows(
    rows: Iterator[tuple[Location, dict[str, str]]], start: Location, problems: ProblemList, *, decimal_commas: bool
) -> FilledForm:
    """decimal_commas: a comma in a figure may stand for a point as well as between thousands."""
    marks: dict[str, Location] = {}
    sheets: dict[tuple[str, ...], FilledSheet] = {}
    above = {"on": "", "by": ""}
    for where, row in rows:
        above = {key: row.get(key) or before for key, before in above.items()}
        value = row.get("value", "")
        if not value:
            continue
        if decimal_commas and _COMMA_IN_FIGURE.search(value):
            found = f"`{value[:40]}`, where a comma may mean a point or thousands"
            problems.add(Problem(where, found, "a point for decimals, and nothing between thousands: `1.125 in`"))
        marks.setdefault(row.get("car", "").removeprefix("'"), where)  # so that no spreadsheet takes it for a formula
        part = named(row.get("part", ""), where, problems)
        if not all(above.values()):
            found = "a value without its day or without who read"
            problems.add(Problem(where, found, "`on` and `by` in this row or in one above it"))
        if part is None:
            continue
        head = {**above, "access": row.get("access", "")}
        head = {key: text for key, text in head.items() if text}
        sheet = sheets.setdefault(tuple(head.values()), FilledSheet(where, head, {}))
        if not sheet.put(*part, row.get("attribute", ""), _csv_value(value, row.get("gauge", ""))):
            problems.add(Problem(where, f"{row.get('attribute')} of {row.get('part')} a second time", "each row once"))
    if len(marks) > 1:
        found = f"rows for several cars ({', '.join(marks)})"
        problems.add(Problem(list(marks.values())[1], found, "one car in a form"))
    return FilledForm(next(iter(marks), ""), tuple(sheets.values()))


def _csv_value(text: str, gauge: str) -> Any:
    """A value in words as a record writes it: `takes at 7/8 in`, `before 90 psi after 88 psi minutes 1`."""
    bound, drop = _BOUND.fullmatch(text), _DROP.fullmatch(text)
    if bound is not None:
        value: dict[str, str] = {bound[1].replace(" ", "_"): bound[2]}
    elif drop is not None:
        value = {"before": drop[1], "after": drop[2], "minutes": drop[3]}
    elif gauge:
        value = {"reads": text}
    else:
        return text
    return {**value, "gauge": gauge} if gauge else value
