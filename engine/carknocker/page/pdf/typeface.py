"""The one typeface of a PDF, Source Sans Pro: its files, the characters it has, how wide they are."""

import shutil
import unicodedata
from collections.abc import Mapping
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import msgspec

FAMILY = "Source Sans Pro"
WEIGHTS = ("Regular", "Semibold", "Bold", "Black")
"""Those that a PDF is set in."""
_EM = 1000


class NoTypeface(Exception):
    """The files of the typeface are not installed."""


class Widths(msgspec.Struct, frozen=True):
    """How wide each character is, by its code point, in thousandths of the size; the regular and the bold face have
    the same characters."""

    regular: Mapping[int, int]
    bold: Mapping[int, int]

    def of(self, text: str, size: float, *, bold: bool = False) -> float:
        """The width of a text in the unit of its size, without kerning."""
        widths = self.bold if bold else self.regular
        return sum(widths.get(ord(sign), _EM) for sign in text) * size / _EM


def files() -> tuple[Path, ...]:
    """The file of each weight. Raises NoTypeface."""
    found = find_spec("font_source_sans_pro")
    folder = Path(found.origin).parent / "files" if found is not None and found.origin else None
    named = () if folder is None else tuple(folder / f"SourceSansPro-{weight}.ttf" for weight in WEIGHTS)
    if not named or not all(file.is_file() for file in named):
        raise NoTypeface
    return named


def copy_to(folder: Path) -> None:
    """Copies the file of each weight, and no other, to a folder. Raises NoTypeface."""
    for file in files():
        shutil.copyfile(file, folder / file.name)


@cache
def widths() -> Widths:
    """The widths of the installed files. Raises NoTypeface."""
    regular, _, bold, _ = files()
    return Widths(_widths_in(regular), _widths_in(bold))


def _widths_in(file: Path) -> Mapping[int, int]:
    from fontTools.ttLib import TTFont

    with TTFont(file, lazy=True) as font:
        advances = font["hmtx"].metrics
        return {point: advances[name][0] for point, name in font.getBestCmap().items()}


_IN_ITS_PLACE = {"\u2010": "-", "\u2011": "-", "\ufffd": "?", "✔": "✓", "⁻": "−", "ᵢ": "i", "ⱼ": "j", "ₚ": "p"}
RAISED = frozenset("⁻")
LOWERED = frozenset("ᵢⱼₚ")
"""Signs that the face lacks, and that are set from its own letters, raised or lowered."""


def has(sign: str) -> bool:
    """Whether the face can show a character. Raises NoTypeface."""
    return ord(sign) in widths().regular


def in_its_place(sign: str) -> str:
    """What is shown for a character that the face lacks: a like one, else its number, `[U+5217]`, so that none is lost
    without a sign."""
    if sign in _IN_ITS_PLACE:
        return _IN_ITS_PLACE[sign]
    plainer = "".join(one for one in unicodedata.normalize("NFKC", sign) if has(one))
    return plainer or f"[U+{ord(sign):04X}]"
