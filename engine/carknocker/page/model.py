"""A page as plain data, laid out but not yet written: what terminal, Markdown and HTML have in common.

Every text is plain: no markup, any character an owner may have written. Whoever writes the page escapes it.
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


class Loud(str):
    """A text whose beginning is said loud: in capitals everywhere, and strong where the medium can."""

    __slots__ = ("loud",)

    loud: str

    def __new__(cls, loud: str, rest: str = "") -> "Loud":
        text = super().__new__(cls, f"{loud}{rest}")
        text.loud = loud
        return text


class Paragraph(msgspec.Struct, frozen=True):
    """strong: to be noticed, where the medium can show it."""

    text: str
    strong: bool = False


class Rows(msgspec.Struct, frozen=True):
    """Labelled rows: `measured: 7/8 in`. A label may come several times."""

    rows: tuple[tuple[str, str], ...]


class Bullets(msgspec.Struct, frozen=True):
    items: tuple[str, ...]


class Box(msgspec.Struct, frozen=True):
    """What must be seen before all else: framed on a terminal, set off anywhere."""

    heading: str
    items: tuple[str, ...]


class Boxes(msgspec.Struct, frozen=True):
    """A box for each figure that is read on the spot: what is to be read, and all that helps to read it."""

    lines: tuple[tuple[str, str], ...]


class Blanks(msgspec.Struct, frozen=True):
    """A blank line for each thing that a person writes by hand: what it is (may be empty), and all that helps."""

    lines: tuple[tuple[str, str], ...]


class Leaf(msgspec.Struct, frozen=True):
    """A line of a tree. notes: further lines of its own. under: the lines that it rests on. struck: shown struck
    through, since it counts no longer."""

    text: str
    notes: tuple[str, ...] = ()
    under: "tuple[Leaf, ...]" = ()
    struck: bool = False


class Tree(msgspec.Struct, frozen=True):
    leaves: tuple[Leaf, ...]


class Table(msgspec.Struct, frozen=True):
    """caption: what the table shows; columns: the heading of each column; the first cell of a row heads the row."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class Drawing(msgspec.Struct, frozen=True):
    """name: unique on a page, lower case with hyphens. title: its caption. described: all that it shows, in words,
    for whoever cannot see it. svg: one complete <svg> element, every text in it escaped. width, height: in its own
    units."""

    name: str
    title: str
    described: str
    svg: str
    width: float = 1
    height: float = 1


Block = Paragraph | Rows | Bullets | Box | Boxes | Blanks | Tree | Table | Drawing


class Item(msgspec.Struct, frozen=True):
    """A headed piece of a section. number: 0 for none."""

    heading: str
    blocks: tuple[Block, ...]
    number: int = 0


class Section(msgspec.Struct, frozen=True):
    """folded: long, and of use to few: a page that can fold shows its heading alone until it is opened, and paper
    has it in small print."""

    heading: str
    blocks: tuple[Block | Item, ...]
    folded: bool = False


class Page(msgspec.Struct, frozen=True):
    """title: of the page. verdict: its one line that matters most. tone: how that is coloured, never the only sign.
    close: set close in print, so that it fits one sheet of paper where it can. brief: a page that one leafs through
    lists the headings of its numbered items under the verdict."""

    title: str
    verdict: str
    tone: Tone
    sections: tuple[Section, ...]
    close: bool = False
    brief: bool = False


class Entry(msgspec.Struct, frozen=True):
    """title: what it is about. lines: what is to be said about it, each a sentence or a figure."""

    title: str
    lines: tuple[str, ...]


def texts_of(sections: Iterable[Section]) -> Iterator[str]:
    """Every text that some sections show, in order."""
    for section in sections:
        yield section.heading
        for block in section.blocks:
            if isinstance(block, Item):
                yield block.heading
                for inner in block.blocks:
                    yield from _texts(inner)
            else:
                yield from _texts(block)


def _texts(block: Block) -> Iterator[str]:
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
        case Drawing(_, title, described):
            yield from (title, described)
        case _:
            yield from (text for leaf in block.leaves for text in _leaf_texts(leaf))


def _leaf_texts(leaf: Leaf) -> Iterator[str]:
    yield from (leaf.text, *leaf.notes)
    for under in leaf.under:
        yield from _leaf_texts(under)
