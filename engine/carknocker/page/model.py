"""A page as plain data, laid out but not yet written: the common form behind terminal, Markdown, HTML and PDF.

Every text is plain, with no markup, and may hold any character that an owner wrote. Each writer escapes it.
"""

from collections.abc import Iterable, Iterator
from typing import Literal

import msgspec

from carknocker.judgement.model import Outcome

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


class Paragraph(msgspec.Struct, frozen=True):
    """strong: set in strong type, where the medium has it."""

    text: str
    strong: bool = False


class Rows(msgspec.Struct, frozen=True):
    """Labelled rows: `measured: 7/8 in`. A label may occur several times."""

    rows: tuple[tuple[str, str], ...]


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


class Table(msgspec.Struct, frozen=True):
    """caption: what the table shows. columns: the heading of each column. The first cell of a row is the heading of the
    row."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class Drawing(msgspec.Struct, frozen=True):
    """name: unique on a page; lower case with hyphens. title: its caption. described: what decides of what it shows, in
    words, for a reader who can't see it. svg: one complete <svg> element with every text escaped. width, height: in
    millimeters, as it is printed. narrow: the same for a screen that is too narrow for it."""

    name: str
    title: str
    described: str
    svg: str
    width: float = 1
    height: float = 1
    narrow: "Drawing | None" = None


class Picture(msgspec.Struct, frozen=True):
    """A photograph. title: its caption. described: what it is of, in words, for a reader who can't see it. jpeg: a
    whole JPEG file, made by ourselves. width, height: in pixels."""

    title: str
    described: str
    jpeg: bytes
    width: int
    height: int


Block = Paragraph | Rows | Bullets | Box | Boxes | Blanks | Tree | Table | Drawing | Picture


class Item(msgspec.Struct, frozen=True):
    """A part of a section with its own heading. number: 0 for none."""

    heading: str
    blocks: tuple[Block, ...]
    number: int = 0


class Section(msgspec.Struct, frozen=True):
    """folded: long, and of use to few. HTML shows only its heading until a reader opens it; paper has it in small
    print."""

    heading: str
    blocks: tuple[Block | Item, ...]
    folded: bool = False


class Page(msgspec.Struct, frozen=True):
    """title: of the page. verdict: its most important line. tone: the color of the verdict, never the only signal.
    beside: what stands directly under the verdict, one short sentence each. close: set tightly in print, to fit one
    sheet if it can. brief: whether the headings of its numbered items are listed under the verdict."""

    title: str
    verdict: str
    tone: Tone
    sections: tuple[Section, ...]
    close: bool = False
    brief: bool = False
    beside: tuple[str, ...] = ()


class Entry(msgspec.Struct, frozen=True):
    """title: what it is about. lines: what is said about it, each a sentence or a figure."""

    title: str
    lines: tuple[str, ...]


def texts_of(sections: Iterable[Section]) -> Iterator[str]:
    """Every text in these sections, in order."""
    for section in sections:
        yield section.heading
        for block in section.blocks:
            if isinstance(block, Item):
                yield block.heading
                for inner in block.blocks:
                    yield from texts_of_block(inner)
            else:
                yield from texts_of_block(block)


def texts_of_block(block: Block) -> Iterator[str]:
    """Every text in a block, in order."""
    match block:
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
        case Drawing(_, title, described) | Picture(title, described):
            yield from (title, described)
        case _:
            yield from (text for leaf in block.leaves for text in _leaf_texts(leaf))


def _leaf_texts(leaf: Leaf) -> Iterator[str]:
    yield from (leaf.text, *leaf.notes)
    for under in leaf.under:
        yield from _leaf_texts(under)
