"""A sheet for people outside the owner's shop, as plain data: sections of labelled lines. A line that the owner could
fill from his record and that it does not fill says so."""

from datetime import date

import msgspec

from carknocker.page.json_encoder import Rules, answer_json, keys
from carknocker.page.model import Blanks, Block, Boxes, Bullets, Emphasized, Head, Item, Page, Rows, Section, Table
from carknocker.wording.record_lines import RecordLine

LINE_RULES: Rules = {RecordLine: keys("label", "text=written", "known", "owner_supplies")}
"""How record lines are written as JSON."""


class SheetSection(msgspec.Struct, frozen=True):
    """blanks: what is to be filled in by hand, a line each. tables: empty columns are to be filled in. notes: sentences
    below the lines."""

    heading: str
    lines: tuple[RecordLine, ...]
    notes: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()


class SheetAnswer(msgspec.Struct, frozen=True):
    """word: what sort of sheet it is, in capitals (`ORDER`), so that it can't be taken for a finding; may be empty.
    for_whom: the line under the title. head: of each sheet of paper."""

    title: str
    for_whom: str
    as_of: date
    sections: tuple[SheetSection, ...]
    word: str = ""
    head: Head | None = None

    @property
    def missing(self) -> int:
        """How many lines the record does not fill, of those that the owner can supply."""
        return sum(line.missing for section in self.sections for line in section.lines)


def sheet_page(answer: SheetAnswer) -> Page:
    """The page of a sheet: the line under the title says how much is missing."""
    count = answer.missing
    lack = "" if not count else f"; {count:,} line{'s are' if count != 1 else ' is'} not on record"
    said = f"{answer.for_whom}{lack}"
    verdict = Emphasized(answer.word, f": {said}") if answer.word else said
    sections = tuple(_section(section) for section in answer.sections)
    return Page(answer.title, verdict, "care" if count else "plain", sections, head=answer.head)


def _section(section: SheetSection) -> Section:
    blocks: list[Block | Item] = []
    if section.blanks:
        blocks.append(Blanks(tuple((label, "") for label in section.blanks)))
    if section.lines and all(line.box for line in section.lines):
        blocks.append(Boxes(tuple((line.label, line.text) for line in section.lines)))
    elif section.lines:
        rows = tuple(
            (line.label, Emphasized("MISSING", f": {line.text}") if line.missing else line.written)
            for line in section.lines
        )
        blocks.append(Rows(rows))
    blocks.extend(section.tables)
    if section.notes:
        blocks.append(Bullets(section.notes))
    return Section(section.heading[:1].upper() + section.heading[1:], tuple(blocks))


def sheet_json(format_name: str, answer: SheetAnswer) -> str:
    """A sheet as a JSON form of that name. Ends in a line feed."""
    rules = {**LINE_RULES, SheetAnswer: keys("title", "for_whom", "as_of", "sections", "word")}
    return answer_json(format_name, answer, rules)
