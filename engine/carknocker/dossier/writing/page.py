"""A page as plain data, laid out but not yet written: what terminal, Markdown and HTML have in common.

Every text is plain: no markup, any character an owner may have written. Whoever writes the page escapes it.
"""

from typing import Literal

import msgspec

Tone = Literal["good", "care", "bad", "plain"]


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


class Leaf(msgspec.Struct, frozen=True):
    """A line of a tree. notes: further lines of its own. under: the lines that it rests on. struck: shown struck
    through, since it counts no longer."""

    text: str
    notes: tuple[str, ...] = ()
    under: "tuple[Leaf, ...]" = ()
    struck: bool = False


class Tree(msgspec.Struct, frozen=True):
    leaves: tuple[Leaf, ...]


Block = Paragraph | Rows | Bullets | Box | Tree


class Item(msgspec.Struct, frozen=True):
    """A headed piece of a section. number: 0 for none."""

    heading: str
    blocks: tuple[Block, ...]
    number: int = 0


class Section(msgspec.Struct, frozen=True):
    heading: str
    blocks: tuple[Block | Item, ...]


class Page(msgspec.Struct, frozen=True):
    """title: of the page. verdict: its one line that matters most. tone: how that is coloured, never the only sign."""

    title: str
    verdict: str
    tone: Tone
    sections: tuple[Section, ...]
