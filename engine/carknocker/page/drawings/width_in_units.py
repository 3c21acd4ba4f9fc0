"""The greatest width of a text, since the font that a browser will show it in is not known. The typeface of a PDF is
never wider."""

import re
import unicodedata
from collections.abc import Iterator, Mapping

from carknocker.documents.visible_text import one_line
from carknocker.page.wrapping import keep_figures_whole

TEXT = 12.0
"""Font size of a drawing's text, in its own units: 360 units are the width of a page on a phone."""

SMALL = 11.5
"""Font size of notes beside and below."""

_BOLD = 1.12
_WIDTHS: Mapping[str, float] = {
    **dict.fromkeys("ijl'|,.:;! \u00a0", 0.34),
    **dict.fromkeys("ftrI()[]-/\\°", 0.46),
    **dict.fromkeys('cksvxyzJ*?_“”’"`', 0.6),
    **dict.fromkeys("abdeghnopqu0123456789LFETPS$", 0.645),
    **dict.fromkeys("ABCKRUVXYZDGHNOQ&", 0.79),
    **dict.fromkeys("+<>=~^#×−≤≥–→←", 0.84),
    **dict.fromkeys("wmM—…", 1.0),
    **dict.fromkeys("W%@", 1.0),
}  # em; DejaVu Sans, the widest of the fallback fonts
_OTHER = 1.02
_AFTER_HYPHEN = re.compile(r"(?<=[^\W\d]-)(?=[^\W\d])")
_FULL = 1.05


def text_width(text: str, size: float = TEXT, *, bold: bool = False) -> float:
    """The most that the text takes, in drawing units."""
    width = sum(_WIDTHS.get(char) or _width(char) for char in text) * size
    return width * _BOLD if bold else width


def _width(char: str) -> float:
    if unicodedata.combining(char):
        return 0.0
    return _FULL if unicodedata.east_asian_width(char) in "WF" or ord(char) > 0x2FFF else _OTHER


def shortened(text: str, room: float, size: float = TEXT, *, bold: bool = False) -> str:
    """The text on one line, cut with an ellipsis if it is wider than the room."""
    text = one_line(text)
    if text_width(text, size, bold=bold) <= room:
        return text
    while text and text_width(text + "…", size, bold=bold) > room:
        text = text[:-1].rstrip()
    return text + "…"


def wrapped_lines(text: str, room: float, size: float = TEXT, *, bold: bool = False, most: int = 4) -> list[str]:
    """The text in lines no wider than the room, broken between words; a word that is wider is broken after a hyphen,
    else cut.

    most: of lines; if there are more, the last one kept ends with an ellipsis.
    """
    lines: list[str] = []
    for piece, space in _pieces(keep_figures_whole(one_line(text)), room, size, bold):
        joined = f"{lines[-1]}{space}{piece}" if lines else piece
        if lines and text_width(joined, size, bold=bold) <= room:
            lines[-1] = joined
        else:
            lines.append(shortened(piece, room, size, bold=bold))
    lines = [one_line(line) for line in lines]
    if len(lines) > most:
        lines = [*lines[: most - 1], shortened(f"{lines[most - 1]} …", room, size, bold=bold)]
    return lines


def _pieces(text: str, room: float, size: float, bold: bool) -> Iterator[tuple[str, str]]:
    """The pieces that must stay whole, each with the separator between it and the piece before."""
    for word in text.split(" "):
        if text_width(word, size, bold=bold) <= room:
            yield word, " "
            continue
        for number, part in enumerate(_AFTER_HYPHEN.split(word)):
            yield part, "" if number else " "
