"""The request as a page to be mailed: what the record does not say is a blank to be filled in by hand."""

from msgspec.structs import replace

from carknocker.page.model import Page
from carknocker.page.sheet import SheetAnswer, sheet_page
from carknocker.wording.record_lines import MISSING, RecordLine

BLANK = "____________________"


def request_page(answer: SheetAnswer) -> Page:
    """The page; its line under the title says how many blanks there are."""
    blanks = sum(_is_blank(line) for section in answer.sections for line in section.lines)
    told = f"{answer.for_whom}; {blanks} blank{'s' if blanks != 1 else ''} to fill in" if blanks else answer.for_whom
    sections = tuple(
        replace(section, lines=tuple(RecordLine(one.label, BLANK) if _is_blank(one) else one for one in section.lines))
        for section in answer.sections
    )
    return sheet_page(replace(answer, for_whom=told, sections=sections))


def _is_blank(line: RecordLine) -> bool:
    return not line.known and line.text == MISSING
