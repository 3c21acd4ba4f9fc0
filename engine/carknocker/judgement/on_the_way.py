"""Stage 5: what is to be renewed or done during the move, and by which days."""

from collections.abc import Iterable
from datetime import date, timedelta

from carknocker.judgement.model import Duty, DutyOnTheWay, Finding
from carknocker.quantities import Period
from carknocker.record.model import Move


def duties_on_the_way(findings: Iterable[Finding], duties: Iterable[Duty], move: Move) -> tuple[DutyOnTheWay, ...]:
    """What the crew renews of what is met on departure, with its days, and the duties that only the move can answer."""
    found: list[DutyOnTheWay] = []
    for finding in findings:
        renewal = finding.criterion.renewal
        if renewal is None or finding.verdict not in ("met", "borderline") or not finding.part.fitted:
            continue
        first = _first_due(finding, renewal.every, move)
        if first is not None:
            due = _due_days(first, renewal.every, move.back)
            found.append(DutyOnTheWay(finding, None, renewal.by, due, renewal.routine))
    found.extend(
        DutyOnTheWay(None, duty, "host", (), duty.requirement.routine) for duty in duties if duty.state == "on the way"
    )
    return tuple(found)


def _first_due(finding: Finding, every: Period | None, move: Move) -> date | None:
    """The first day by which it is to be renewed; None where what is on record lasts to the return.

    An interval that is shorter than the age which the criterion accepts counts from the reading too, from the oldest of
    several, but asks for nothing before departure: that the car may leave is what the criterion says.
    """
    due = finding.lapses_on
    read = finding.oldest or (None if finding.evidence is None else finding.evidence.on)
    if every is not None and read is not None:
        interval = max(every.after(read), move.out)
        if interval < move.back and (due is None or interval < due):
            return interval
    return due


def _due_days(first: date, every: Period | None, back: date) -> tuple[date, ...]:
    """The days by which it must be renewed: the last day it holds, then each interval on, up to the return."""
    if every is None or every.after(date.min) == date.min:
        return (first,)
    if not every.months:
        step = timedelta(days=every.days)
        times = max(-((first - back) // step) - 1, 0)
        return tuple(first + step * number for number in range(times + 1))
    days = [first]
    while (following := every.after(days[-1])) < back:
        days.append(following)
    return tuple(days)
