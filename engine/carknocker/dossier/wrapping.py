"""Lines of a given width, broken between words and never inside a figure: `7/8 in` stays together."""

import re
import textwrap

_GLUE = "\u00a0"
_UNITS = (
    "in", "ft", "lb", "tons", "kg", "mm", "psi", "mph", "mile", "miles", "mi", "day", "days", "month", "months",
    "year", "years", "°F", "°C", "%", "tape", "tapes", "ohm", "megohm", "kilohm", "gallon", "gallons", "minutes",
    "psi/min",
)  # fmt: skip
_FIGURE = re.compile(rf"(?<=\d) (?=(?:{'|'.join(re.escape(unit) for unit in _UNITS)})(?![\w/]))")
_FEET = re.compile(r"(?<=ft) (?=\d)")
_DEGREES = re.compile(r"(?<=°) (?=\d)")
_SECTION = re.compile(r"(?<=\d) (?=CFR\b)|(?<=CFR) (?=\d)")


def clean(text: str) -> str:
    """The text on one line: white space collapsed, what no terminal should get (control characters) left out."""
    return " ".join("".join(char if char.isprintable() or char.isspace() else "\ufffd" for char in text).split())


def wrap(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Lines at most `width` wide, if no single word is wider; `first` and `rest` begin them."""
    glued = clean(text)
    for pattern in (_FIGURE, _FEET, _DEGREES, _SECTION):
        glued = pattern.sub(_GLUE, glued)
    lines = textwrap.wrap(
        glued, max(width, len(rest) + 8), initial_indent=first, subsequent_indent=rest,
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return [line.replace(_GLUE, " ").rstrip() for line in lines] or [first.rstrip()]


_PLAINER = str.maketrans({
    "→": "->", "–": "-", "—": "-", "“": '"', "”": '"', "’": "'", "×": "x", "…": "...", "°": " deg", "−": "-", "·": "-",
    "≤": "<=", "≥": ">=", "π": "pi", "⁻": "-", "¹": "1", "²": "2", "³": "3", "½": "1/2", "�": "?",
})  # fmt: skip


def plainer(text: str) -> str:
    """The text with plain signs for those that an old terminal may lack."""
    return text.translate(_PLAINER)
