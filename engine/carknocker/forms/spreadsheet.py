"""The form as a spreadsheet: one worksheet for each sheet, drop-downs of allowed words, limits beside the cell, labels
protected. A hidden worksheet says what each cell writes, so that the form is read back by cell: in its last column a
tick has what it says, and a box the tool whose gauge goes with it. It says of each label too what stands there: a form
whose rows or columns were moved has other figures in its cells."""

import io
from datetime import datetime
from typing import TYPE_CHECKING, Any

from carknocker.documents.visible_text import one_line
from carknocker.forms.model import Form, Grid, Row, Sheet, Tick
from carknocker.forms.rows import possible_of

if TYPE_CHECKING:
    from openpyxl import Workbook

FORMAT = "carknocker-spreadsheet/2"
INDEX = "boxes"
"""The hidden worksheet: a line for each cell that may be filled in."""
WORDS = "words"
"""Another: lists of allowed words that are too long for a cell's own list."""
COLUMNS = ("sheet", "cell", "what", "part", "attribute", "writes", "unit", "value")
DAY_CELL, BY_CELL, STOOD_CELL, TAKEN_CELL = "B3", "B4", "B5", "B6"
_FIRST_GAUGE = 7
"""The row of the gauge of the first tool; under the last the blocks begin."""
LABEL = "label"
"""What a line of the hidden worksheet is about that has the text of a cell nobody fills in."""
_EXCEPTIONS = 3
_SURE = 3
_MOST_WORDS = 20
"""That a label reads out; the list of the cell has them all."""
_LONGEST_LIST = 250
"""Characters of a drop-down list: programs refuse longer ones."""


def spreadsheet_of(form: Form) -> bytes:
    """The workbook as it is written to a file: the same form, the same bytes."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.worksheets[0])
    book.properties.created = book.properties.modified = datetime(form.as_of.year, form.as_of.month, form.as_of.day)
    book.properties.creator = "carknocker"
    lines: list[tuple[str, ...]] = [(FORMAT, form.mark, form.as_of.isoformat(), "", "", "", "", "")]
    for sheet in form.every_sheet:
        lines.extend(_SheetWriter(book, sheet, form).lines)
    index = book.create_sheet(INDEX)
    index.sheet_state = "hidden"
    index.append(list(COLUMNS))
    for line in lines:
        index.append([_text(cell) for cell in line])
    index.protection.sheet = True
    if not form.every_sheet:
        book.create_sheet("nothing wanted", 0)["A1"] = "No reading is wanted for this move."
    return _bytes(book)


def _bytes(book: "Workbook") -> bytes:
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def _text(text: str) -> str:
    """A text that no program takes for a formula."""
    words = one_line(text)
    return f"'{words}" if words[:1] in ("=", "+", "-", "@") else words


class _SheetWriter:
    def __init__(self, book: "Workbook", sheet: Sheet, form: Form) -> None:
        self.book = book
        self.sheet: Any = book.create_sheet(sheet.name, 0 if sheet is form.who else None)
        self.name = sheet.name
        self.row = _FIRST_GAUGE + len(sheet.gauges)
        self.lines: list[tuple[str, ...]] = []
        self.lists: dict[tuple[str, ...], Any] = {}
        self._head(sheet, form, signed=form.is_signed(sheet))
        for block in sheet.blocks:
            if isinstance(block, Grid):
                self._grid(block)
            else:
                self._tick(block)
        self._sure(sheet)
        for one in sheet.wanted:
            self.row += 1
            self._label(f"{one.label}, {one.part}: {one.why}; worked out from readings, once they are on record", 1)
        self.sheet.protection.sheet = True
        self.sheet.freeze_panes = f"A{_FIRST_GAUGE}"
        self.sheet.column_dimensions["A"].width = 46
        self.sheet.column_dimensions["B"].width = 26

    def _head(self, sheet: Sheet, form: Form, *, signed: bool) -> None:
        from openpyxl.styles import Font

        self._write("A1", f"{form.car}: {sheet.title}")
        self.sheet["A1"].font = Font(bold=True, size=14)
        self._write("A2", f"{form.host}, {form.out.isoformat()} to {form.back.isoformat()}")
        people = ", ".join(form.people) or "nobody"
        if sheet is form.move:
            self._write("A3", "what nobody has said yet; leave empty what is not known")
            return
        if not signed:
            self._write("A3", f"each entry in a column, with its own day and who (on record: {people})")
            return
        rows = (
            (DAY_CELL, "day, such as 2026-10-08", "on"),
            (BY_CELL, f"read by (on record: {people})", "by"),
            (STOOD_CELL, "how the car stood: level track, tanks full", "car"),
            (
                TAKEN_CELL,
                "was this read after something was done or happened to the car on that day? yes or no",
                "taken",
            ),
        )
        for cell, label, key in rows:
            self._write(f"A{cell[1:]}", label)
            self._open(cell, "head", "", key, "", "", "")
            self._choose(cell, ("yes", "no") if cell == TAKEN_CELL else ())
        for number, one in enumerate(sheet.gauges, start=_FIRST_GAUGE):
            known = f"on record: {', '.join(one.gauges)}" if one.gauges else "none on record can read it"
            self._write(f"A{number}", f"gauge: {one.tool} ({known})")
            self._open(f"B{number}", "gauge", "", one.tool, "", "", "")
            self._choose(f"B{number}", one.gauges)

    def _write(self, cell: str, text: str) -> None:
        """A label, by which a row or a column is known again."""
        self.sheet[cell] = _text(text)
        self.lines.append((self.name, cell, LABEL, "", "", "", "", self.sheet[cell].value))

    def _label(self, text: str, column: int) -> None:
        from openpyxl.styles import Alignment
        from openpyxl.utils import get_column_letter

        if text:
            cell = f"{get_column_letter(column)}{self.row}"
            self._write(cell, text)
            self.sheet[cell].alignment = Alignment(wrap_text=True, vertical="top")

    def _open(self, cell: str, what: str, part: str, attribute: str, writes: str, unit: str, value: str) -> None:
        """A cell to fill in, kept as text, so that no program makes a day of 7/8."""
        from openpyxl.styles import Border, Protection, Side

        thin = Side(style="thin")
        opened = self.sheet[cell]
        opened.protection = Protection(locked=False)
        opened.number_format = "@"
        opened.border = Border(left=thin, right=thin, top=thin, bottom=thin)
        self.lines.append((self.name, cell, what, part, attribute, writes, unit, value))

    def _choose(self, cell: str, words: tuple[str, ...]) -> None:
        from openpyxl.worksheet.datavalidation import DataValidation

        if not words:
            return
        found = self.lists.get(words)
        if found is None:
            short = len(",".join(words)) <= _LONGEST_LIST and not any("," in word or '"' in word for word in words)
            formula = f'"{",".join(words)}"' if short else self._list_beside(words)
            found = DataValidation(type="list", formula1=formula, allow_blank=True, showErrorMessage=False)
            self.lists[words] = found
            self.sheet.add_data_validation(found)
        found.add(cell)

    def _list_beside(self, words: tuple[str, ...]) -> str:
        """Words too many for a cell's own list, on a hidden worksheet: where they stand there."""
        from openpyxl.utils import get_column_letter

        beside = self.book[WORDS] if WORDS in self.book.sheetnames else self.book.create_sheet(WORDS)
        beside.sheet_state = "hidden"
        column = 1 if beside["A1"].value is None else beside.max_column + 1
        for number, word in enumerate(words, start=1):
            beside.cell(row=number, column=column, value=_text(word))
        letter = get_column_letter(column)
        return f"'{WORDS}'!${letter}$1:${letter}${len(words)}"

    def _grid(self, grid: Grid) -> None:
        from openpyxl.utils import get_column_letter

        self.row += 1
        self._label(grid.heading, 1)
        self._label("limit", 2)
        for number, column in enumerate(grid.columns, start=3):
            self._label(f"{column.head} {column.above}".strip(), number)
        places = {column.head: get_column_letter(number) for number, column in enumerate(grid.columns, start=3)}
        for row in grid.rows:
            self.row += 1
            self._label(_what(row), 1)
            self._label("; ".join(f"{limit.told} ({limit.rule})" for limit in row.limits), 2)
            for box in grid.boxes:
                if box.row == row.number:
                    cell = f"{places[box.column]}{self.row}"
                    self._open(cell, "box", box.part, box.attribute, row.writes, row.unit, row.gauge)
                    self._choose(cell, row.words if row.box == "word" else ())

    def _tick(self, tick: Tick) -> None:
        """A box that is ticked with an x, and lines for exceptions: which one, what, the value."""
        self.row += 1
        self._label(f"{tick.number}. {tick.heading}: {tick.words}", 1)
        cell = f"B{self.row}"
        for box in tick.boxes:
            self._open(cell, "tick", box.part, box.attribute, tick.writes, "", tick.value_of(box))
        self._choose(cell, ("x",))
        for _ in range(_EXCEPTIONS):
            self.row += 1
            self._label("if not: which one, what, value, gauge", 1)
            self._open(
                f"B{self.row}",
                "exception",
                f"C{self.row}",
                f"D{self.row}",
                tick.writes,
                str(tick.number),
                f"E{self.row}",
            )
            self._choose(f"B{self.row}", tick.parts)
            for column in "CDE":
                self._open(f"{column}{self.row}", "exception's", "", "", tick.writes, "", "")
            self._choose(f"C{self.row}", tuple(one.row.attribute for one in tick.said))

    def _sure(self, sheet: Sheet) -> None:
        """Lines for figures that can hardly be: of which one, what, how it was made sure."""
        answers = [one for block in sheet.blocks for one in block.answers() if possible_of(one[0]) is not None]
        parts = tuple(dict.fromkeys(box.part for _, box in answers))
        attributes = tuple(dict.fromkeys(row.attribute for row, _ in answers))
        for _ in range(_SURE if answers else 0):
            self.row += 1
            self._label("a figure outside of what is possible: of which one, what, how it was made sure", 1)
            cells = [f"{column}{self.row}" for column in "BCD"]
            self._open(cells[0], "sure", cells[1], cells[2], "", "", "")
            self._open(cells[1], "sure's", "", "", "", "", "")
            self._open(cells[2], "sure's", "", "", "", "", "")
            self._choose(cells[0], parts)
            self._choose(cells[1], attributes)


def _what(row: Row) -> str:
    told = [f"{row.number}. {row.label}{f' ({row.unit})' if row.unit else ''}"]
    told += (
        [] if not row.words else [" / ".join(row.words)] if len(row.words) <= _MOST_WORDS else ["choose from the list"]
    )
    told += [f"only for: {', '.join(row.only_for)}"] if row.only_for else []
    told += [word for word in (row.only_if, row.how, row.tool, row.access) if word]
    return "; ".join(told)
