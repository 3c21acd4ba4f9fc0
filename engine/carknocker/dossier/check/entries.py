"""An entry of a list: a title and the lines under it."""

import msgspec


class Entry(msgspec.Struct, frozen=True):
    """title: what it is about. lines: what is to be said about it, each a sentence or a figure."""

    title: str
    lines: tuple[str, ...]
