"""Dimension lines: a length between two ticks with its figure, as on a shop drawing."""

from carknocker.dossier.drawings.canvas import Canvas
from carknocker.dossier.drawings.measuring import SMALL, text_width

_TICK = 4.0


def across(canvas: Canvas, x1: float, x2: float, y: float, words: str) -> None:
    """A level dimension. The figure stands in a gap of the line, or over it where there is no room for a gap."""
    wide = text_width(words, SMALL) + 8
    middle = (x1 + x2) / 2
    for x in (x1, x2):
        canvas.line(x, y - _TICK, x, y + _TICK)
    if wide + 24 < x2 - x1:
        canvas.arrow(middle - wide / 2, y, x1, y)
        canvas.arrow(middle + wide / 2, y, x2, y)
        canvas.text(middle, y + 4, words, anchor="middle", size=SMALL)
    else:
        canvas.arrow(x1, y, x2, y, both=True)
        canvas.text(middle, y - 6, words, anchor="middle", size=SMALL)


def upright(canvas: Canvas, x: float, y1: float, y2: float) -> None:
    """An upright dimension without its figure."""
    for y in (y1, y2):
        canvas.line(x - _TICK, y, x + _TICK, y)
    if abs(y2 - y1) > 14:
        canvas.arrow(x, y1, x, y2, both=True)
    else:
        canvas.line(x, y1, x, y2)
