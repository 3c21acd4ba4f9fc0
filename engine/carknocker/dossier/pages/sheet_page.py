"""A sheet for strangers as a page: labelled lines, each missing one said as missing."""

import re

from carknocker.dossier.writing.page import Block, Boxes, Bullets, Item, Page, Rows, Section
from carknocker.questions.sheets.sheet_model import SheetAnswer, SheetSection

_TO_FILL_IN = re.compile(r"\[ *\] *")


def sheet_page(answer: SheetAnswer) -> Page:
    """The page of a sheet: the title says how much is missing."""
    count = answer.missing
    lack = "" if not count else f"; {count:,} line{'s are' if count != 1 else ' is'} not on record"
    sections = tuple(_section(section) for section in answer.sections)
    return Page(answer.title, f"{answer.for_whom}{lack}", "care" if count else "plain", sections)


def _section(section: SheetSection) -> Section:
    blocks: list[Block | Item] = []
    if section.lines and all(_TO_FILL_IN.match(line.text) for line in section.lines):
        blocks.append(Boxes(tuple((line.label, _TO_FILL_IN.sub("", line.text, count=1)) for line in section.lines)))
    elif section.lines:
        rows = tuple((line.label, line.text if line.known else f"MISSING: {line.text}") for line in section.lines)
        blocks.append(Rows(rows))
    if section.notes:
        blocks.append(Bullets(section.notes))
    return Section(section.heading[:1].upper() + section.heading[1:], tuple(blocks))
