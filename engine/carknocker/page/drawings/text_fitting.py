"""Texts of a drawing cut or broken to fit a room, by whatever measure tells how wide a text is."""

import re
from collections.abc import Callable, Iterator
from typing import TypeAlias

from carknocker.documents.visible_text import one_line
from carknocker.page.wrapping import keep_figures_whole

Measure: TypeAlias = Callable[[str], float]
"""How wide a text is, in the units of the room."""

_AFTER_HYPHEN = re.compile(r"(?<=[^\W\d]-)(?=[^\W\d])")


def cut_to_fit(text: str, room: float, width: Measure) -> str:
    """The text on one line, cut with an ellipsis if it is wider than the room."""
    text = one_line(text)
    if width(text) <= room:
        return text
    while text and width(text + "…") > room:
        text = text[:-1].rstrip()
    return text + "…"


def broken_to_fit(text: str, room: float, width: Measure, most: int) -> list[str]:
    """The text in lines no wider than the room, broken between words; a word that is wider is broken after a hyphen,
    else cut.

    most: of lines; if there are more, the last one kept ends with an ellipsis.
    """
    lines: list[str] = []
    for piece, space in _pieces(keep_figures_whole(one_line(text)), room, width):
        joined = f"{lines[-1]}{space}{piece}" if lines else piece
        if lines and width(joined) <= room:
            lines[-1] = joined
        else:
            lines.append(cut_to_fit(piece, room, width))
    lines = [one_line(line) for line in lines]
    if len(lines) > most:
        lines = [*lines[: most - 1], cut_to_fit(f"{lines[most - 1]} …", room, width)]
    return lines


def _pieces(text: str, room: float, width: Measure) -> Iterator[tuple[str, str]]:
    """The pieces that must stay whole, each with the separator between it and the piece before."""
    for word in text.split(" "):
        if width(word) <= room:
            yield word, " "
            continue
        for number, part in enumerate(_AFTER_HYPHEN.split(word)):
            yield part, "" if number else " "
