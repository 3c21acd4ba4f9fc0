"""A sheet for people outside the owner's shop, as plain data: sections of labelled lines. A line that the record does
not fill says so."""

from datetime import date

import msgspec

from carknocker.page.json_encoder import Rules, answer_json, keys
from carknocker.page.model import Block, Boxes, Bullets, Emphasized, Item, Page, Rows, Section
from carknocker.wording.record_lines import RecordLine

LINE_RULES: Rules = {RecordLine: keys("label", "text=written", "known")}
"""How record lines are written as JSON."""


class SheetSection(msgspec.Struct, frozen=True):
    """notes: sentences below the lines."""

    heading: str
    lines: tuple[RecordLine, ...]
    notes: tuple[str, ...] = ()


class SheetAnswer(msgspec.Struct, frozen=True):
    """for_whom: the line under the title."""

    title: str
    for_whom: str
    as_of: date
    sections: tuple[SheetSection, ...]

    @property
    def missing(self) -> int:
        """How many lines the record does not fill."""
        return sum(not line.known for section in self.sections for line in section.lines)


def sheet_page(answer: SheetAnswer) -> Page:
    """The page of a sheet: the title says how much is missing."""
    count = answer.missing
    lack = "" if not count else f"; {count:,} line{'s are' if count != 1 else ' is'} not on record"
    sections = tuple(_section(section) for section in answer.sections)
    return Page(answer.title, f"{answer.for_whom}{lack}", "care" if count else "plain", sections)


def _section(section: SheetSection) -> Section:
    blocks: list[Block | Item] = []
    if section.lines and all(line.box for line in section.lines):
        blocks.append(Boxes(tuple((line.label, line.text) for line in section.lines)))
    elif section.lines:
        rows = tuple(
            (line.label, line.written if line.known else Emphasized("MISSING", f": {line.text}"))
            for line in section.lines
        )
        blocks.append(Rows(rows))
    if section.notes:
        blocks.append(Bullets(section.notes))
    return Section(section.heading[:1].upper() + section.heading[1:], tuple(blocks))


def sheet_json(format_name: str, answer: SheetAnswer) -> str:
    """A sheet as a JSON form of that name. Ends in a line feed."""
    return answer_json(format_name, answer, LINE_RULES)
