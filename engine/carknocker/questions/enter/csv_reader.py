"""A form in CSV read back, also as spreadsheet programs save it: with semicolons or tabs, and with further columns."""

import csv
import io
import re
from collections.abc import Iterator

from carknocker.documents import Location, Problem, ProblemList
from carknocker.forms.comma_in_figure import POINT_OR_THOUSANDS
from carknocker.forms.entries import entry_named
from carknocker.forms.rows import with_unit
from carknocker.forms.text_forms import BETWEEN, COLUMNS, LAST_ROW, TICKED
from carknocker.questions.enter.filled_form import FilledForm, FilledSheet, goes_by_the_head, is_ticked

_COMMA_IN_FIGURE = re.compile(r"\d,\d")
_MOST_ROWS = 20_000
_MOST_DIGITS = 6
_WHOLE = f"save the whole sheet once more; a form made by hand ends in a row with `{LAST_ROW}` under `part`"
_FIGURE_OR_NOTHING = "the figure, or nothing beside it"
_NO_FIGURE_HERE = {
    "": "nothing there: what is ticked is no figure; a figure has a row of its own",
    "gauge": "nothing there: of a test it has a row of its own, `gauge`",
    "sure": "nothing there: it is for a figure that was read",
}
_MOST_NAMED = 4
_CAR_COLUMN = "column `car`: "
_SURE_AT = "in the column `sure` of its row"


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
        twice = [name for name in COLUMNS if _names(reader).count(name) > 1]
        if twice:
            problems.add(Problem(start, f"the column {twice[0]} twice", "each column of the form once"))
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
        plain = {
            key: value.replace("\u00a0", " ").strip()
            for key, value in row.items()
            if isinstance(key, str) and isinstance(value, str)
        }
        yield Location(file, reader.line_num, 1), plain


def _from_rows(
    rows: Iterator[tuple[Location, dict[str, str]]], start: Location, problems: ProblemList, *, decimal_commas: bool
) -> FilledForm:
    """decimal_commas: a comma in a figure may stand for a point as well as between thousands."""
    marks: dict[str, Location] = {}
    alone: list[tuple[Location, str]] = []
    sheets = _Sheets()
    above = dict.fromkeys(("on", "by", "taken"), "")
    end = _End()
    for where, row in rows:
        if end.is_it(row, where, problems):
            continue
        above = {key: row.get(key) or before for key, before in above.items()}
        value = row.get("value", "")
        part, attribute = _plain(row.get("part", "")), row.get("attribute", "")
        is_entry = entry_named(part) is not None  # it has its own day and signer
        words = "" if is_entry else f"{part[:40]}, {row.get('what') or attribute}: "
        if not value and row.get("sure"):
            problems.add(Problem(where, f"{words}how it was made sure, but no figure", _FIGURE_OR_NOTHING))
        elif not value and row.get("gauge"):
            alone.append((where, f"{words}the gauge `{row['gauge'][:40]}`, but no figure"))
        if not value:
            sheets.blank[_plain(row.get("sheet", "")), part, attribute] = where
            continue
        marks.setdefault(_plain(row.get("car", "")), where)
        sheet = sheets.of(row, {} if is_entry else above, where)
        own = problems if sheet.problems is None else sheet.problems
        if goes_by_the_head(part, attribute) and not (above["on"] and above["by"]):
            found = "a value without its day or without who read"
            own.add(Problem(where, found, "`on` and `by` in this row or in one above it"))
        if is_entry or ":" in attribute:
            beside = [key for key in ("gauge", "sure") if row.get(key)]
            for key in beside:
                found = f"{words or f'{part[:40]}: '}`{row[key][:40]}` in the column `{key}`"
                own.add(Problem(where, found, _NO_FIGURE_HERE[key if is_entry else ""]))
        if ":" in attribute:
            sheets.tick(sheet, row, value, where, own)
            continue
        sheets.said.add((row.get("sheet", ""), part, attribute))
        if decimal_commas and _COMMA_IN_FIGURE.search(value):
            found = f"{words}`{value[:40]}`, {POINT_OR_THOUSANDS}"
            own.add(Problem(where, found, "a point for decimals, and nothing between thousands: `1.125 in`"))
            continue
        text = with_unit(value, row.get("unit", ""))
        sheet.say(part, attribute, text, where, own, words, row.get("gauge", ""), row.get("sure", ""))
    end.check(start, problems)
    if len(marks) > 1:
        found = f"{_CAR_COLUMN}rows for several cars ({', '.join(marks)})"
        problems.add(Problem(list(marks.values())[1], found, "one car in a form"))
    filled = sheets.filled()
    if not filled:
        for place, found in alone:
            problems.add(Problem(place, found, _FIGURE_OR_NOTHING))
    mark, where = next(iter(marks.items()), ("", start))
    return FilledForm(mark, (where, _CAR_COLUMN), filled, notes=_without_figures(alone))


def _without_figures(alone: list[tuple[Location, str]]) -> tuple[str, ...]:
    """What is said of rows that name a gauge and no figure: the column may have been filled down, or a figure was
    lost."""
    if not alone:
        return ()
    told = "; ".join(f"line {where.line}, {found}" for where, found in alone[:_MOST_NAMED])
    more = f"; and {len(alone) - _MOST_NAMED:,} more rows" if len(alone) > _MOST_NAMED else ""
    return (f"a gauge without a figure, nothing is written of it: {told}{more}",)


class _End:
    """The last row of the form, which says how many rows it has, and the rows that came back."""

    def __init__(self) -> None:
        self.rows = 0
        self.stated: int | None = None
        self.last = 0

    def is_it(self, row: dict[str, str], where: Location, problems: ProblemList) -> bool:
        """Whether a row is the last one of the form; any other with a part is counted."""
        self.last = where.line
        if row.get("part", "").casefold() != LAST_ROW:
            self.rows += 1 if row.get("part") else 0
            return False
        number = row.get("row", "")
        if number and not (number.isascii() and number.isdigit() and len(number) <= _MOST_DIGITS):
            expected = "the number of rows above it, as the form was written"
            problems.add(Problem(where, f"`{number[:40]}` rows in the row `{LAST_ROW}`", expected))
        elif self.stated is not None:
            problems.add(Problem(where, f"the row `{LAST_ROW}` a second time", "one form in a file"))
        else:
            self.stated = int(number or 0)
        return True

    def check(self, start: Location, problems: ProblemList) -> None:
        """Notes a form of which rows are missing: whatever was written there would be lost without a word."""
        if len(problems):
            return
        if self.stated is None:
            where = Location(start.file, max(self.last, 1), 1)
            found = f"a form that ends before its last row (part `{LAST_ROW}`): rows may be lost"
            problems.add(Problem(where, found, "the form to its last row", remedy=_WHOLE))
        elif self.rows < self.stated:
            found = f"{self.rows:,} rows, where the form had {self.stated:,}: {self.stated - self.rows:,} are lost"
            problems.add(Problem(start, found, "every row of the form, filled in or not", remedy=_WHOLE))


def _plain(text: str) -> str:
    """Without what keeps a spreadsheet from taking it for a formula."""
    return text.removeprefix("'")


class _Sheets:
    """The sheets of a form, one for each that it names, day and reader, in the order of their rows. said: sheet, part
    and attribute of each answer that is no tick. blank: those of each row without an answer, with its place."""

    def __init__(self) -> None:
        self.sheets: dict[tuple[str, tuple[tuple[str, str], ...]], FilledSheet] = {}
        self.said: set[tuple[str, str, str]] = set()
        self.blank: dict[tuple[str, str, str], Location] = {}
        self.ticks: list[tuple[FilledSheet, dict[str, str], Location]] = []

    def of(self, row: dict[str, str], above: dict[str, str], where: Location) -> FilledSheet:
        name = _plain(row.get("sheet", ""))
        head = {**above, "access": "" if name else row.get("access", "")}
        head = {key: text for key, text in head.items() if text}
        found = self.sheets.get((name, tuple(head.items())))
        if found is None:
            title = f"sheet “{name[:60]}”" if name else ""
            found = FilledSheet(where, head, {}, title=title, name=name, problems=ProblemList(), sure_at=_SURE_AT)
            self.sheets[name, tuple(head.items())] = found
        return found

    def tick(self, sheet: FilledSheet, row: dict[str, str], value: str, where: Location, problems: ProblemList) -> None:
        """Keeps a tick until all of its exceptions are known."""
        if is_ticked(value):
            self.ticks.append((sheet, row, where))
        else:
            problems.add(Problem(where, f"`{value[:40]}` in a box to tick", f"`{TICKED}`, or nothing"))

    def filled(self) -> tuple[FilledSheet, ...]:
        """The sheets, with what the ticks say of every box without an answer of its own."""
        for sheet, row, where in self.ticks:
            problems = ProblemList() if sheet.problems is None else sheet.problems
            for part in _plain(row.get("part", "")).split(BETWEEN):
                for said in row["attribute"].split(BETWEEN):
                    attribute, _, value = said.partition(": ")
                    if (row.get("sheet", ""), part, attribute) not in self.said:
                        sheet.say(part, attribute, value, where, problems, f"{part[:40]}, {attribute[:40]}: ")
        for (name, part, attribute), where in self.blank.items():
            for sheet in self.sheets.values():
                if sheet.name == name:
                    sheet.leave_blank(part, attribute, where)
        return tuple(self.sheets.values())
