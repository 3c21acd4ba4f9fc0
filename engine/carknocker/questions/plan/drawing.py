"""The plan as bars: each step from its first day to its last, solid on the critical path, open where a part of unknown
lead time comes first."""

from datetime import date

from carknocker.page.drawings.canvas_in_units import WIDTH, Canvas, Fill
from carknocker.page.drawings.width_in_units import SMALL, text_width, wrapped_lines
from carknocker.page.model import Drawing
from carknocker.questions.plan.model import Plan, Step

_MOST = 24
_LANE = 9.0
_LINE = 14.0


def schedule_drawing(plan: Plan) -> Drawing | None:
    """The schedule; None if there is nothing to do."""
    if not plan.steps:
        return None
    move, day = plan.check.judgement.move, plan.check.day
    first = min(day, *(step.first for step in plan.steps))
    last = max(move.out, plan.ready_on, *(step.last for step in plan.steps))
    canvas = Canvas("schedule")
    for number, words in enumerate(_head(plan)):
        canvas.text(0, 12 + _LINE * number, words, size=SMALL)
    y = 12 + _LINE * 3
    for step in plan.steps[:_MOST]:
        y = _row(canvas, step, (first, last), move.out, y)
    if len(plan.steps) > _MOST:
        canvas.text(0, y + 12, f"and {len(plan.steps) - _MOST} more steps", size=SMALL)
        y += 20
    return canvas.finish(y + 2, "The steps of the plan by their days", _described(plan))


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


def _row(canvas: Canvas, step: Step, span: tuple[date, date], out: date, top: float) -> float:
    dates = step.first.isoformat()
    if step.last != step.first:
        dates += f" to {step.last.isoformat()}"
    canvas.text(WIDTH, top + 12, dates, anchor="end", size=SMALL)
    y = top
    for line in wrapped_lines(_step_words(step), WIDTH - text_width(dates, SMALL) - 8, SMALL, most=2):
        canvas.text(0, y + 12, line, size=SMALL)
        y += _LINE
    lane = y + 3
    left, right = _at(step.first, span), _at(step.last, span, whole=True)
    canvas.line(0, lane + _LANE / 2, WIDTH, lane + _LANE / 2, width=0.4)
    fill: Fill = "none" if step.earliest else "ink" if step.critical else "tint"
    dashes = "3 2" if step.earliest else ""
    canvas.box(left, lane, max(right - left, 3), _LANE, fill=fill, width=1.2, dashes=dashes)
    departure = _at(out, span)
    canvas.line(departure, lane - 2, departure, lane + _LANE + 2, width=2)
    return lane + _LANE + 6


def _at(day: date, span: tuple[date, date], *, whole: bool = False) -> float:
    """The x at which a day begins.

    whole: the x at which it ends.
    """
    first, last = span
    days = (last - first).days + 1
    return 1 + (WIDTH - 2) * ((day - first).days + whole) / days


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
