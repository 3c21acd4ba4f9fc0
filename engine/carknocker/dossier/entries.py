"""An entry of a list: a title and the lines under it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Entry:
    """title: what it is about. lines: what is to be said about it, each a sentence or a figure."""

    title: str
    lines: tuple[str, ...]
