"""The wheel profile with the places where it is gauged, and a strip for each attribute: the worst wheel's reading, the
limit, and the guard band, which is what the gauge leaves open."""

from collections.abc import Iterator
from fractions import Fraction

from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.canvas_in_units import WIDTH, Canvas, upright
from carknocker.page.drawings.limited_figures import LimitedFigure, limited_figures
from carknocker.page.drawings.marks import OPEN, RANK, tag
from carknocker.page.drawings.width_in_units import SMALL, TEXT, shortened, text_width
from carknocker.page.model import Drawing
from carknocker.vocabulary import sheet_lines
from carknocker.vocabulary.program_names import WHEEL

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
    """Draws the profile at the top of a drawing."""
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


_STRIP = 70.0
_LIMIT_AT = WIDTH / 2
_REACH = 130.0
_NOTE = "A plain profile, of no one wheel and not to scale."


def profile(index: JudgementIndex) -> Drawing | None:
    """The drawing; None if no rule limits such a figure of a wheel."""
    found = tuple(worst_wheels(index))
    if not found:
        return None
    canvas = Canvas("wheel-profile")
    draw_profile(canvas)
    canvas.text(0, HEIGHT + 12, _NOTE, size=SMALL)
    y = HEIGHT + 24
    for one in found:
        _strip(canvas, one, y)
        y += _STRIP
    title = "Wheel profile: the wheel worst off at each gauge point"
    return canvas.finish(y, title, " ".join((_NOTE, *(_reading_words(one) for one in found))))


def worst_wheels(index: JudgementIndex) -> Iterator[LimitedFigure]:
    """For each attribute that a rule limits, the worst wheel."""
    by_attribute: dict[str, list[LimitedFigure]] = {}
    for wheel in index.standing.by_kind.get(WHEEL, ()):
        for finding in index.findings_on(wheel.key):
            for one in limited_figures(index, finding):
                by_attribute.setdefault(one.attribute.name, []).append(one)
    for line in sheet_lines("wheel profile", "gauge points"):
        if line.attribute in by_attribute:
            yield min(by_attribute[line.attribute], key=_badness)


def _badness(one: LimitedFigure) -> tuple[bool, int, Fraction]:
    """Order of badness. Known figures come first, because a strip without a reading shows less."""
    return one.margin is None, RANK[one.mark.line], one.margin if one.margin is not None else Fraction(0)


def _strip(canvas: Canvas, one: LimitedFigure, top: float) -> None:
    canvas.line(0, top, WIDTH, top, width=0.4)
    room = WIDTH - 4.0
    if one.mark.word and (one.read or one.mark != OPEN):
        room -= tag(canvas, WIDTH - 1, top + 14, one.mark, anchor="end") + 6
    canvas.text(0, top + 14, shortened(_label(one), room, bold=True), bold=True)
    axis = top + 44
    scale = _REACH / float(_span(one))
    sign = 1 if one.good_upwards else -1
    bad, good = _LIMIT_AT - sign * (_REACH + 14), _LIMIT_AT + sign * (_REACH + 14)
    canvas.line(bad, axis, _LIMIT_AT, axis, width=4)
    canvas.line(_LIMIT_AT, axis, good, axis, width=1.2)
    canvas.line(_LIMIT_AT, axis - 9, _LIMIT_AT, axis + 9, width=2)
    told = f"limit {one.limit_words}"
    if one.resolution is not None and one.read:
        wide = min(float(one.resolution) * scale, _REACH + 14)
        canvas.box(_LIMIT_AT if sign > 0 else _LIMIT_AT - wide, axis - 6, wide, 12, fill="hatching")
        told += f"; guard band {one.written(one.resolution)}, hatched"
    canvas.text(_LIMIT_AT, axis + 20, told, anchor="middle", size=SMALL)
    _reading(canvas, one, axis, scale)


def _reading(canvas: Canvas, one: LimitedFigure, axis: float, scale: float) -> None:
    """Draws a wedge at the reading; an arrow where a gauge shows only "more" or "less"."""
    at = one.low if one.low is not None else one.high
    if at is None:
        canvas.box(_LIMIT_AT - 40, axis - 22, 80, 14, dashes="4 3", kind="open")
        canvas.text(_LIMIT_AT, axis - 11, "not shown", anchor="middle", size=SMALL)
        return
    x = _LIMIT_AT + max(min(float(at - one.limit) * scale, _REACH), -_REACH)
    canvas.shape([(x, axis - 2), (x - 5, axis - 12), (x + 5, axis - 12)], fill="ink", width=0)
    if one.low != one.high:
        canvas.arrow(x, axis - 8, x + (22 if one.high is None else -22), axis - 8)
    half = text_width(one.read, TEXT) / 2
    canvas.text(min(max(x, half), WIDTH - half), axis - 15, one.read, anchor="middle")


def _span(one: LimitedFigure) -> Fraction:
    """What half of the strip stands for: enough for the reading and the guard band."""
    at = one.low if one.low is not None else one.high
    away = Fraction(0) if at is None else abs(at - one.limit)
    return max(away, 4 * (one.resolution or Fraction(0)), Fraction(1, 8))


def _label(one: LimitedFigure) -> str:
    label = one.attribute.label
    return f"{label[:1].upper()}{label[1:]}, {one.part.label}"


def _reading_words(one: LimitedFigure) -> str:
    words = f"{_label(one)}: {one.read or 'not shown'}, limit {one.limit_words}"
    if one.resolution is not None and one.read:
        words += f", guard band {one.written(one.resolution)}"
    more = ", ".join(word for word in (one.margin_words, one.mark.word) if word and word != one.read)
    return f"{words}{', ' if more else ''}{more}."
