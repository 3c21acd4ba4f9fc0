"""A filled-in spreadsheet read back, cell by cell. Nothing in it is worked out: a formula is refused at its cell."""

import io
import re
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from typing import Any

from carknocker.documents import Location, Problem, ProblemList
from carknocker.documents.visible_text import one_line
from carknocker.forms.rows import with_unit
from carknocker.forms.spreadsheet import COLUMNS, FORMAT, INDEX, LABEL, WORDS
from carknocker.questions.enter.filled_form import (
    HEAD_LABELS,
    FilledForm,
    FilledSheet,
    Place,
    is_ticked,
    key_on_a_form,
    tool_of,
)

MOST_BYTES = 40_000_000
"""Of all that is packed in the file."""
_MOST_MEMBERS = 500
_MOST_LINES = 20_000
_MOST_NAMED = 4
_FARTHEST_ROW, _FARTHEST_COLUMN = 2_000, 60
_CELL = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,5})")
_SURE_AT = "in the last lines of its sheet"
_REMEDY = "write it as text, such as 7/8 in"


def read_spreadsheet(data: bytes, file: str, problems: ProblemList) -> FilledForm | None:
    """The form in a workbook; None, noted, where it is no such form."""
    start = Location(file, 1, 1)
    expected = "the spreadsheet as `worksheet --format xlsx` wrote it, filled in"
    unsafe = _unsafe(data)
    if unsafe:
        problems.add(
            Problem(start, unsafe, expected, remedy="save it as a plain .xlsx workbook without anything added")
        )
        return None
    from openpyxl import load_workbook

    try:
        book = load_workbook(io.BytesIO(data), keep_links=False, keep_vba=False, rich_text=False)
    except Exception as error:  # whatever a broken workbook makes the library raise
        problems.add(Problem(start, f"no workbook that can be read ({type(error).__name__})", expected))
        return None
    if INDEX not in book.sheetnames:
        problems.add(Problem(start, f"a workbook without the hidden sheet `{INDEX}`", expected))
        return None
    lines = _index(book[INDEX], file, problems)
    if lines is None:
        return None
    mark, boxes = lines
    sheets = tuple(_Reader(book, file, problems).sheets(boxes))
    titles = [
        f"cell {line['cell']} of sheet “{one_line(line['sheet'])[:40]}”: " for line in boxes if line["what"] == LABEL
    ]
    return FilledForm(mark, (start, next(iter(titles), "")), sheets, notes=tuple(_not_read(book, boxes)))


def _not_read(book: Any, lines: list["Line"]) -> Iterator[str]:
    """What is said of all that was written beside the cells of the form."""
    known: dict[str, set[str]] = {}
    for line in lines:
        known.setdefault(line["sheet"], set()).add(line["cell"])
    for sheet in book.worksheets:
        if sheet.title in (INDEX, WORDS):
            continue
        own = known.get(sheet.title)
        beside = [cell for cell in _filled(sheet) if own is None or cell not in own]
        if beside and own is None:
            yield f"worksheet “{one_line(sheet.title)[:40]}” is none of the form: nothing on it was read"
        elif beside:
            cells = f"{', '.join(beside[:_MOST_NAMED])}{' …' if len(beside) > _MOST_NAMED else ''}"
            yield f"sheet “{one_line(sheet.title)[:40]}”: {cells}: no box of the form: what stands there was not read"


def _filled(sheet: Any) -> Iterator[str]:
    """The cells in which anything stands, as far as anyone looks: a sheet can have 17 billion. What stands farther out
    is told by the place up to which it reaches."""
    rows, columns = sheet.max_row or 0, sheet.max_column or 0
    near = sheet.iter_rows(max_row=min(rows, _FARTHEST_ROW), max_col=min(columns, _FARTHEST_COLUMN))
    yield from (cell.coordinate for row in near for cell in row if cell.value is not None)
    if rows > _FARTHEST_ROW or columns > _FARTHEST_COLUMN:
        yield f"as far as row {rows:,} and column {columns:,}"


def _unsafe(data: bytes) -> str:
    """What makes a file no plain workbook, found before anything of it is unpacked; empty where nothing does."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            members = packed.infolist()
    except (zipfile.BadZipFile, ValueError, OSError):
        return "a file that is no workbook"
    if len(members) > _MOST_MEMBERS or sum(one.file_size for one in members) > MOST_BYTES:
        return f"a workbook of over {MOST_BYTES // 1_000_000} MB unpacked, or of over {_MOST_MEMBERS} pieces"
    names = [one.filename.casefold() for one in members]
    if any("vbaproject" in name or "macrosheet" in name for name in names):
        return "a workbook with macros"
    if any("externallink" in name for name in names):
        return "a workbook with links to other files"
    return ""


Line = dict[str, str]


def _index(sheet: Any, file: str, problems: ProblemList) -> tuple[str, list[Line]] | None:
    if (sheet.max_row or 0) > _MOST_LINES or (sheet.max_column or 0) > len(COLUMNS):
        problems.add(Problem(Location(file, 1, 1), f"the hidden sheet `{INDEX}`: of another size", "as it was written"))
        return None
    rows = [tuple("" if cell is None else str(cell) for cell in row) for row in sheet.iter_rows(values_only=True)]
    if len(rows) < 2 or rows[0] != COLUMNS or rows[1][0] != FORMAT:
        problems.add(
            Problem(Location(file, 2, 1), f"cell A2 of the hidden sheet `{INDEX}`: another format", f"`{FORMAT}`")
        )
        return None
    lines = [dict(zip(COLUMNS, row, strict=True)) for row in rows[2:]]
    return rows[1][1].removeprefix("'"), [line for line in lines if _CELL.fullmatch(line["cell"])]


class _Reader:
    def __init__(self, book: Any, file: str, problems: ProblemList) -> None:
        self.book, self.file, self.problems = book, file, problems

    def sheets(self, boxes: list[Line]) -> list[FilledSheet]:
        filled: list[FilledSheet] = []
        for name in dict.fromkeys(line["sheet"] for line in boxes):
            labels = [line for line in boxes if line["sheet"] == name and line["what"] == LABEL]
            if name not in self.book.sheetnames:
                filled.append(self.missing(name, labels, {line["sheet"] for line in boxes}))
                continue
            own = [line for line in boxes if line["sheet"] == name and line["what"] != LABEL]
            sheet = self.sheet(name, own)
            moved = self.moved(name, labels)
            if moved is not None:  # whatever else is found there is of other cells
                sheet.problems = ProblemList()
                sheet.problems.add(moved)
                sheet.readings, sheet.further, sheet.count = {}, [], 0
            if sheet.answers or len(sheet.problems or ()):
                filled.append(sheet)
        return filled

    def missing(self, name: str, labels: list[Line], known: set[str]) -> FilledSheet:
        """A worksheet that is not there, held by itself: with the one that has its labels, or those that are none of
        the form."""
        others = [one.title for one in self.book.worksheets if one.title not in (INDEX, WORDS, *known)]
        alike = [one for one in others if self.moved(one, labels) is None]
        shown = [f"“{one_line(one)[:40]}”" for one in (alike or others)[:_MOST_NAMED]]
        found = f"sheet “{name[:40]}”: no worksheet of that name"
        if alike:
            found += f"; its rows stand on {', '.join(shown)}"
        elif shown:
            found += f"; none of the form: {', '.join(shown)}"
        remedy = f"call {shown[0]} “{name[:40]}” again" if len(alike) == 1 else "leave every worksheet as written"
        start, problems = Location(self.file, 1, 1), ProblemList()
        problems.add(Problem(start, found, f"the worksheet “{name[:40]}”, filled in or not", remedy=remedy))
        return FilledSheet(start, {}, {}, title=f"sheet “{name}”", problems=problems)

    def moved(self, name: str, labels: list[Line]) -> Problem | None:
        """The first label that is not where it was: what stands in the boxes then belongs to other parts."""
        for line in labels:
            held = self.book[name][line["cell"]].value
            text = "" if held is None else str(held)
            if text.strip() != line["value"].strip():
                found = f"`{one_line(text)[:60]}`, where the form has `{line['value'][:60]}`" if text else "no label"
                expected = f"`{line['value'][:60]}`: every row and column as the form was written"
                return self.problem(name, line["cell"], found, expected, "write the figures into a fresh form")
        return None

    def sheet(self, name: str, lines: list[Line]) -> FilledSheet:
        problems = ProblemList()
        head = {}
        heads: dict[str, tuple[Location, str]] = {}
        for line in lines:
            if line["what"] == "head":
                text = self.text(name, line["cell"], "", problems)
                if text:
                    head[line["attribute"]] = text
                    words = f"cell {line['cell']} of sheet “{name}”, {HEAD_LABELS.get(line['attribute'], '')}: "
                    heads[line["attribute"]] = self.where(line["cell"]), words
        sheet = FilledSheet(
            Location(self.file, 3, 2), head, {}, title=f"sheet “{name}”", problems=problems, sure_at=_SURE_AT,
            heads=heads,
        )  # fmt: skip
        said: dict[tuple[str, str], tuple[Line, str, str]] = {}
        own_gauges: dict[tuple[str, str], str] = {}
        for line in lines:
            key = line["part"], line["attribute"]
            if line["what"] == "tick" and line["value"]:
                text = self.text(name, line["cell"], "", problems)
                if is_ticked(text):
                    said[key] = line, line["cell"], line["value"]
                elif text and line is next(one for one in lines if one["cell"] == line["cell"]):
                    problems.add(self.problem(name, line["cell"], f"`{text[:40]}` in a box to tick", "x, or nothing"))
            elif line["what"] == "box":
                text = self.text(name, line["cell"], line["unit"], problems)
                if text:
                    said[key] = line, line["cell"], text
                else:
                    sheet.leave_blank(*key, *self.place(sheet, line["cell"]))
        for line in lines:
            if line["what"] == "exception":
                told = [self.text(name, cell, "", problems) for cell in (line["cell"], line["part"], line["attribute"])]
                if all(told):
                    key = told[0], key_on_a_form(told[0], told[1])
                    said[key] = line, line["attribute"], told[2]
                    own_gauges[key] = self.text(name, line["value"], "", problems)
                    if own_gauges[key]:
                        sheet.gauges_at.setdefault(own_gauges[key], self.place(sheet, line["value"]))
                elif any(told):
                    found = "an exception without all of which one, what and value"
                    problems.add(self.problem(name, line["cell"], found, "all three cells of the line filled in"))
        gauges = {
            line["attribute"]: self.text(name, line["cell"], "", problems) for line in lines if line["what"] == "gauge"
        }
        for line in lines:
            if line["what"] == "gauge" and gauges[line["attribute"]]:
                sheet.gauges_at.setdefault(gauges[line["attribute"]], self.place(sheet, line["cell"]))
        sure = self.sure(name, lines, problems)
        for (part, attribute), (line, cell, text) in said.items():
            gauge = gauges.get(line["value"], "") if line["what"] == "box" else own_gauges.get((part, attribute), "")
            if line["what"] == "exception" and not gauge:
                gauge = gauges.get(tool_of(part, attribute), "")
            own = (line["cell"], line["part"]) if line["what"] == "exception" else (cell, cell)
            self.put(sheet, part, attribute, cell, text, gauge, sure.pop((part, attribute), ("", ""))[1], own)
        for (part, attribute), (cell, _) in sure.items():
            found = f"how `{attribute[:40]}` of {part[:40]} was made sure, but the sheet has no such figure"
            problems.add(self.problem(name, cell, found, "the figure in its box, or nothing here"))
        if sheet.is_signed and not {"on", "by"} <= head.keys():
            found = "a sheet with readings, but without its day or without who read"
            problems.add(self.problem(name, "B3", found, "the day in B3 and the short name of who read in B4"))
        return sheet

    def sure(self, name: str, lines: list[Line], problems: ProblemList) -> dict[tuple[str, str], tuple[str, str]]:
        """How figures that can hardly be were made sure: part and attribute → cell of the line, and the words."""
        found: dict[tuple[str, str], tuple[str, str]] = {}
        for line in lines:
            if line["what"] != "sure":
                continue
            told = [self.text(name, cell, "", problems) for cell in (line["cell"], line["part"], line["attribute"])]
            if all(told) and (told[0], told[1]) not in found:
                found[told[0], told[1]] = line["cell"], told[2]
            elif all(told):
                again = f"how `{told[1][:40]}` of {told[0][:40]} was made sure a second time"
                problems.add(self.problem(name, line["cell"], again, "one line for each figure"))
            elif any(told):
                half = "a line without all of which one, what and how it was made sure"
                problems.add(self.problem(name, line["cell"], half, "all three cells of the line filled in"))
        return found

    def put(
        self, sheet: FilledSheet, part: str, attribute: str, cell: str, text: str, gauge: str, sure: str,
        own: tuple[str, str],
    ) -> None:  # fmt: skip
        """own: the cells in which the part and what was read of it are named; elsewhere the cell of the value."""
        where, words = self.place(sheet, cell)
        problems = self.problems if sheet.problems is None else sheet.problems
        named_at = self.place(sheet, own[0]), self.place(sheet, own[1])
        sheet.say(part, attribute, text, where, problems, words, gauge, sure, named_at)

    def place(self, sheet: FilledSheet, cell: str) -> Place:
        return self.where(cell), f"cell {cell} of {sheet.title}: "

    def where(self, cell: str) -> Location:
        match = _CELL.fullmatch(cell)
        column = 0
        for letter in match[1] if match else "A":
            column = column * 26 + ord(letter) - 64
        return Location(self.file, int(match[2]) if match else 1, column)

    def problem(self, name: str, cell: str, found: str, expected: str, remedy: str = "") -> Problem:
        return Problem(self.where(cell), f"cell {cell} of sheet “{name}”: {found}", expected, remedy=remedy)

    def text(self, name: str, cell: str, unit: str, problems: ProblemList) -> str:
        """What a cell says, as a record writes it; empty (noted where anything stands there) if that is nothing."""
        if _CELL.fullmatch(cell) is None:
            return ""
        held = self.book[name][cell]
        value = held.value
        if value is None:
            return ""
        if held.data_type == "f" or (isinstance(value, str) and value.startswith("=")):
            problems.add(self.problem(name, cell, "a formula", "the figure itself: nothing is worked out", _REMEDY))
            return ""
        if held.data_type == "e":
            problems.add(self.problem(name, cell, f"the error {value}", "a figure or a word"))
            return ""
        if isinstance(value, (datetime, date)):
            day = value.date() if isinstance(value, datetime) else value
            if unit:
                found = f"a day ({day.isoformat()}): the program may have made it of a fraction such as 7/8"
                problems.add(self.problem(name, cell, found, "the figure as it was read", _REMEDY))
                return ""
            return day.isoformat()
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, (int, float)):
            text = str(int(value)) if value == int(value) else repr(value)
        elif isinstance(value, str):
            text = value.strip().removeprefix("'")
        else:
            problems.add(self.problem(name, cell, f"a value of the kind {type(value).__name__}", "text", _REMEDY))
            return ""
        return with_unit(text, unit)
