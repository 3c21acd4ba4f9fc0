"""A page as plain data, laid out but not yet written: the common form behind terminal, Markdown, HTML and PDF.

Every text is plain, with no markup, and may hold any character that an owner wrote. Each writer escapes it.
"""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Literal

import msgspec

from carknocker.judgement.model import Outcome
from carknocker.page.reading_grid import ReadingGrid, TickFrames

Tone = Literal["good", "care", "bad", "plain"]

TONES: dict[Outcome, Tone] = {
    "ready": "good",
    "ready with restrictions": "care",
    "repair move only": "care",
    "not ready": "bad",
}


def tone_of(outcome: Outcome, *, complete: bool) -> Tone:
    """complete: whether all law that binds is at hand. Where it is not, no outcome is good without care."""
    tone = TONES[outcome]
    return tone if complete or tone != "good" else "care"


class Emphasized(str):
    """A text with an emphasized beginning: in capitals everywhere, and in strong type where the medium has it."""

    __slots__ = ("loud",)

    loud: str

    def __new__(cls, loud: str, rest: str = "") -> "Emphasized":
        text = super().__new__(cls, f"{loud}{rest}")
        text.loud = loud
        return text


class Noted(str):
    """A text with a note at its end, of less weight: in brackets everywhere, and as a line of its own in small soft
    type where the medium has it. said: the text without the note."""

    __slots__ = ("note", "said")

    said: str
    note: str

    def __new__(cls, said: str, note: str = "") -> "Noted":
        text = super().__new__(cls, f"{said} ({note})" if note else said)
        text.said, text.note = said, note
        return text


class ToWrite(str):
    """What the record lacks: on paper a line to write on, with this text beside it; elsewhere the text alone."""

    __slots__ = ()


NOT_ON_FILE = "not on file"
"""Of a paper or a fact that the record lacks."""


class Paragraph(msgspec.Struct, frozen=True):
    """strong: set in strong type, where the medium has it."""

    text: str
    strong: bool = False


class Rows(msgspec.Struct, frozen=True):
    """Labelled rows: `measured: 7/8 in`. A label may occur several times. facts: short ones, set close together."""

    rows: tuple[tuple[str, str], ...]
    facts: bool = False


class Bullets(msgspec.Struct, frozen=True):
    items: tuple[str, ...]


class Box(msgspec.Struct, frozen=True):
    """What must be read before all else: framed on a terminal, set apart in other media."""

    heading: str
    items: tuple[str, ...]


class Boxes(msgspec.Struct, frozen=True):
    """A box to fill in for each figure read on the spot. Each line: what to read, and notes that help to read it.
    ticks: they are only ticked, so that small ones do."""

    lines: tuple[tuple[str, str], ...]
    ticks: bool = False


class Blanks(msgspec.Struct, frozen=True):
    """A blank line for each thing to be written by hand. Each: what it is (may be empty), and notes that help.
    beside: they stand beside each other on paper."""

    lines: tuple[tuple[str, str], ...]
    beside: bool = False


class Leaf(msgspec.Struct, frozen=True):
    """A line of a tree. notes: further lines of its own. under: the lines that support it. struck: struck through,
    because it no longer counts."""

    text: str
    notes: tuple[str, ...] = ()
    under: "tuple[Leaf, ...]" = ()
    struck: bool = False


class Tree(msgspec.Struct, frozen=True):
    leaves: tuple[Leaf, ...]


ColumnKind = Literal["text", "number", "tick", "line"]
"""`number`: set at the right. `tick`, `line`: empty, to be ticked or written on by hand."""


class Table(msgspec.Struct, frozen=True):
    """caption: what the table shows. columns: the heading of each column. The first cell of a row is the heading of the
    row.

    kinds: of the columns; empty if all are texts. strong: which rows, counted from 0, are set in strong type. headed:
    the heading above says what the caption says, so that only who hears the page is told it.
    """

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    kinds: tuple[ColumnKind, ...] = ()
    strong: tuple[int, ...] = ()
    headed: bool = False

    def kind(self, column: int) -> ColumnKind:
        """The kind of a column, counted from 0."""
        return self.kinds[column] if self.kinds else "text"


Binds = Literal["", "law", "practice", "host"]
"""Whose rule it is: the law's, which binds every move; that of the trade's practice; the host's. Empty: not said."""


class FaultRow(msgspec.Struct, frozen=True):
    """One fault in one line. part: what it is on. says: what is wrong. cite: where the rule stands, in short."""

    number: int
    part: str
    says: str
    binds: Binds = ""
    cite: str = ""


class FaultRows(msgspec.Struct, frozen=True):
    """The faults, each with a link to what is said of it further on. more: how many there are beyond these, and where;
    empty if there are none."""

    lines: tuple[FaultRow, ...]
    more: str = ""


class Tick(msgspec.Struct, frozen=True):
    """on: filled, since it is there; else an empty box that someone may tick."""

    text: str
    on: bool


class Ticks(msgspec.Struct, frozen=True):
    """Small boxes, filled and empty. means: what a filled and what an empty one means; empty texts where all are to be
    ticked. columns: beside each other on a wide medium."""

    ticks: tuple[Tick, ...]
    means: tuple[str, str]
    columns: int = 3


class Decisions(msgspec.Struct, frozen=True):
    """Boxes of which one is ticked and signed by hand, never by the program. lines: what is written in each. signed:
    who signs before, in a box without a tick; empty for nobody. signed_lines: what is written there."""

    heads: tuple[str, ...]
    lines: tuple[str, ...]
    signed: str = ""
    signed_lines: tuple[str, ...] = ()


class Span(msgspec.Struct, frozen=True):
    """Some days in sequence. under_way: whether the car moves on them."""

    text: str
    first: date
    last: date
    under_way: bool


class CalendarRow(msgspec.Struct, frozen=True):
    """What is due on which days. note: on which part, by whom, where it is said."""

    title: str
    note: str
    days: tuple[date, ...]


class Calendar(msgspec.Struct, frozen=True):
    """Duties by day: a box to tick for each. days: all of them, in sequence."""

    caption: str
    days: tuple[date, ...]
    spans: tuple[Span, ...]
    rows: tuple[CalendarRow, ...]


class Commands(msgspec.Struct, frozen=True):
    """Commands to type, each on a line."""

    lines: tuple[str, ...]


class Drawing(msgspec.Struct, frozen=True):
    """name: unique on a page; lower case with hyphens. title: its caption. described: what decides of what it shows, in
    words, for a reader who can't see it. svg: one complete <svg> element with every text escaped. width, height: in
    millimeters, as it is printed. narrow: the same for a screen that is too narrow for it. headed: on paper the heading
    above says what its title says."""

    name: str
    title: str
    described: str
    svg: str
    width: float = 1
    height: float = 1
    narrow: "Drawing | None" = None
    headed: bool = False


class Picture(msgspec.Struct, frozen=True):
    """A photograph. title: its caption. described: what it is of, in words, for a reader who can't see it. jpeg: a
    whole JPEG file, made by ourselves. width, height: in pixels."""

    title: str
    described: str
    jpeg: bytes
    width: int
    height: int


Block = (
    Paragraph
    | Rows
    | Bullets
    | Box
    | Boxes
    | Blanks
    | Tree
    | Table
    | FaultRows
    | Ticks
    | Decisions
    | Calendar
    | Commands
    | Drawing
    | Picture
    | ReadingGrid
    | TickFrames
)


def plain_block(block: Block) -> Block:
    """The block as a medium shows it that has no frames to write in: a grid of readings as a table, frames as boxes."""
    if isinstance(block, ReadingGrid):
        return _table_of(block)
    return _boxes_of(block) if isinstance(block, TickFrames) else block


def _table_of(grid: ReadingGrid) -> Table:
    """A grid of readings as a table."""
    columns = tuple(column for head in grid.heads for column in head.columns)
    limit = ("limit",) if grid.limited else ()
    rows = tuple((row.words, *((row.limit_words,) if limit else ()), *("" for _ in columns)) for row in grid.rows)
    return Table(grid.captioned, ("what and how", *limit, *columns), rows)


def _boxes_of(frames: TickFrames) -> Boxes:
    """Frames with a box to tick as a list of boxes."""
    lines = ((f"{tick.number}. {tick.heading}", one.told) for one in frames.frames for tick in one.ticks)
    return Boxes(tuple(lines), ticks=True)


class Item(msgspec.Struct, frozen=True):
    """A part of a section with its own heading. number: 0 for none. binds: whose rule it is, beside the number. aside:
    what stands at its right on a wide medium. half: two of these in sequence stand beside each other on one."""

    heading: str
    blocks: tuple[Block, ...]
    number: int = 0
    binds: Binds = ""
    aside: tuple[Block, ...] = ()
    half: bool = False


class Section(msgspec.Struct, frozen=True):
    """folded: HTML shows only its heading until a reader opens it; paper has it in small print, but on a finding.

    sheet: on paper it begins a new sheet, with its heading as that sheet's title. lead: one sentence under the heading
    that says what it is. half: two of these in sequence stand beside each other on a wide medium. foot: on paper it
    stands at the foot of the sheet. alone: no other section shares its sheet, even where there is room. counted: what a
    reader is told beside the heading of a folded section. gives_way: what stands in its place on paper where the page
    would have more sheets than it may, with the turn at which it does, the lowest first.
    """

    heading: str
    blocks: tuple[Block | Item, ...]
    folded: bool = False
    sheet: bool = False
    lead: str = ""
    half: bool = False
    foot: bool = False
    alone: bool = False
    counted: str = ""
    gives_way: "tuple[tuple[int, tuple[Block | Item, ...]], ...]" = ()


class OutcomeBar(msgspec.Struct, frozen=True):
    """The outcome of one car, drawn the heavier the worse it is. word: as `NOT READY`. why: one sentence. limit: what
    restricts the car, one sentence, or empty."""

    outcome: Outcome
    word: str
    why: str
    limit: str = ""


class Head(msgspec.Struct, frozen=True):
    """What the head of every sheet says, so that loose sheets can't be mixed up. name: of the car. told: the day, the
    host and the dates of the move. digest: the first signs of what the page was made from. numbered: what stands
    before the number of a sheet, as `A-`."""

    name: str
    told: str
    digest: str
    numbered: str = ""


class Page(msgspec.Struct, frozen=True):
    """title: of the page. verdict: its most important line. tone: the color of the verdict, never the only signal.
    beside: what stands directly under the verdict, one short sentence each. lean: on paper the head of each sheet has
    the word of the verdict, and what is beside it is one line under the title. close: set tightly in print, to fit one
    sheet if it can. brief: whether the headings of its numbered items are listed under the verdict.

    head: of its sheets; None: its title and the word of its verdict. bar: the outcome, where the page is the finding on
    a car: it stands in the place of the verdict, and alone is reversed, so that no plan, order or worksheet looks like
    a finding. above: a short line above the title. dated: one at its right. foot: at the foot of every sheet.
    most_sheets: of paper; 0 for as many as it takes. flowing: on paper its sections follow each other without a new
    sheet for each.
    """

    title: str
    verdict: str
    tone: Tone
    sections: tuple[Section, ...]
    close: bool = False
    lean: bool = False
    brief: bool = False
    beside: tuple[str, ...] = ()
    head: Head | None = None
    bar: OutcomeBar | None = None
    above: str = ""
    dated: str = ""
    foot: str = ""
    most_sheets: int = 0
    flowing: bool = False


class Entry(msgspec.Struct, frozen=True):
    """title: what it is about. lines: what is said about it, each a sentence or a figure."""

    title: str
    lines: tuple[str, ...]


def texts_of(sections: Iterable[Section]) -> Iterator[str]:
    """Every text in these sections, in order."""
    for section in sections:
        yield section.heading
        if section.lead:
            yield section.lead
        for block in section.blocks:
            if isinstance(block, Item):
                yield block.heading
                for inner in (*block.blocks, *block.aside):
                    yield from texts_of_block(inner)
            else:
                yield from texts_of_block(block)


def texts_of_block(block: Block) -> Iterator[str]:
    """Every text in a block, in order."""
    match plain_block(block):
        case Paragraph(text):
            yield text
        case Rows(rows) | Boxes(rows) | Blanks(rows):
            yield from (text for row in rows for text in row)
        case Bullets(items):
            yield from items
        case Box(heading, items):
            yield from (heading, *items)
        case Table(caption, columns, rows):
            yield from (caption, *columns, *(cell for row in rows for cell in row))
        case FaultRows(lines, more):
            yield from (text for line in lines for text in (line.part, line.says, line.cite))
            yield from (more,) if more else ()
        case Ticks(ticks, means):
            yield from (*(tick.text for tick in ticks), *means)
        case Decisions(heads, lines, signed, signed_lines):
            yield from (*filter(None, (signed, *signed_lines)), *heads, *lines)
        case Calendar(caption, _, spans, rows):
            yield from (caption, *(span.text for span in spans))
            yield from (text for row in rows for text in (row.title, row.note))
        case Commands(lines):
            yield from lines
        case Drawing(_, title, described) | Picture(title, described):
            yield from (title, described)
        case Tree(leaves):
            yield from (text for leaf in leaves for text in _leaf_texts(leaf))


def _leaf_texts(leaf: Leaf) -> Iterator[str]:
    yield from (leaf.text, *leaf.notes)
    for under in leaf.under:
        yield from _leaf_texts(under)
