"""How a finding is marked on a drawing: by a word, which says everything, and by a frame, which catches the eye
first."""

from typing import Literal

import msgspec

from carknocker.judgement.model import Finding
from carknocker.page.drawings.canvas import HEAVY, Anchor, Canvas
from carknocker.page.drawings.text_width import SMALL, text_width

NOT_SHOWN = "not shown"
Line = Literal["against", "aside", "open", "near", "none"]


class Mark(msgspec.Struct, frozen=True):
    """word: of the finding, empty for none. line: of the frame: heavy and double for what keeps the car from moving,
    thin for restrictions and advice, dashed for what is not shown, dotted for what passes by less than the gauge
    resolves."""

    word: str
    line: Line


NO_MARK = Mark("", "none")
OPEN = Mark(NOT_SHOWN, "open")
RANK: dict[Line, int] = {"against": 0, "open": 1, "aside": 2, "near": 3, "none": 4}
"""Marks by weight, the heaviest first: against the move, then not shown."""

_WORDS = {"breached": "breached", "void": "void", "lapses": "lapses"}
_ASIDE = {"restrict": "restricts", "advise": "advice"}


def mark_of(finding: Finding) -> Mark:
    """The mark of a finding; none if it is met, relieved, or left to the day of the move."""
    if finding.relieved:
        return NO_MARK
    if finding.verdict == "borderline":
        return Mark("near the limit", "near")
    if not finding.unmet:
        return NO_MARK
    if finding.verdict == "not shown":
        return OPEN
    word = _WORDS[finding.verdict]
    effect = finding.effect
    return Mark(word, "against") if effect == "refuse" else Mark(f"{word}, {_ASIDE[effect]}", "aside")


def worst_mark(marks: list[Mark]) -> Mark:
    """The heaviest of some marks."""
    return min(marks, key=lambda mark: RANK[mark.line], default=NO_MARK)


_HIGH = 3.6
"""Of the frame of a word, millimeters."""


def frame(canvas: Canvas, x: float, y: float, wide: float, high: float, mark: Mark) -> None:
    """Draws the frame of a mark."""
    match mark.line:
        case "against":
            canvas.box(x, y, wide, high, width=HEAVY)
            canvas.hatched(x, y, 1.1, high)
        case "aside":
            canvas.box(x, y, wide, high)
        case "open":
            canvas.box(x, y, wide, high, dashes="0.9 0.7")
        case "near":
            canvas.box(x, y, wide, high, dashes="0.3 0.6")
        case "none":
            return


def tag(canvas: Canvas, x: float, y: float, mark: Mark, anchor: Anchor = "start") -> float:
    """Draws the word of a mark in its frame, on the base line y. Returns the width."""
    wide = text_width(mark.word, SMALL, bold=True) + 3.2
    left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    frame(canvas, left, y - 2.7, wide, _HIGH, mark)
    canvas.text(left + 1.9, y, mark.word, size=SMALL, bold=True)
    return wide
