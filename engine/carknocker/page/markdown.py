"""A page as Markdown. Every text is escaped, so that nothing an owner wrote is read as markup."""

import re
from collections.abc import Iterator, Sequence

from carknocker.documents.visible_text import one_line
from carknocker.page.model import (
    Blanks,
    Block,
    Box,
    Boxes,
    Bullets,
    Calendar,
    Commands,
    Decisions,
    Drawing,
    FaultRows,
    Item,
    Leaf,
    Page,
    Paragraph,
    Picture,
    Rows,
    Section,
    Table,
    Ticks,
    Tree,
    plain_block,
)
from carknocker.page.plain_lines import (
    blank_rows,
    box_lines,
    calendar_lines,
    decision_lines,
    fault_words,
    table_rows,
    tick_lines,
)

_ANYWHERE = re.compile(r"([\\`*_{}\[\]<>&|~$^])")
_AT_THE_START = re.compile(r"^([#+\-=>:!])")
_NUMBERED = re.compile(r"^(\d{1,9})([.)])")


def escape(text: str) -> str:
    """The text as Markdown that shows exactly this text on one line, anywhere in a document."""
    escaped = _ANYWHERE.sub(r"\\\1", one_line(text))
    escaped = _AT_THE_START.sub(r"\\\1", escaped)
    return _NUMBERED.sub(r"\1\\\2", escaped)


def markdown_of(page: Page) -> str:
    """The page as Markdown (CommonMark, with the tables that most readers of it know), ending in a line feed."""
    return "\n".join(_page(page)).rstrip("\n") + "\n"


def _page(page: Page) -> Iterator[str]:
    yield from (f"# {escape(page.title)}", "", _strong(page.verdict), "")
    if page.beside:
        yield from _block(Bullets(page.beside))
    for section in page.sections:
        yield from _section(section)


def _section(section: Section) -> Iterator[str]:
    yield from (f"## {escape(section.heading)}", "")
    if section.lead:
        yield from (escape(section.lead), "")
    for block in section.blocks:
        if isinstance(block, Item):
            number = f"{block.number}\\. " if block.number else ""
            binds = f" ({block.binds})" if block.binds else ""
            yield from (f"### {number}{escape(block.heading)}{binds}", "")
            for inner in (*block.blocks, *block.aside):
                yield from _block(inner)
        else:
            yield from _block(block)


def _strong(text: str) -> str:
    escaped = escape(text)
    return f"**{escaped}**" if escaped else ""


def block_markdown(block: Block) -> str:
    """One block by itself."""
    return "\n".join(_block(block))


def _block(given: Block) -> Iterator[str]:
    block = plain_block(given)
    match block:
        case Paragraph(text, strong):
            yield _strong(text) if strong else escape(text)
        case Rows(rows):
            for label, text in rows:
                yield f"- **{escape(label)}:** {escape(text)}"
        case Bullets(items):
            yield from (f"- {escape(item)}" for item in items)
        case Box(heading, items):
            yield from (f"> {_strong(heading)}", ">")
            yield from (f"> - {escape(item)}" for item in items)
        case Boxes(lines):
            yield from (f"- {escape(line)}" for line in box_lines(lines))
        case Blanks(lines):
            for label, text in blank_rows(lines):
                yield f"- **{escape(label)}:** {escape(text)}" if one_line(label) else f"- {escape(text)}"
        case Tree(leaves):
            for leaf in leaves:
                yield from _leaf(leaf, "")
        case Table(caption):
            yield from () if block.headed else (_strong(caption), "")
            yield from table_markdown(block)
        case FaultRows(faults, more):
            yield from (f"- {fault.number}\\. {escape(fault_words(fault))}" for fault in faults)
            yield from ("", escape(more)) if more else ()
        case Ticks():
            yield from (f"- {escape(line)}" for line in tick_lines(block))
        case Decisions():
            yield from (f"- {escape(line)}" for line in decision_lines(block))
        case Calendar():
            yield from (f"- {escape(line)}" for line in calendar_lines(block))
        case Commands(commands):
            yield from (f"- {escape(line)}" for line in commands)
        case Picture(title):
            yield f"Photograph: {escape(title)}"
        case Drawing(_, title, described):
            yield f"{_strong(title)}: {escape(described)}"
    yield ""


def table_markdown(table: Table) -> Iterator[str]:
    """The lines of a table, without its caption."""
    yield _cells(table.columns)
    yield _cells(("---",) * len(table.columns), escaped=True)
    for row in table_rows(table):
        yield _cells(row)


def _cells(cells: Sequence[str], *, escaped: bool = False) -> str:
    return f"| {' | '.join(cell if escaped else escape(cell) for cell in cells)} |"


def _leaf(leaf: Leaf, indent: str) -> Iterator[str]:
    text = escape(leaf.text)
    yield f"{indent}- ~~{text}~~ (struck out)" if leaf.struck and text else f"{indent}- {text}"
    yield from (f"{indent}  - {escape(note)}" for note in leaf.notes)
    for under in leaf.under:
        yield from _leaf(under, f"{indent}  ")
