"""A page as the shell of the HTML file takes it: every text is HTML already, or is escaped there."""

import msgspec
from markupsafe import Markup

from carknocker.dossier.writing.page import Tone


class ShownEntry(msgspec.Struct, frozen=True):
    """The heading of an item. name: of its element, to be led to; empty where nothing leads to it."""

    name: str
    heading: Markup


class ShownSection(msgspec.Struct, frozen=True):
    """columns: whether it can be set in columns where it is set small."""

    name: str
    heading: Markup
    body: Markup
    folded: bool
    columns: bool


class ShownPage(msgspec.Struct, frozen=True):
    """word: the loud beginning of its verdict, empty where it has none; rest: what follows. brief: its numbered items,
    to be read in one look."""

    name: str
    title: str
    tone: Tone
    word: str
    rest: str
    brief: tuple[ShownEntry, ...]
    sections: tuple[ShownSection, ...]
    close: bool


class ShownLeaf(msgspec.Struct, frozen=True):
    said: Markup
    notes: list[Markup]
    under: "list[ShownLeaf]"
    struck: bool
