"""A filled-in HTML form read back: the two blocks of data in it, and nothing else. No script of it is run."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import TypeVar

import msgspec
from msgspec.structs import replace

from carknocker.documents import Location, Problem, ProblemList
from carknocker.documents.visible_text import one_line
from carknocker.forms.html_form import FORMAT
from carknocker.forms.rows import with_unit
from carknocker.questions.enter.filled_form import FilledForm, FilledSheet

MOST_BYTES_OF_HTML = 50_000_000
"""Of a form with photographs in it."""

_MOST_TAGS = 400_000
_MOST_BESIDE = 10_000_000
"""Characters of the file outside of its data."""
_NUMBER = re.compile(r"[1-9][0-9]{0,5}")
_BLOCKS = ("form", "answers")
_BLOCK = re.compile(r'<script type="application/json" id="(form|answers)">')
_EXPECTED = "the HTML form as `worksheet --form FILE.html` wrote it, or a copy that it handed out"
_EARLIER = "carknocker-html-form/1"
_SURE_AT = "in the field that shows under the figure"
_HEAD = "the head of the form: "
_REMEDY = "open the form in a browser and let it save a copy again"


class _Box(msgspec.Struct, frozen=True):
    """What the form says of one field: what its answer writes. row: the place in the form's rows of what it has in
    common with others (`is`); forms of earlier editions say that of each field. only_if: what other fields
    have to say for it to be wanted: id, words, whether it is on the same sheet."""

    id: str
    column: str
    part: str
    row: int | None = msgspec.field(default=None, name="is")
    attribute: str = ""
    label: str = ""
    unit: str = ""
    gauge: str = ""
    only_if: list[tuple[str, list[str], bool]] = []


class _Row(msgspec.Struct, frozen=True):
    """What fields of a row have in common."""

    attribute: str
    label: str
    unit: str = ""
    gauge: str = ""


class _Tick(msgspec.Struct, frozen=True):
    id: str
    says: dict[str, str]


class _Sheet(msgspec.Struct, frozen=True):
    name: str
    title: str
    boxes: list[_Box]
    ticks: list[_Tick]
    gauges: list[str] = []
    signed: bool = True


class _Form(msgspec.Struct, frozen=True):
    format: str
    car: str
    sheets: list[_Sheet]
    rows: list[_Row] = []


class PhotographInForm(msgspec.Struct, frozen=True):
    """A photograph as the form holds it. data: `data:image/jpeg;base64,…`. original: SHA-256 of the file that was
    chosen, empty where the browser could not make it."""

    sheet: str
    part: str
    name: str
    on: str
    by: str
    data: str
    original: str = ""


class _Answers(msgspec.Struct, frozen=True):
    entries: dict[str, str] = {}
    photographs: list[PhotographInForm] = []


def read_html(text: str, file: str, problems: ProblemList) -> FilledForm | None:
    """The form in an HTML file; None, noted, where it is no such form."""
    start = Location(file, 1, 1)
    blocks = _blocks(text, start, problems)
    if blocks is None:
        return None
    form = _decoded(blocks["form"], _Form, "form", start, problems)
    answers = _decoded(blocks["answers"], _Answers, "answers", start, problems)
    if form is None or answers is None:
        return None
    if form.format not in (FORMAT, _EARLIER):
        problems.add(Problem(start, f"{_HEAD}a form of the format `{one_line(form.format)[:40]}`", f"`{FORMAT}`"))
        return None
    if not _fits(form, answers, start, problems):
        return None
    told = [replace(sheet, boxes=[_whole(box, form.rows) for box in sheet.boxes]) for sheet in form.sheets]
    sheets = [_sheet(sheet, number, answers, start) for number, sheet in enumerate(told, start=1)]
    filled = [sheet for sheet in sheets if sheet.answers or len(sheet.problems or ())]
    return FilledForm(form.car, (start, _HEAD), tuple(filled), tuple(_photographs(form, answers)))


def _photographs(form: _Form, answers: _Answers) -> Iterator[dict[str, str]]:
    """The photographs. One taken before the head of its sheet was filled in has the day and the reader of that."""
    numbers = {sheet.name: number for number, sheet in enumerate(form.sheets, start=1)}
    for one in answers.photographs:
        head = {key: answers.entries.get(f"{key}-{numbers.get(one.sheet)}", "").strip() for key in ("on", "by")}
        yield msgspec.to_builtins(replace(one, on=one.on or head["on"], by=one.by or head["by"]))


def _whole(box: _Box, rows: list[_Row]) -> _Box:
    """A field with what its row says."""
    if box.row is None:
        return box
    row = rows[box.row]
    return replace(box, attribute=row.attribute, label=row.label, unit=row.unit, gauge=row.gauge)


_Read = TypeVar("_Read", _Form, _Answers)


class _DataBlocks(HTMLParser):
    """Collects the texts of the data blocks. Everything else in the file is passed over."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: dict[str, list[list[str]]] = {name: [] for name in _BLOCKS}
        self.current: list[str] | None = None
        self.tags = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags += 1
        if self.tags > _MOST_TAGS:
            raise _TooMuch
        told = dict(attrs)
        name = told.get("id")
        if tag == "script" and told.get("type") == "application/json" and name in _BLOCKS:
            self.current = []
            self.found[name].append(self.current)

    def handle_data(self, data: str) -> None:
        if self.current is not None:
            self.current.append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag == "script":
            self.current = None


class _TooMuch(Exception):
    """The file has more tags than any form."""


def _blocks(text: str, start: Location, problems: ProblemList) -> dict[str, str] | None:
    data = sum(text.find("</", one.end()) - one.end() for one in _BLOCK.finditer(text))
    if len(text) > MOST_BYTES_OF_HTML or len(text) - data > _MOST_BESIDE:
        problems.add(Problem(start, f"a file of {len(text):,} characters", _EXPECTED, remedy=_REMEDY))
        return None
    parser = _DataBlocks()
    try:
        parser.feed(text)
    except (_TooMuch, AssertionError):  # the parser asserts what no sound file lacks
        problems.add(Problem(start, "a file that is no such form", _EXPECTED, remedy=_REMEDY))
        return None
    for name, found in parser.found.items():
        if len(found) != 1:
            what = f"its data block `{name}` twice or more" if found else f"no data block `{name}`"
            problems.add(Problem(start, f"a file with {what}", _EXPECTED, "", _REMEDY))
    if any(len(found) != 1 for found in parser.found.values()):
        return None
    return {name: "".join(found[0]) for name, found in parser.found.items()}


def _decoded(text: str, sort: type[_Read], name: str, start: Location, problems: ProblemList) -> _Read | None:
    try:
        return msgspec.json.decode(text.encode("utf-8", "replace"), type=sort)
    except (msgspec.DecodeError, RecursionError) as error:  # a value of another type is a DecodeError too
        why = one_line(str(error))[:160] or "nested too deep"
        problems.add(Problem(start, f"a block of data `{name}` that can't be read: {why}", _EXPECTED, "", _REMEDY))
        return None


def _fits(form: _Form, answers: _Answers, start: Location, problems: ProblemList) -> bool:
    """Whether each field stands once in the form, and each answer is one to a field of it."""
    places = [box.row for sheet in form.sheets for box in sheet.boxes if box.row is not None]
    if any(not 0 <= place < len(form.rows) for place in places):
        problems.add(Problem(start, "a form with a box of a row that it does not have", _EXPECTED, remedy=_REMEDY))
        return False
    ids = [box.id for sheet in form.sheets for box in sheet.boxes]
    ids += [tick.id for sheet in form.sheets for tick in sheet.ticks]
    names = [sheet.name for sheet in form.sheets]
    ticked = [key for sheet in form.sheets for tick in sheet.ticks for key in tick.says]
    if len(set(ids)) != len(ids) or len(set(names)) != len(names):
        problems.add(Problem(start, "a form with a box or a sheet twice", _EXPECTED, remedy=_REMEDY))
        return False
    if len(set(ticked)) != len(ticked):
        problems.add(Problem(start, "a form in which two ticks say something of one box", _EXPECTED, remedy=_REMEDY))
        return False
    sure = [f"sure-{box.id}" for sheet in form.sheets for box in sheet.boxes]
    known = {*ids, *sure, *(key for number, sheet in enumerate(form.sheets, start=1) for key in _heads(number, sheet))}
    odd = [key for key in answers.entries if key not in known]
    odd += [key for sheet in form.sheets for tick in sheet.ticks for key in tick.says if key not in known]
    if odd:
        found = f"an answer to a box that the form does not have (`{one_line(odd[0])[:40]}`)"
        problems.add(Problem(start, found, _EXPECTED, remedy=_REMEDY))
    return not odd


def _heads(number: int, sheet: _Sheet) -> list[str]:
    gauges = [f"gauge-{number}-{place}" for place in range(1, len(sheet.gauges) + 1)]
    return [f"on-{number}", f"by-{number}", f"taken-{number}", *gauges] if sheet.signed else []


def _sheet(told: _Sheet, number: int, answers: _Answers, start: Location) -> FilledSheet:
    problems = ProblemList()
    title = f"sheet “{one_line(told.title)[:60]}”"
    entries = {key: text.strip() for key, text in answers.entries.items() if text.strip()}
    head = {key: entries[f"{key}-{number}"] for key in ("on", "by", "taken") if f"{key}-{number}" in entries}
    gauges = {
        tool: entries.get(f"gauge-{number}-{place}", "") for place, tool in enumerate(told.gauges, start=1)
    }  # fmt: skip
    ticked = _ticked(told, entries, title, start, problems)
    answered = [(box, entries.get(box.id, ""), ticked.get(box.id, "")) for box in told.boxes]
    one_gauge = _one_gauge([box for box, own, _ in answered if own and own != "-"], gauges)
    if one_gauge:
        head["gauge"] = one_gauge
    sheet = FilledSheet(start, head, {}, title=title, name=told.name, problems=problems, sure_at=_SURE_AT)
    for tool, gauge in gauges.items():
        sheet.gauges_at.setdefault(gauge, (start, f"{title}, gauge for {one_line(tool)[:60]}: "))
    for box, own, said in answered:
        at = _place(start, box.id)
        text = with_unit(own, box.unit)
        sure = entries.get(f"sure-{box.id}", "")
        if not own and not said:
            sheet.leave_blank(box.part, box.attribute, at, _words(sheet, box))
        if own or said:
            gauge = "" if one_gauge or not own else gauges.get(box.gauge, "")
            _put(sheet, box, text or said, gauge, sure if own else "", at, problems)
        if sure and not own:
            found = f"{title}, {one_line(box.label)}, {one_line(box.column)}: how it was made sure, but no figure"
            problems.add(Problem(at, found[:240], "the figure, or nothing beside it"))
    if sheet.is_signed and not {"on", "by"} <= head.keys():
        found = f"{title}: answers, but no day of reading or nobody who read"
        problems.add(Problem(start, found, "the day of reading and the short name of who read, at the sheet's head"))
    return sheet


def _ticked(
    told: _Sheet, entries: dict[str, str], title: str, start: Location, problems: ProblemList
) -> dict[str, str]:  # fmt: skip
    """What the ticks of a sheet say, by field."""
    said: dict[str, str] = {}
    for tick in told.ticks:
        text = entries.get(tick.id, "")
        if text == "yes":
            said.update(tick.says)
        elif text:
            problems.add(
                Problem(
                    _place(start, tick.id), f"{title}: `{one_line(text)[:40]}` in a box to tick", "`yes`, or nothing"
                )
            )
    folded = [box.id for box in told.boxes if box.id in said and not _is_wanted(box, {**said, **entries})]
    return {id: text for id, text in said.items() if id not in folded}


def _is_wanted(box: _Box, said: dict[str, str]) -> bool:
    """Whether the form shows a box: a tick says nothing in one that is folded away."""
    for other, words, near in box.only_if:
        text = said.get(other, "")
        if near if text in ("", "-") else text not in words:
            return False
    return True


def _place(start: Location, field_id: str) -> Location:
    """The place of a field, `f12`."""
    number = field_id.removeprefix("f")
    return msgspec.structs.replace(start, field=int(number)) if _NUMBER.fullmatch(number) else start


def _one_gauge(answered: list[_Box], gauges: dict[str, str]) -> str:
    """The gauge of every figure of a sheet, where they have one; else empty, and each figure names its own."""
    used = {gauges.get(box.gauge, "") for box in answered if box.unit}
    return used.pop() if len(used) == 1 else ""


def _put(
    sheet: FilledSheet, box: _Box, text: str, gauge: str, sure: str, where: Location, problems: ProblemList
) -> None:
    sheet.say(box.part, box.attribute, text, where, problems, _words(sheet, box), gauge, sure)


def _words(sheet: FilledSheet, box: _Box) -> str:
    """What stands before a problem of a box."""
    return f"{one_line(f'{sheet.title}, {box.label}, {box.column}')[:160]}: "
