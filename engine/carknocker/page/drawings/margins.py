"""Margins as bars: for each attribute, the part with the least margin. What keeps the car from moving comes first; what
is not shown has rows of its own.

A margin is counted in steps of its gauge, not as a share of the limit: so an inch at a coupler and 1/32 in between two
wheels compare by how near each is to refusal.
"""

from fractions import Fraction

from carknocker.judgement.index import JudgementIndex
from carknocker.page.drawings.canvas_in_units import WIDTH, Canvas
from carknocker.page.drawings.limited_figures import LimitedFigure, limited_figures
from carknocker.page.drawings.marks import RANK, not_shown_row, tag
from carknocker.page.drawings.width_in_units import SMALL, text_width, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.wording.parts import label_of

STEP = 13.0
"""Drawing units per step."""

ZERO = 66.0
_MOST_STEPS = 21
_MOST_PAST = 4
_SHORT = 8  # steps; words fit beside a bar up to this long
_MOST, _MOST_OPEN = 12, 6
_LINE = 14.0
_NOTE = (
    f"One step is what the gauge resolves; treat less than one as at the limit. A bar with an arrow has more than "
    f"{_MOST_STEPS}. Hatched to the left of the line: past the limit. Diamond: at it."
)


def margins(index: JudgementIndex) -> Drawing | None:
    """The drawing; None if no rule that applies asks for a figure read with a gauge."""
    known, unknown = margin_rows(index)
    if not known and not unknown:
        return None
    canvas = Canvas("margins")
    y = 0.0
    for line in wrapped_lines(_NOTE, WIDTH - 2, SMALL, most=4):
        canvas.text(0, y + 10, line, size=SMALL)
        y += _LINE
    y += 8
    for one in known[:_MOST]:
        y = _row(canvas, one, y)
    if len(known) > _MOST:
        least = known[_MOST].steps
        more = "" if least is None else f", each with {_number(least)} or more to spare"
        canvas.text(0, y + 12, f"and {len(known) - _MOST} more{more}", size=SMALL)
        y += 20
    y = _open_rows(canvas, unknown, y)
    return canvas.finish(y + 2, "Margins in steps of the gauge, the least first", _described(known, unknown))


def margin_rows(index: JudgementIndex) -> tuple[list[LimitedFigure], list[LimitedFigure]]:
    """For each attribute of each kind of part, the figure with the least margin, sorted; then those that are not
    shown."""
    worst: dict[tuple[str, str], LimitedFigure] = {}
    unknown: dict[tuple[str, str], LimitedFigure] = {}
    for finding in index.judgement.findings:
        for one in limited_figures(index, finding):
            key = (one.part.kind, one.attribute.name)
            if _counts(one) and (key not in worst or _order(one) < _order(worst[key])):
                worst[key] = one
            elif not one.read and one.mark.word:
                unknown.setdefault(key, one)
    known = sorted(worst.values(), key=_order)
    return known, [one for key, one in unknown.items() if key not in worst]


def _counts(one: LimitedFigure) -> bool:
    """Whether it has a bar: its margin is known in steps, or it keeps the car from moving (even if a go/no-go gauge has
    no steps)."""
    return one.steps is not None or (one.mark.line == "against" and bool(one.read))


def _order(one: LimitedFigure) -> tuple[bool, Fraction, int, str]:
    steps = one.steps if one.steps is not None else Fraction(0)
    return one.mark.line != "against", steps, RANK[one.mark.line], one.finding.criterion.id


def _row(canvas: Canvas, one: LimitedFigure, top: float) -> float:
    right = float(WIDTH)
    if one.mark.word:
        right -= tag(canvas, WIDTH - 1, top + 12, one.mark, anchor="end") + 6
    words = one.margin_words or one.read
    below = bool(one.mark.word) and (one.steps or 0) <= _SHORT
    room = right - 8 if below else right - text_width(words, SMALL) - 8
    y = top
    for line in wrapped_lines(_label(one), room, SMALL, most=2):
        canvas.text(0, y + 12, line, size=SMALL)
        y += _LINE
    canvas.text(WIDTH if below else right, y + 12.5 if below else top + 12, words, anchor="end", size=SMALL)
    _bar(canvas, one, y + 3)
    return y + (20 if below else 18)


def _bar(canvas: Canvas, one: LimitedFigure, lane: float) -> None:
    canvas.line(ZERO, lane - 2, ZERO, lane + 10, width=1.6)
    steps = float(one.steps or 0)
    if steps == 0:
        canvas.shape([(ZERO - 6, lane + 4), (ZERO, lane - 2), (ZERO + 6, lane + 4), (ZERO, lane + 10)], fill="ink")
    elif steps > 0:
        wide = min(steps, _MOST_STEPS) * STEP
        canvas.box(ZERO, lane, wide, 8, fill="tint", width=1.2)
        if steps > _MOST_STEPS:
            _point(canvas, ZERO + wide, lane, 8)
    else:
        wide = min(-steps, _MOST_PAST) * STEP
        canvas.box(ZERO - wide, lane, wide, 8, fill="hatching", width=1.6, kind="against")
        if -steps > _MOST_PAST:
            _point(canvas, ZERO - wide, lane, -8)


def _point(canvas: Canvas, x: float, lane: float, away: float) -> None:
    canvas.shape([(x + away, lane + 4), (x, lane - 2), (x, lane + 10)], fill="ink", width=0)


def _open_rows(canvas: Canvas, unknown: list[LimitedFigure], top: float) -> float:
    if not unknown:
        return top
    canvas.text(0, top + 14, "No figure:", bold=True, size=SMALL)
    y = top + 20
    for one in unknown[:_MOST_OPEN]:
        not_shown_row(canvas, _label(one), y, one.mark.word)
        y += 20
    if len(unknown) > _MOST_OPEN:
        canvas.text(0, y + 13, f"and {len(unknown) - _MOST_OPEN} more that are not shown", size=SMALL)
        y += 18
    return y


def _label(one: LimitedFigure) -> str:
    label = one.attribute.label
    return f"{label[:1].upper()}{label[1:]}, {label_of(one.part)}"


def _number(steps: Fraction) -> str:
    size = abs(steps)
    text = str(size) if size.denominator == 1 else f"{float(size):.1f}"
    return f"{text} step{'' if size == 1 else 's'}"


def _described(known: list[LimitedFigure], unknown: list[LimitedFigure]) -> str:
    told = [_NOTE]
    for one in known:
        steps = "" if one.steps is None else f" ({_number(one.steps)})"
        words = [f"{one.read}, limit {one.limit_words}", f"{one.margin_words}{steps}", one.mark.word]
        told.append(f"{_label(one)}: {', '.join(word for word in words if word)}.")
    if unknown:
        told.append(f"No figure: {', '.join(f'{_label(one)} ({one.mark.word})' for one in unknown)}.")
    return " ".join(told)
