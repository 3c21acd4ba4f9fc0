"""A page as text for a terminal. Styles (bold, color) are added by rich; the text reads the same without them."""

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Literal

import msgspec

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
from carknocker.page.wrapping import keep_figures_whole, wrap

_GAP = "  "
_LEAST = 8
_SHORT = 12
"""Letters of a cell that is not broken into lines, where there is room."""
_MOST_LINES_OF_A_CELL = 6


def table_lines(table: Table, width: int) -> Iterator[str]:
    """The caption on the first line unless the heading above says it, then the table, at most `width` characters
    wide."""
    if not table.headed:
        yield from wrap(table.caption, width)
    rows = [[one_line(cell) for cell in row] for row in table_rows(table)]
    columns = [one_line(column) for column in table.columns]
    widths = _widths([columns, *rows], width)
    if widths is None or any(_height(row, widths) > _MOST_LINES_OF_A_CELL for row in rows):
        for row in rows:
            yield from _by_itself(columns, row, width)
        return
    yield from _row(columns, widths)
    yield _GAP.join("-" * one for one in widths)
    for row in rows:
        yield from _row(row, widths)


def _widths(rows: Sequence[Sequence[str]], width: int) -> list[int] | None:
    """The width of each column. Those whose cells take the fewest lines are narrowed until all fit; None if a word
    would have to be broken."""
    cells = list(zip(*rows, strict=True))
    widths = [max(map(len, column), default=0) for column in cells]
    least = [
        max((len(word) for cell in column for word in keep_figures_whole(cell).split(" ")), default=0)
        for column in cells
    ]
    room = width - len(_GAP) * (len(widths) - 1)
    if sum(max(one, min(_LEAST, most)) for one, most in zip(least, widths, strict=True)) > room:
        return None
    longest = list(widths)
    unbroken = [max(one, min(_SHORT, most)) for one, most in zip(least, longest, strict=True)]
    least = unbroken if sum(unbroken) <= room else least
    while sum(widths) > room:
        wide = (number for number in range(len(widths)) if widths[number] > least[number])
        widths[min(wide, key=lambda number: longest[number] / (widths[number] - 1))] -= 1
    return widths


def _height(row: Sequence[str], widths: Sequence[int]) -> int:
    return max((len(wrap(cell, one)) for cell, one in zip(row, widths, strict=True)), default=0)


def _row(row: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    wrapped = [wrap(cell, width) for cell, width in zip(row, widths, strict=True)]
    for number in range(max(map(len, wrapped), default=0)):
        line = _GAP.join(
            (lines[number] if number < len(lines) else "").ljust(width)
            for lines, width in zip(wrapped, widths, strict=True)
        )
        yield line.rstrip()


def _by_itself(columns: Sequence[str], row: Sequence[str], width: int) -> Iterator[str]:
    """A row written as a list below its first cell; empty cells are left out."""
    yield from wrap(row[0], width, "- ", "  ")
    for column, cell in zip(columns[1:], row[1:], strict=True):
        if cell:
            yield from wrap(f"{column}: {cell}", width, "    ", "      ")


if TYPE_CHECKING:
    from rich.console import Console

LEAST_WIDTH = 80
MOST_WIDTH = 120
_LABEL_WIDTH = 10
_WIDE_LABEL = 24
_DEEPEST = 24

LineStyle = Literal["", "title", "good", "care", "bad", "plain", "heading", "item", "strong"]
_STYLES: dict[LineStyle, str] = {
    "title": "bold", "good": "bold green", "care": "bold yellow", "bad": "bold red", "plain": "bold",
    "heading": "bold underline", "item": "bold", "strong": "bold",
}  # fmt: skip


class Line(msgspec.Struct, frozen=True):
    text: str
    style: LineStyle = ""


def lines_of(page: Page, width: int = LEAST_WIDTH) -> tuple[Line, ...]:
    """The lines of a page. width: of the terminal, in characters; below 80, lines are 80 wide, above 120, 120."""
    return tuple(_page(page, max(LEAST_WIDTH, min(width, MOST_WIDTH))))


def text_of(page: Page, width: int = LEAST_WIDTH) -> str:
    """The page as plain text, ending in a line feed."""
    return "".join(f"{line.text}\n" for line in lines_of(page, width))


def print_page(page: Page, console: "Console") -> None:
    """Prints the page with rich: styles only where the console shows them (it honors NO_COLOR)."""
    from rich.text import Text

    for line in lines_of(page, console.width):
        console.print(Text(line.text, style=_STYLES.get(line.style, "")), soft_wrap=True, highlight=False)


def _page(page: Page, width: int) -> Iterator[Line]:
    for line in wrap(page.title, width):
        yield Line(line, "title")
    for line in wrap(page.verdict, width):
        yield Line(line, page.tone)
    yield from _block(Bullets(page.beside), width, "")
    for section in page.sections:
        yield Line("")
        yield from _section(section, width)


def _section(section: Section, width: int) -> Iterator[Line]:
    heading = one_line(section.heading)
    for line in wrap(heading.upper() if len(heading) < width else heading, width):
        yield Line(line, "heading")
    if section.lead:
        yield from _block(Paragraph(section.lead), width, "")
    for number, block in enumerate(section.blocks):
        if isinstance(block, Item):
            yield from _item(block, width, apart=number > 0 or bool(section.lead))
        else:
            yield from _block(block, width, "")


def _item(item: Item, width: int, *, apart: bool) -> Iterator[Line]:
    number = f"{item.number}. " if item.number else ""
    if item.number and apart:
        yield Line("")
    binds = f" ({item.binds})" if item.binds else ""
    for line in wrap(f"{item.heading}{binds}", width, number, " " * len(number)):
        yield Line(line, "item")
    indent = " " * max(len(number), 3)
    for block in (*item.blocks, *item.aside):
        yield from _block(block, width, indent)


def _block(given: Block, width: int, indent: str) -> Iterator[Line]:
    block = plain_block(given)
    match block:
        case Paragraph(text, strong):
            if strong:
                yield Line("")
            for line in wrap(text, width, indent, indent):
                yield Line(line, "strong" if strong else "")
        case Rows(rows):
            yield from _rows(rows, width, indent)
        case Bullets(items):
            for item in items:
                yield from (Line(line) for line in wrap(item, width, f"{indent}- ", f"{indent}  "))
        case Box(heading, items):
            yield from _box(heading, items, width - len(indent), indent)
        case Boxes(lines):
            yield from _block(Bullets(box_lines(lines)), width, indent)
        case Blanks(lines):
            yield from _rows(blank_rows(lines), width, indent)
        case Tree(leaves):
            for leaf in leaves:
                yield from _leaf(leaf, width, indent)
        case Table():
            for number, line in enumerate(table_lines(block, width - len(indent))):
                yield Line(f"{indent}{line}".rstrip(), "" if number else "strong")
        case FaultRows(faults, more):
            for fault in faults:
                begin = f"{indent}{fault.number}. "
                yield from (Line(line, "item") for line in wrap(fault_words(fault), width, begin, " " * len(begin)))
            yield from (Line(line) for line in (wrap(more, width, indent, indent) if more else ()))
        case Ticks():
            yield from _lines(tick_lines(block), width, indent)
        case Decisions():
            yield from _lines(decision_lines(block), width, indent)
        case Calendar():
            yield from _block(Bullets(calendar_lines(block)), width, indent)
        case Commands(commands):
            yield from _lines(commands, width, indent)
        case Picture(title):
            yield from (Line(line) for line in wrap(f"Photograph: {title}", width, indent, indent))
        case Drawing(_, title, described):
            yield from (Line(line) for line in wrap(f"Drawing: {title}. {described}", width, indent, indent))


def _lines(lines: Iterable[str], width: int, indent: str) -> Iterator[Line]:
    for line in lines:
        yield from (Line(one) for one in wrap(line, width, indent, f"{indent}    "))


def _box(heading: str, items: tuple[str, ...], width: int, indent: str) -> Iterator[Line]:
    inner = width - 4
    edge = f"{indent}+{'-' * (width - 2)}+"
    yield Line(edge)
    lines = [(line, "strong") for line in wrap(heading, inner)]
    lines.extend((line, "") for item in items for line in wrap(item, inner, "- ", "  "))
    for text, style in lines:
        yield Line(f"{indent}| {text.ljust(inner)} |", "strong" if style else "")
    yield Line(edge)


def _rows(rows: tuple[tuple[str, str], ...], width: int, indent: str) -> Iterator[Line]:
    """Labels in a column of their own, repeated ones left out. A label too long for the column stands before its
    text."""
    labels = [one_line(label) for label, _ in rows]
    widest = max((len(label) for label in labels), default=0)
    if widest > _WIDE_LABEL:
        for label, (_, text) in zip(labels, rows, strict=True):
            yield from (Line(line) for line in wrap(f"{label}: {text}", width, indent, f"{indent}   "))
        return
    column = max(widest, _LABEL_WIDTH)
    hanging = " " * (len(indent) + column + 2)
    before = None
    for label, (_, text) in zip(labels, rows, strict=True):
        shown = "" if label == before else label
        if max(map(len, text.split()), default=0) > width - len(
            hanging
        ):  # a word too long for the space beside the labels
            if shown:
                yield Line(f"{indent}{shown}")
            yield from (Line(line) for line in wrap(text, width, f"{indent}  ", f"{indent}  "))
        else:
            yield from (Line(line) for line in wrap(text, width, f"{indent}{shown.ljust(column)}  ", hanging))
        before = label


def _leaf(leaf: Leaf, width: int, indent: str) -> Iterator[Line]:
    struck = "[struck out] " if leaf.struck else ""
    deep = indent[:_DEEPEST]
    yield from (Line(line) for line in wrap(f"{struck}{leaf.text}", width, f"{deep}- ", f"{deep}  "))
    for note in leaf.notes:
        yield from (Line(line) for line in wrap(note, width, f"{deep}    ", f"{deep}      "))
    for under in leaf.under:
        yield from _leaf(under, width, f"{indent}  ")
