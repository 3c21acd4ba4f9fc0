"""The canvas of a drawing: ink in the page's own color, so that it can be read on a light or dark page and in print.

Nothing is colored: line, hatching and words make the difference. A page may color the classes `against` and `open`.
Every text goes through `Canvas.text`, which escapes it.
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from html import escape
from typing import Literal

import svg

from carknocker.documents.visible_text import one_line
from carknocker.page.drawings.width_in_units import SMALL, TEXT, text_width
from carknocker.page.model import Drawing

WIDTH = 360
"""Width of every drawing in its own units."""

MARGIN = 6
"""Left free around it."""

INK = "currentColor"
FONT = "Source Sans Pro, Source Sans 3, Liberation Sans, Arial, Helvetica, DejaVu Sans, sans-serif"
Anchor = Literal["start", "middle", "end"]
Number = float | Fraction
Fill = Literal["none", "ink", "tint", "hatching"]


def plain(number: Number) -> float | int:
    """A coordinate, to a tenth of a unit."""
    rounded = round(float(number), 1)
    return int(rounded) if rounded == int(rounded) else rounded


class Canvas:
    """One drawing while it is made. name: of the drawing; all its ids begin with it, so that several drawings fit on a
    page."""

    def __init__(self, name: str) -> None:
        self.name = name
        self._elements: list[svg.Element] = []
        self._hatched = False

    def text(
        self,
        x: Number,
        y: Number,
        words: str,
        *,
        anchor: Anchor = "start",
        size: float = TEXT,
        bold: bool = False,
        kind: str = "",
    ) -> None:
        """One line of text. y: its base line."""
        self._elements.append(
            svg.Text(
                x=plain(x),
                y=plain(y),
                text=escape(one_line(words)),
                text_anchor=None if anchor == "start" else anchor,
                font_size=None if size == TEXT else size,
                font_weight="bold" if bold else None,
                class_=[kind] if kind else None,
            )
        )

    def line(
        self, x1: Number, y1: Number, x2: Number, y2: Number, *, width: float = 1.0, dashes: str = "", kind: str = ""
    ) -> None:
        """A straight line. dashes: lengths of dash and gap; empty for a full line."""
        self._elements.append(
            svg.Line(
                x1=plain(x1),
                y1=plain(y1),
                x2=plain(x2),
                y2=plain(y2),
                stroke=INK,
                stroke_width=width,
                stroke_dasharray=_dashes(dashes),
                class_=[kind] if kind else None,
            )
        )

    def box(
        self,
        x: Number,
        y: Number,
        wide: Number,
        high: Number,
        *,
        width: float = 1.0,
        dashes: str = "",
        fill: Fill = "none",
        round_by: float = 0,
        kind: str = "",
    ) -> None:
        """A rectangle. width: of its outline, 0 for none. A `tint` fill lets the page show through; `hatching` is drawn
        on top of it."""
        self._elements.append(
            svg.Rect(
                x=plain(x),
                y=plain(y),
                width=plain(wide),
                height=plain(high),
                rx=round_by or None,
                fill=self._ink(fill),
                fill_opacity=0.14 if fill == "tint" else None,
                stroke=INK if width else None,
                stroke_width=width if width and width != 1 else None,
                stroke_dasharray=_dashes(dashes),
                class_=[kind] if kind else None,
            )
        )

    def circle(
        self, x: Number, y: Number, radius: Number, *, width: float = 1.0, dashes: str = "", filled: bool = False
    ) -> None:
        """A circle about a point."""
        self._elements.append(
            svg.Circle(
                cx=plain(x),
                cy=plain(y),
                r=plain(radius),
                fill=INK if filled else "none",
                stroke=INK,
                stroke_width=width,
                stroke_dasharray=_dashes(dashes),
            )
        )

    def shape(
        self,
        points: Sequence[tuple[Number, Number]],
        *,
        width: float = 1.0,
        dashes: str = "",
        closed: bool = True,
        fill: Fill = "none",
    ) -> None:
        """A line through points, closed to a shape or left open."""
        drawn = [svg.M(plain(points[0][0]), plain(points[0][1]))]
        steps: list[svg.PathData] = [*drawn, *(svg.L(plain(x), plain(y)) for x, y in points[1:])]
        if closed:
            steps.append(svg.Z())
        self._elements.append(
            svg.Path(
                d=steps,
                fill=self._ink(fill),
                fill_opacity=0.14 if fill == "tint" else None,
                stroke=INK if width else None,
                stroke_width=width or None,
                stroke_dasharray=_dashes(dashes),
                stroke_linejoin="round",
            )
        )

    def arrow(self, x1: Number, y1: Number, x2: Number, y2: Number, *, both: bool = False) -> None:
        """A level or upright line with an arrowhead at its second end, or at both."""
        self.line(x1, y1, x2, y2)
        self._head(float(x1), float(y1), float(x2), float(y2))
        if both:
            self._head(float(x2), float(y2), float(x1), float(y1))

    def _head(self, x1: float, y1: float, x2: float, y2: float) -> None:
        along, across = (1 if x2 > x1 else -1, 0) if abs(x2 - x1) >= abs(y2 - y1) else (0, 1 if y2 > y1 else -1)
        back, side = 5.0, 2.6
        base = (x2 - along * back, y2 - across * back)
        self.shape(
            [
                (x2, y2),
                (base[0] - across * side, base[1] - along * side),
                (base[0] + across * side, base[1] + along * side),
            ],
            width=0,
            fill="ink",
        )

    def _ink(self, fill: Fill) -> str:
        self._hatched = self._hatched or fill == "hatching"
        return {"none": "none", "ink": INK, "tint": INK, "hatching": f"url(#{self.name}-hatching)"}[fill]

    def finish(self, height: Number, title: str, described: str) -> Drawing:
        """The finished drawing. height: in its own units."""
        name = self.name
        width, height = WIDTH + 2 * MARGIN, float(height) + 2 * MARGIN
        labels: list[svg.Element] = [
            svg.Title(id=f"{name}-title", text=escape(one_line(title))),
            svg.Desc(id=f"{name}-description", text=escape(one_line(described))),
        ]
        definitions: list[svg.Element] = [svg.Defs(elements=[_hatching(name)])] if self._hatched else []
        whole = svg.SVG(
            viewBox=svg.ViewBoxSpec(-MARGIN, -MARGIN, width, plain(height)),
            width=svg.Length(100, "%"),
            preserveAspectRatio=svg.PreserveAspectRatio("xMinYMin"),
            style="max-width:34rem;height:auto",
            elements=[*labels, *definitions, *self._elements],
            extra={
                "role": "img",
                "aria-labelledby": f"{name}-title {name}-description",
                "fill": INK,
                "font-family": FONT,
                "font-size": str(plain(TEXT)),
            },
        )
        return Drawing(name, title, described, whole.as_str(), 87.0, height * 87.0 / width)


def _dashes(dashes: str) -> list[Decimal | float | int] | None:
    return [float(one) if "." in one else int(one) for one in dashes.split()] or None


def _hatching(name: str) -> svg.Pattern:
    """Lines at 45°, which survive a photocopier."""
    lines = svg.Path(
        d=[svg.M(-1, 1), svg.L(1, -1), svg.M(0, 5), svg.L(5, 0), svg.M(4, 6), svg.L(6, 4)],
        stroke=INK,
        stroke_width=0.9,
        fill="none",
    )
    return svg.Pattern(id=f"{name}-hatching", width=5, height=5, patternUnits="userSpaceOnUse", elements=[lines])


_TICK = 4.0


def across(canvas: Canvas, x1: float, x2: float, y: float, words: str) -> None:
    """A level dimension. The figure stands in a gap in the line, or above the line where the gap would be too
    narrow."""
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
