"""A page as plain data, laid out but not yet written: what terminal, Markdown and HTML have in common.

Every text is plain: no markup, any character an owner may have written. Whoever writes the page escapes it.
"""

from dataclasses import dataclass
from typing import Literal

Tone = Literal["good", "care", "bad", "plain"]


@dataclass(frozen=True, slots=True)
class Paragraph:
    """strong: to be noticed, where the medium can show it."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Rows:
    """Labelled rows: `measured: 7/8 in`. A label may come several times."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Bullets:
    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Leaf:
    """A line of a tree. notes: further lines of its own. under: the lines that it rests on. struck: shown struck
    through, since it counts no longer."""

    text: str
    notes: tuple[str, ...] = ()
    under: "tuple[Leaf, ...]" = ()
    struck: bool = False


@dataclass(frozen=True, slots=True)
class Tree:
    leaves: tuple[Leaf, ...]


Block = Paragraph | Rows | Bullets | Tree


@dataclass(frozen=True, slots=True)
class Item:
    """A headed piece of a section. number: 0 for none."""

    heading: str
    blocks: tuple[Block, ...]
    number: int = 0


@dataclass(frozen=True, slots=True)
class Section:
    heading: str
    blocks: tuple[Block | Item, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """title: of the page. verdict: its one line that matters most. tone: how that is coloured, never the only sign."""

    title: str
    verdict: str
    tone: Tone
    sections: tuple[Section, ...]
