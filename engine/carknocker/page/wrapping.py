"""Lines of a given width, broken between words but never inside a figure or an empty box: `7/8 in` and `[ ]`
stay on one line."""

import re

from carknocker.documents.visible_text import one_line

_GLUE = "\u00a0"
_UNITS = (
    "in", "ft", "lb", "tons", "kg", "mm", "psi", "mph", "mile", "miles", "mi", "day", "days", "month", "months",
    "year", "years", "°F", "°C", "%", "tape", "tapes", "ohm", "megohm", "kilohm", "gallon", "gallons", "minutes",
    "psi/min",
)  # fmt: skip
_TOGETHER = re.compile(
    rf"(?<=\d) (?=(?:{'|'.join(re.escape(unit) for unit in _UNITS)}|CFR)(?!\w|/(?!\d)))|(?<=ft) (?=\d)|(?<=°) (?=\d)"
    r"|(?<=\bCFR) (?=\d)|(?<=\[) (?=\])"
)


def keep_figures_whole(text: str) -> str:
    """The text with no-break spaces inside its figures."""
    return _TOGETHER.sub(_GLUE, text)


def wrap(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Lines at most `width` characters wide. `first` starts the first line, `rest` the others. A word longer than a
    line is cut."""
    lines: list[str] = []
    line, begun = first, False
    for whole in keep_figures_whole(one_line(text)).split(" "):
        word = whole
        if begun and len(line) + 1 + len(word) > width:
            lines.append(line)
            line, begun = rest, False
        while len(line) + len(word) > width and not begun and len(line) < width:
            room = width - len(line)
            lines.append(line + word[:room])
            line, word = rest, word[room:]
        line = f"{line} {word}" if begun else line + word
        begun = True
    lines.append(line)
    return [line.replace(_GLUE, " ").rstrip() for line in lines]


_PLAINER = str.maketrans({
    "→": "->", "–": "-", "—": "-", "“": '"', "”": '"', "’": "'", "×": "x", "…": "...", "°": " deg", "−": "-", "·": "-",
    "≤": "<=", "≥": ">=", "π": "pi", "⁻": "-", "¹": "1", "²": "2", "³": "3", "½": "1/2", "�": "?",
    "√": "sqrt ", "≈": "~", "Δ": "d", "Σ": "sum ", "Π": "product ", "μ": "mu", "η": "eta", "θ": "theta", "φ": "phi",
    "₀": "0", "₁": "1", "₂": "2", "₃": "3", "ₚ": "p", "ᵢ": "i", "⁸": "8",
})  # fmt: skip


def plainer(text: str) -> str:
    """The text with plain characters in place of those that an old terminal may lack."""
    return text.translate(_PLAINER)
