"""The greatest width of a text, since the font that a browser will show it in is not known. The typeface of a PDF is
never wider."""

import unicodedata
from collections.abc import Mapping
from functools import partial

from carknocker.page.drawings.text_fitting import broken_to_fit, cut_to_fit

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
    return cut_to_fit(text, room, partial(text_width, size=size, bold=bold))


def wrapped_lines(text: str, room: float, size: float = TEXT, *, bold: bool = False, most: int = 4) -> list[str]:
    """The text in lines no wider than the room; `broken_to_fit` says how, and what `most` is."""
    return broken_to_fit(text, room, partial(text_width, size=size, bold=bold), most)
