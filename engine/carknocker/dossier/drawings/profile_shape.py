"""A plain wheel profile with its gauge points: what is measured where. Of no one wheel, and not to scale."""

from carknocker.dossier.drawings.canvas import Canvas
from carknocker.dossier.drawings.dimension import upright
from carknocker.dossier.drawings.measuring import SMALL

HEIGHT = 152.0
_INCH = 30.0
_LEFT, _TREAD = 96.0, 78.0  # back of the flange; height of the tread at the gauge line
_OUTLINE = (
    (0.0, -2.35),
    (0.0, 0.35),
    (0.12, 0.72),
    (0.4, 0.98),
    (0.7, 1.0),
    (0.98, 0.78),
    (1.15, 0.375),
    (1.32, 0.12),
    (1.75, 0.0),
    (2.7, -0.02),
    (3.4, -0.1),
    (4.1, -0.07),
    (4.9, -0.12),
    (5.35, -0.25),
    (5.5, -0.5),
    (5.5, -1.7),
    (3.3, -1.95),
    (3.0, -2.35),
)  # inches from the back of the flange and over the tread; fmt: skip


def draw_profile(canvas: Canvas) -> None:
    """The profile in the upper part of a drawing."""
    canvas.shape([_at(x, y) for x, y in _OUTLINE], width=1.6, fill="tint", closed=False)
    _flange(canvas)
    left, _ = _at(2.1, 0)
    right, y = _at(4.9, -0.02)
    canvas.line(left, y, right, y, dashes="5 3")
    middle, dip = _at(3.4, -0.1)
    canvas.line(middle, y - 10, middle, dip)
    canvas.text(middle, y - 14, "tread hollow", anchor="middle", size=SMALL)
    x, top = _at(5.5, -0.3)
    _, bottom = _at(5.5, -1.7)
    canvas.line(x, bottom, x + 20, bottom)
    canvas.line(x - 4, top, x + 20, top)
    upright(canvas, x + 14, top, bottom)
    for number, words in enumerate(("rim", "thickness")):
        canvas.text(x + 24, (top + bottom) / 2 + 13 * number, words, size=SMALL)


def _flange(canvas: Canvas) -> None:
    _, crown = _at(0, 1.0)
    line, _ = _at(1.75, 0)
    canvas.line(_LEFT - 18, crown, _LEFT + 20, crown, dashes="5 3")
    canvas.line(_LEFT - 18, _TREAD, line, _TREAD, dashes="5 3")
    upright(canvas, _LEFT - 12, crown, _TREAD)
    for number, words in enumerate(("flange", "height")):
        canvas.text(_LEFT - 22, (crown + _TREAD) / 2 + 13 * number, words, anchor="end", size=SMALL)
    front, y = _at(1.15, 0.375)
    canvas.arrow(_LEFT, y, front, y, both=True)
    canvas.line(front, y, front + 26, y - 26)
    for number, words in enumerate(("flange thickness,", "3/8 in above the tread")):
        canvas.text(front + 30, y - 36 + 13 * number, words, size=SMALL)


def _at(x: float, y: float) -> tuple[float, float]:
    return _LEFT + x * _INCH, _TREAD - y * _INCH
