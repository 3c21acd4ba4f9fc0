"""A filled-in form read back: which sheets it makes. YAML as `worksheet` writes it, or CSV."""

import csv
import io
import re
from collections.abc import Iterator, Mapping
from copy import deepcopy
from typing import Any

import msgspec
from msgspec.structs import replace

from carknocker.documents import InputRefused, Location, Node, Problem, ProblemList, nearest, read_document, some
from carknocker.forms.entries import entry_named
from carknocker.forms.names import kind_and_position
from carknocker.record.reading_form import COLUMNS, FORM
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Kind
from carknocker.vocabulary.program_names import MOVE_KINDS


class FurtherAnswer(msgspec.Struct, frozen=True):
    """An answer that is no reading: a description, a statement of the move, what is said of parts that are new, a test,
    a paper, a job.

    part: as a form names it. value: as a record writes it. words: its place on the form, before a problem there.
    """

    part: str
    attribute: str
    value: Any
    where: Location
    words: str = ""


class FilledSheet(msgspec.Struct):
    """A sheet to be entered: its head, and section → position → attribute → value, as a record writes them.

    title: how the form calls it. name: its short name in the form, by which photographs name it. places: of each value,
    where it stands in the form, and words before a problem there. problems: those found in it.
    """

    where: Location
    head: dict[str, Any]
    readings: dict[str, dict[str, Any]]
    count: int = 0
    title: str = ""
    name: str = ""
    places: dict[tuple[str, str, str], tuple[Location, str]] = msgspec.field(default_factory=dict)
    further: list[FurtherAnswer] = msgspec.field(default_factory=list)
    problems: ProblemList | None = None

    @property
    def answers(self) -> int:
        """How many answers are on it, readings or not."""
        return self.count + len(self.further)

    @property
    def is_signed(self) -> bool:
        """Whether anything on it goes by the day and the reader at its head: an entry has its own."""
        return self.count > 0 or any(entry_named(one.part) is None for one in self.further)

    def copy(self) -> "FilledSheet":
        """The sheet again, to be added to."""
        return replace(self, readings=deepcopy(self.readings), places=dict(self.places))

    def say(
        self, part: str, attribute: str, text: Any, where: Location, problems: ProblemList, words: str = "",
        gauge: str = "",
    ) -> None:  # fmt: skip
        """Puts an answer on the sheet, where its kind belongs. Notes a part that nobody knows, and a second answer."""
        part = part.strip()
        if entry_named(part) is not None:
            self._say_further(part, attribute, text, where, problems, words)
            return
        new = _NEW.fullmatch(part)
        kind = load_vocabulary().kinds.get(new[1]) if new is not None else None
        told = (kind, "") if kind is not None else named(part, where, problems, words)
        if told is None:
            return
        known = told[0].attributes.get(attribute)
        value = cell_value(told[0], attribute, text, gauge) if isinstance(text, str) else text
        if new is not None or told[0].name in MOVE_KINDS or (known is not None and known.description):
            self._say_further(part, attribute, value, where, problems, words)
        elif not self.put(*told, attribute, value, where, words):
            problems.add(
                Problem(where, f"{words}`{attribute}` of {part} a second time", "each reading once on a sheet")
            )

    def _say_further(
        self, part: str, attribute: str, value: Any, where: Location, problems: ProblemList, words: str
    ) -> None:  # fmt: skip
        if any((one.part, one.attribute) == (part, attribute) for one in self.further):
            problems.add(Problem(where, f"{words}`{attribute}` of {part} a second time", "each answer once"))
        self.further.append(FurtherAnswer(part, attribute, value, where, words))

    def put(
        self, kind: Kind, position: str, attribute: str, value: Any, where: Location | None = None, words: str = ""
    ) -> bool:
        """Puts a reading on the sheet; False if one stands there already."""
        section = self.readings.setdefault(kind.section, {})
        single = kind.positions == "single"
        if not single:
            section = section.setdefault(position, {})
        if attribute in section:
            return False
        section[attribute] = value
        self.places[kind.section, "" if single else position, attribute] = (where or self.where, words)
        self.count += 1
        return True


class FilledForm(msgspec.Struct, frozen=True):
    """The mark that the form is for, its sheets that hold any reading, and its photographs as they stand in it."""

    mark: str
    sheets: tuple[FilledSheet, ...]
    photographs: tuple[Mapping[str, Any], ...] = ()


def named(part: str, where: Location, problems: ProblemList, words: str = "") -> tuple[Kind, str] | None:
    """The same, noted where it names no kind of part."""
    found = kind_and_position(part.strip())
    if found is None:
        expected = "a kind of part and its position: `wheel L3`, `body`"
        problems.add(Problem(where, f"{words}the part `{part[:40]}`", expected))
    return found


_NEW = re.compile(r"new (.+?) \((.+)\) of (.+)")
_BOUND = re.compile(r"(takes at|does not take at|over|under|at least|at most)\s+(.+)")
_BARE = re.compile(
    r"(?:(?:takes at|does not take at|over|under|at least|at most) )?[-+−]?[0-9½¼¾⅛⅜⅝⅞⅓⅔][0-9½¼¾⅛⅜⅝⅞⅓⅔⁄ .,/-]*"
)
_DROP = re.compile(r"before\s+(.+?)[,;]?\s+after\s+(.+?)[,;]?\s+minutes\s+(.+)")
_COMMA_IN_FIGURE = re.compile(r"\d,\d")
_MOST_ROWS = 20_000
MOST_VALUES = 4_000


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
    sheets: dict[tuple[tuple[str, str], ...], FilledSheet] = {}
    above = {"on": "", "by": ""}
    for where, row in rows:
        above = {key: row.get(key) or before for key, before in above.items()}
        value = row.get("value", "")
        if not value:
            continue
        marks.setdefault(row.get("car", "").removeprefix("'"), where)  # so that no spreadsheet takes it for a formula
        head = {**above, "access": row.get("access", "")}
        head = {key: text for key, text in head.items() if text}
        sheet = sheets.setdefault(tuple(head.items()), FilledSheet(where, head, {}, problems=ProblemList()))
        own = problems if sheet.problems is None else sheet.problems
        if decimal_commas and _COMMA_IN_FIGURE.search(value):
            found = f"`{value[:40]}`, where a comma may mean a point or thousands"
            own.add(Problem(where, found, "a point for decimals, and nothing between thousands: `1.125 in`"))
        if not all(above.values()) and entry_named(row.get("part", "")) is None:
            found = "a value without its day or without who read"
            own.add(Problem(where, found, "`on` and `by` in this row or in one above it"))
        sheet.say(row.get("part", ""), row.get("attribute", ""), value, where, own, gauge=row.get("gauge", ""))
    if len(marks) > 1:
        found = f"rows for several cars ({', '.join(marks)})"
        problems.add(Problem(list(marks.values())[1], found, "one car in a form"))
    return FilledForm(next(iter(marks), ""), tuple(sheets.values()))


def with_unit(text: str, unit: str) -> str:
    """A bare figure with the unit that its row says."""
    return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text


def cell_value(kind: Kind, attribute: str, text: str, gauge: str = "") -> Any:
    """The answer of one box as a record writes it: a dash is what could not be reached, words of a list stand apart, a
    gauge beside its figure."""
    if text == "-":
        return UNREACHED
    known = kind.attributes.get(attribute)
    if known is not None and known.type == "list of":
        return [word.strip() for word in text.split(",")]
    return _csv_value(text, gauge)


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


UNREACHED = "not accessible (marked so on the form)"
HTML_ENDINGS = (".html", ".htm")
MOST_BYTES_OF_HTML = 50_000_000
"""Of a form with photographs in it."""
HEADS = ("on", "by", "gauge", "access", "car", "paper", "after", "taken")


def read_form(text: str | bytes, file: str) -> FilledForm:
    """The form in a text: HTML or CSV where its name ends so, else YAML; in bytes: a spreadsheet. What is wrong with
    one sheet is kept with it. Raises InputRefused with every other problem in it."""
    problems = ProblemList()
    if isinstance(text, str) and file.casefold().endswith(HTML_ENDINGS):
        from carknocker.questions.enter.html_reader import read_html

        form = read_html(text, file, problems)
    elif isinstance(text, bytes):
        from carknocker.questions.enter.spreadsheet_reader import read_spreadsheet

        form = read_spreadsheet(text, file, problems)
    elif file.casefold().endswith(".csv"):
        form = read_csv_form(text, file, problems)
    else:
        form = _read_yaml(text, file, problems)
    problems.refuse_if_any()
    if form is None or not (form.sheets or form.photographs):
        found = "a form with nothing filled in"
        raise InputRefused((Problem(Location(file, 1, 1), found, "a value behind a reading", remedy="fill it in"),))
    count = sum(sheet.answers for sheet in form.sheets)
    if count > MOST_VALUES:
        found = f"a form of {count:,} values"
        raise InputRefused((Problem(Location(file, 1, 1), found, f"at most {MOST_VALUES:,} values in a form"),))
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
        own = ProblemList()
        sheet = _yaml_sheet(node, own)
        if sheet is None:
            own.refuse_if_any()
        elif sheet.answers or len(own):
            sheet.problems = own
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
    for part, _, values in _pairs(readings, "parts with their readings", problems):
        for attribute, _, value in _pairs(values, "readings: `flange_thickness: 1 in`", problems):
            if not value.is_empty:
                sheet.say(part, attribute, value.plain(), value.where, problems)
    if sheet.is_signed and not {"on", "by"} <= head.keys():
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
