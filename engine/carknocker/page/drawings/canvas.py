"""The canvas of a drawing, in millimeters at the size in which it is printed. Type sizes are in points.

Ink is the page's own color, so that a drawing can be read on a light or a dark page and in print; what is soft is the
same ink thinned. One accent, for faults, is never the only sign of one. Hatching is made of single lines. Every text
goes through `Canvas.text`, which escapes it.
"""

from collections.abc import Iterator, Sequence
from html import escape
from typing import Any, Literal

import svg

from carknocker.documents.visible_text import one_line
from carknocker.page.drawings.text_width import FRACTION, POINT, SMALL, TEXT, text_width
from carknocker.page.model import Drawing

SHEET, PHONE, BESIDE = 178.0, 80.0, 46.0
"""Widths: of the text of a sheet; of a drawing that a phone shows a fifth larger; of a picture beside a text."""
ROOM_ON_THE_SHEET = 211.0
"""Height that the car from the side, its trucks from above and its least margins have on the sheet that they share,
without its title and the headings between."""

INK, ACCENT, PAPER = "currentColor", "#a3180f", "#fff"
FONT = "Source Sans Pro, Source Sans 3, Arial, Helvetica, Liberation Sans, DejaVu Sans, sans-serif"
Anchor = Literal["start", "middle", "end"]
Tone = Literal["ink", "soft", "fault", "paper"]
Fill = Literal["none", "ink", "dark", "middle", "shade", "tint", "fault", "paper"]
Point = tuple[float, float]

HAIR, THIN, LINE, HEAVY = 0.09, 0.18, 0.3, 0.5
"""Widths of lines."""

_THIN_INK = {"ink": 1.0, "dark": 0.62, "middle": 0.26, "shade": 0.13, "tint": 0.06}
_SOFT = 0.72
_HATCHES = 1.1  # from one line of a hatching to the next


def plain(number: float) -> float | int:
    """A coordinate, to a hundredth of a millimeter."""
    rounded = round(number, 2)
    return int(rounded) if rounded == int(rounded) else rounded


class Canvas:
    """One drawing while it is made. wide: its width."""

    def __init__(self, name: str, wide: float) -> None:
        self.name = name
        self.wide = wide
        self._elements: list[svg.Element] = []

    @property
    def on_a_sheet(self) -> bool:
        """Whether it has the width of a sheet, or else that of a phone."""
        return self.wide > PHONE

    def text(
        self, x: float, y: float, words: str, *, anchor: Anchor = "start", size: float = TEXT, bold: bool = False,
        tone: Tone = "ink",
    ) -> float:  # fmt: skip
        """One line of text. y: its base line. Returns its width."""
        words = one_line(words)
        wide = text_width(words, size, bold=bold)
        squeezed = len(words) > 2 and not FRACTION.search(words)
        self._elements.append(
            svg.Text(
                x=plain(x),
                y=plain(y),
                text=escape(words),
                text_anchor=None if anchor == "start" else anchor,
                font_size=plain(size * POINT),
                font_weight="bold" if bold else None,
                textLength=svg.Length(plain(wide), "px") if squeezed else None,
                lengthAdjust="spacingAndGlyphs" if squeezed else None,
                fill={"fault": ACCENT, "paper": PAPER}.get(tone),
                fill_opacity=_SOFT if tone == "soft" else None,
                class_=[tone] if tone in ("fault", "paper") else None,
            )
        )
        return wide

    def line(
        self, x1: float, y1: float, x2: float, y2: float, *, width: float = THIN, dashes: str = "", tone: Tone = "ink"
    ) -> None:
        """A straight line. dashes: lengths of dash and gap; empty for a full line."""
        self._elements.append(
            svg.Line(
                x1=plain(x1),
                y1=plain(y1),
                x2=plain(x2),
                y2=plain(y2),
                stroke_dasharray=[float(one) for one in dashes.split()] or None,
                **_stroke(width, tone),
            )
        )

    def box(
        self, x: float, y: float, wide: float, high: float, *, width: float = THIN, fill: Fill = "none",
        round_by: float = 0, dashes: str = "", tone: Tone = "ink",
    ) -> None:  # fmt: skip
        """A rectangle. width: of its outline, 0 for none."""
        self._elements.append(
            svg.Rect(
                x=plain(x),
                y=plain(y),
                width=plain(wide),
                height=plain(high),
                rx=round_by or None,
                stroke_dasharray=[float(one) for one in dashes.split()] or None,
                **_filled(fill, width, tone),
            )
        )

    def circle(
        self, x: float, y: float, radius: float, *, width: float = THIN, fill: Fill = "none", tone: Tone = "ink"
    ) -> None:
        """A circle about a point."""
        self._elements.append(svg.Circle(cx=plain(x), cy=plain(y), r=plain(radius), **_filled(fill, width, tone)))

    def shape(
        self, points: Sequence[Point], *, width: float = THIN, closed: bool = True, fill: Fill = "none",
        dashes: str = "", tone: Tone = "ink",
    ) -> None:  # fmt: skip
        """A line through points, closed to a shape or left open."""
        steps: list[svg.PathData] = [svg.M(plain(points[0][0]), plain(points[0][1]))]
        steps.extend(svg.L(plain(x), plain(y)) for x, y in points[1:])
        if closed:
            steps.append(svg.Z())
        self._elements.append(
            svg.Path(
                d=steps,
                stroke_linejoin="round",
                stroke_dasharray=[float(one) for one in dashes.split()] or None,
                **_filled(fill, width, tone),
            )
        )

    def hatched(self, x: float, y: float, wide: float, high: float, *, width: float = THIN, tone: Tone = "ink") -> None:
        """A rectangle hatched at 45° with single lines, which survive a photocopier."""
        steps: list[svg.PathData] = []
        for (x1, y1), (x2, y2) in hatch_lines(x, y, wide, high):
            steps.extend((svg.M(plain(x1), plain(y1)), svg.L(plain(x2), plain(y2))))
        if steps:
            self._elements.append(svg.Path(d=steps, **_filled("none", THIN, tone)))
        if width:
            self.box(x, y, wide, high, width=width, tone=tone)

    def arrow_head(self, x: float, y: float, direction: Literal["left", "right", "up", "down"]) -> None:
        """A small solid arrowhead with its point at x, y."""
        long, half = 2.0, 0.75
        across, down = {"left": (1, 0), "right": (-1, 0), "up": (0, 1), "down": (0, -1)}[direction]
        base = (x + across * long, y + down * long)
        self.shape(
            [
                (x, y),
                (base[0] - down * half, base[1] - across * half),
                (base[0] + down * half, base[1] + across * half),
            ],
            width=0,
            fill="ink",
        )

    def number(self, x: float, y: float, number: int, *, radius: float = 2.0) -> None:
        """The number of a fault on a disc, with its center at x, y."""
        self.circle(x, y, radius, width=0, fill="fault")
        size = 8.0 if number < 10 else 7.0
        self.text(x, y + size * POINT * 0.335, str(number), anchor="middle", size=size, bold=True, tone="paper")

    def finish(self, height: float, title: str, described: str) -> Drawing:
        """The finished drawing. described: one or two sentences with the figures that decide."""
        whole = svg.SVG(
            viewBox=svg.ViewBoxSpec(0, 0, plain(self.wide), plain(height)),
            width=svg.Length(100, "%"),
            preserveAspectRatio=svg.PreserveAspectRatio("xMinYMin"),
            elements=self._elements,
            extra={
                "role": "img",
                "aria-label": escape(one_line(described), quote=True),
                "fill": INK,
                "font-family": FONT,
            },
        )
        return Drawing(self.name, title, described, whole.as_str(), self.wide, plain(height))


def _stroke(width: float, tone: Tone) -> dict[str, Any]:
    return {
        "stroke": ACCENT if tone == "fault" else PAPER if tone == "paper" else INK,
        "stroke_width": width,
        "stroke_opacity": _SOFT - 0.2 if tone == "soft" else None,
        "class_": ["fault-line" if tone == "fault" else "paper-line"] if tone in ("fault", "paper") else None,
    }


def _filled(fill: Fill, width: float, tone: Tone) -> dict[str, Any]:
    """The fill and the outline of a closed shape."""
    found = _stroke(width, tone) if width else {}
    classes = [*(found.get("class_") or ())]
    if fill in ("fault", "paper"):
        classes.append(fill)
    colors = {"none": "none", "fault": ACCENT, "paper": PAPER}
    return {
        **found,
        "fill": colors.get(fill, INK),
        "fill_opacity": None if _THIN_INK.get(fill, 1.0) == 1.0 else _THIN_INK[fill],
        "class_": classes or None,
    }


def hatch_lines(x: float, y: float, wide: float, high: float) -> Iterator[tuple[Point, Point]]:
    """The lines of a hatching, each cut at the edges of the rectangle."""
    across = _HATCHES
    while across < wide + high:
        low = (x + across, y) if across <= wide else (x + wide, y + across - wide)
        left = (x, y + across) if across <= high else (x + across - high, y + high)
        yield low, left
        across += _HATCHES


_TICK = 1.2


def dimension_across(canvas: Canvas, x1: float, x2: float, y: float, words: str, *, known: bool = True) -> float:
    """A level dimension. The figure stands in a gap in the line, or below the line where the gap would be too narrow.
    A figure that nobody measured has no arrowheads. Returns the lowest y."""
    size = TEXT if canvas.on_a_sheet else SMALL
    wide = text_width(words, size) + 3
    middle = (x1 + x2) / 2
    for x in (x1, x2):
        canvas.line(x, y - _TICK, x, y + _TICK)
    if known:
        canvas.arrow_head(x1, y, "left")
        canvas.arrow_head(x2, y, "right")
    if wide + 10 < x2 - x1:
        canvas.line(x1, y, middle - wide / 2, y)
        canvas.line(middle + wide / 2, y, x2, y)
        canvas.text(middle, y + 1.1, words, anchor="middle", size=size)
        return y + _TICK
    canvas.line(x1, y, x2, y)
    half = wide / 2
    canvas.text(min(max(middle, half), canvas.wide - half), y + 4, words, anchor="middle", size=size)
    return y + 4.5
