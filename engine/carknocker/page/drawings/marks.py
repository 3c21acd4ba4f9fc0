"""How a finding is marked on a drawing: by a word, which says everything, and by a frame, which catches the eye
first."""

from typing import Literal

import msgspec

from carknocker.judgement.model import Finding
from carknocker.page.drawings.canvas_in_units import Anchor, Canvas, Number
from carknocker.page.drawings.width_in_units import SMALL, text_width

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


def frame(canvas: Canvas, x: Number, y: Number, wide: Number, high: Number, mark: Mark) -> None:
    """Draws the frame of a mark."""
    x, y, wide, high = float(x), float(y), float(wide), float(high)
    match mark.line:
        case "against":
            canvas.box(x, y, wide, high, width=2, kind="against")
            canvas.box(x, y, 5, high, fill="hatching", kind="against")
        case "aside":
            canvas.box(x, y, wide, high)
        case "open":
            canvas.box(x, y, wide, high, dashes="4 3", kind="open")
        case "near":
            canvas.box(x, y, wide, high, dashes="1 2.5")
        case "none":
            return


def tag(canvas: Canvas, x: Number, y: Number, mark: Mark, anchor: Anchor = "start") -> float:
    """Draws the word of a mark in its frame, on the base line y. Returns the width."""
    wide = text_width(mark.word, SMALL, bold=True) + 14
    left = float(x) - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    frame(canvas, left, float(y) - 11.5, wide, 15.5, mark)
    canvas.text(left + 8, y, mark.word, size=SMALL, bold=True)
    return wide
