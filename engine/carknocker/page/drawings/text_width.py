"""How wide a text of a drawing is, in millimeters, in the typeface of the PDF; and texts cut or broken to fit a room.

The widths are written down here, since reading the font takes longer than a drawing. Kerning is left out: it makes
lines narrower. A browser without the typeface squeezes a line to the same width.
"""

import re
import unicodedata
from collections.abc import Mapping
from functools import partial

from carknocker.page.drawings.text_fitting import broken_to_fit, cut_to_fit

POINT = 25.4 / 72
"""Millimeters."""

TEXT = 9.0
"""Points: the size of figures and labels."""

SMALL = 8.0
"""Points: the size of notes."""

LEAST = 7.0
"""Points: no text is smaller."""


def _table(by_width: Mapping[int, str]) -> Mapping[str, int]:
    return {sign: width for width, signs in by_width.items() for sign in signs}


REGULAR = _table({
    200: " \u00a0", 241: "|", 246: "i", 247: "j", 249: "',.:;’·", 255: "l", 263: "I", 289: "!", 292: "f",
    303: "()[]{}", 311: "-", 331: "°", 338: "t", 347: "r", 350: "/\\", 418: "*", 419: "s", 425: '"?z“”', 446: "x",
    456: "c", 467: "vy", 476: "Y", 480: "J–", 486: "L", 494: "F", 495: "k", 496: "e", 497: "#$+0123456789<=>^~×−≤≥±",
    500: "_", 504: "ag", 513: "X", 515: "V", 527: "E", 534: "S", 536: "T", 539: "Z", 542: "`o", 544: "Ahu", 547: "n",
    553: "b", 555: "dpq", 566: "P", 569: "R", 571: "C", 579: "K", 588: "B", 609: "&", 615: "D", 617: "G", 619: "→←",
    645: "U", 647: "N", 652: "H", 664: "OQ", 718: "w", 727: "M", 786: "W", 800: "—", 824: "%", 829: "m", 847: "@",
    948: "…",
})  # fmt: skip
BOLD = _table({
    200: " \u00a0", 268: "|", 276: "i", 278: "j", 286: "l", 300: "',.:;’·", 301: "I", 332: "-", 339: "/\\", 340: "!",
    341: "f", 344: "()[]{}", 365: "°", 383: "t", 398: "r", 443: "s", 457: "*", 460: "z", 463: "?", 467: "c", 480: "–",
    500: "_", 509: "J", 514: "x", 518: "Le", 521: "y", 523: "v", 524: "F", 525: "Y", 527: "a",
    528: "#$+0123456789<=>^~×−≤≥±", 534: "g", 536: '"“”', 541: "Z", 548: "Ek", 555: "`o", 556: "STV", 567: "X",
    568: "u", 571: "h", 572: "n", 573: "Abdpq", 582: "C", 596: "P", 605: "B", 613: "R", 614: "K", 617: "→←", 635: "D",
    638: "G", 665: "NU", 667: "&", 674: "H", 684: "OQ", 762: "M", 776: "w", 800: "—", 813: "W", 857: "%m", 903: "@",
    977: "…",
})  # fmt: skip
"""Advance widths of Source Sans Pro in thousandths of the size."""

_OTHER = 1100
FRACTION = re.compile(r"(?<![\w/.])(?:\d+-)?\d{1,2}/(?:2|4|8|16|32|64)(?![\w/]|\.\d)")
_SPARE = 1.14
"""A line with a fraction can't be squeezed without harm: it is left room for a wider face, and for the size in which
fractions are set."""


def text_width(text: str, size: float = TEXT, *, bold: bool = False) -> float:
    """The most that the text takes, in millimeters. size: in points."""
    widths = BOLD if bold else REGULAR
    thousandths = sum(widths.get(sign) or _width(sign) for sign in text)
    return thousandths * size * POINT / 1000 * (_SPARE if FRACTION.search(text) else 1.0)


def _width(sign: str) -> int:
    return 0 if unicodedata.combining(sign) else _OTHER


def shortened(text: str, room: float, size: float = TEXT, *, bold: bool = False) -> str:
    """The text on one line, cut with an ellipsis if it is wider than the room."""
    return cut_to_fit(text, room, partial(text_width, size=size, bold=bold))


def wrapped_lines(text: str, room: float, size: float = TEXT, *, bold: bool = False, most: int = 4) -> list[str]:
    """The text in lines no wider than the room; `broken_to_fit` says how, and what `most` is."""
    return broken_to_fit(text, room, partial(text_width, size=size, bold=bold), most)
