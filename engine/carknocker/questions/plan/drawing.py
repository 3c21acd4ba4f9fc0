"""The plan as bars beside its steps: each from its first day to its last, solid on the critical path, open where a part
of unknown lead time comes first."""

from datetime import date

import msgspec

from carknocker.page.drawings.both_widths import for_both
from carknocker.page.drawings.canvas import HAIR, HEAVY, LINE, THIN, Canvas, Fill
from carknocker.page.drawings.text_width import SMALL, text_width, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.questions.plan.model import Plan, Step

_MOST = 24
_FROM, _FROM_ON_A_SHEET, _LANE, _LINE, _GAP = 50.0, 88.0, 2.2, 3.2, 1.2
"""Millimeters: where the bars begin, on a phone and on a sheet, the height of one, from line to line of a text, between
two steps."""


class _Bars(msgspec.Struct, frozen=True):
    """Where each day is: from the first day at the left to the last at the right."""

    first: date
    last: date
    left: float
    right: float

    def at(self, day: date, *, whole: bool = False) -> float:
        """The x at which a day begins. whole: at which it ends."""
        days = (self.last - self.first).days + 1
        return self.left + 0.2 + (self.right - self.left - 0.4) * ((day - self.first).days + whole) / days


def schedule_drawing(plan: Plan) -> Drawing | None:
    """The schedule; None if there is nothing to do."""
    return for_both(lambda wide: _draw(plan, wide)) if plan.steps else None


def _draw(plan: Plan, wide: float) -> Drawing:
    move, day = plan.check.judgement.move, plan.check.day
    first = min(day, *(step.first for step in plan.steps))
    last = max(move.out, plan.ready_on, *(step.last for step in plan.steps))
    canvas = Canvas("schedule", wide)
    bars = _Bars(first, last, _FROM_ON_A_SHEET if canvas.on_a_sheet else _FROM, wide)
    key = _head(plan)[1:]
    for number, words in enumerate(key):
        canvas.text(0, 3 + _LINE * number, words, size=SMALL)
    top = 3 + _LINE * len(key) + 1.4
    canvas.text(bars.left, top, first.isoformat(), size=SMALL)
    if text_width(first.isoformat(), SMALL) * 2 + 1.4 < wide - bars.left:
        canvas.text(wide, top, last.isoformat(), anchor="end", size=SMALL)
    top += 1.2
    canvas.line(bars.left, top, wide, top, width=THIN)
    y = top + 0.5
    for step in plan.steps[:_MOST]:
        y = _row(canvas, step, bars, y)
    departure = bars.at(move.out)
    canvas.line(departure, top, departure, y, width=HEAVY)
    if len(plan.steps) > _MOST:
        canvas.text(0, y + 3, f"and {len(plan.steps) - _MOST} more steps", size=SMALL)
        y += 4.6
    return canvas.finish(y + 0.6, "The steps of the plan by their days", _described(plan))


def _head(plan: Plan) -> list[str]:
    out = plan.check.judgement.move.out
    late = ": too late" if plan.too_late else ""
    when = "on" if plan.dated else "not before"
    dashed = "" if plan.dated else "; dashed: once the part is here"
    return [
        f"{'ready' if plan.car_ready else 'all this done'} {when} {plan.ready_on.isoformat()}{late}",
        f"departure {out.isoformat()}: upright line",
        f"in ink: critical path{dashed}",
    ]


def _row(canvas: Canvas, step: Step, bars: _Bars, top: float) -> float:
    """One step: its words at the left, its bar at the right with its first day where there is room."""
    lines = wrapped_lines(_short(step), bars.left - 1.4, SMALL, most=2)
    for number, line in enumerate(lines):
        canvas.text(0, top + 3 + _LINE * number, line, size=SMALL)
    height = _LINE * len(lines) + _GAP
    lane = top + (height - _LANE) / 2
    left, right = bars.at(step.first), bars.at(step.last, whole=True)
    fill: Fill = "none" if step.earliest else "ink" if step.critical else "middle"
    wide = max(right - left, 0.7)
    canvas.box(left, lane, wide, _LANE, fill=fill, width=LINE, dashes="0.7 0.5" if step.earliest else "")
    day = step.first.isoformat()[5:]
    if left + wide + 0.9 + text_width(day, SMALL) < bars.at(bars.last):
        canvas.text(left + wide + 0.9, lane + _LANE, day, size=SMALL)
    canvas.line(0, top + height, canvas.wide, top + height, width=HAIR, tone="soft")
    return top + height


def _described(plan: Plan) -> str:
    told = [f"{'. '.join(_head(plan)[:2])}."]
    for step in plan.steps:
        heavy = ", critical path" if step.critical else ""
        earliest = "not before " if step.earliest else ""
        told.append(f"{_step_words(step)}: {earliest}{step.first.isoformat()} to {step.last.isoformat()}{heavy}.")
    return " ".join(told)


def _step_words(step: Step) -> str:
    where = f", {step.where}" if step.where and step.where not in step.what else ""
    return f"{step.number}. {step.what}{where}"


def _short(step: Step) -> str:
    """A step in few words: its job and where, without what goes on or comes off."""
    if step.sort == "roll out":
        return f"{step.number}. {step.where} out"
    if step.sort == "roll back":
        return f"{step.number}. {step.where} back in"
    what = step.what.partition(":")[0]
    where = f", {step.where}" if step.where and step.where not in what else ""
    return f"{step.number}. {what}{where}"
