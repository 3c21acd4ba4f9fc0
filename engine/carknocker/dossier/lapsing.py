"""What runs out when, and what must be renewed or done during the move."""

from collections.abc import Iterable
from datetime import date, timedelta

from carknocker.dossier.context import Context
from carknocker.dossier.entries import Entry
from carknocker.dossier.part_names import named
from carknocker.dossier.words import fact_words, requirement_of_duty, source_words
from carknocker.judgement.model import DutyOnTheWay, Finding
from carknocker.judgement.truth import NEAR
from carknocker.record.model import Part

LOOK_AHEAD = timedelta(days=366)
"""How far past the return what runs out is listed."""
_MOST_DATES = 4
_MOST_REASONS = 4


def lapses_of(context: Context) -> tuple[Entry, ...]:
    """Day by day, what holds for the last time on that day; those before the return come first and say so."""
    back = context.judgement.move.back
    by_day: dict[date, dict[str, list[Part]]] = {}
    for finding in context.judgement.findings:
        last = _last_day(finding, context)
        if last is not None:
            by_day.setdefault(last, {}).setdefault(finding.criterion.title, []).append(finding.part)
    return tuple(
        Entry(
            day.isoformat() + (", before the return" if day < back else ""),
            tuple(f"{title}: {named(parts, context)}" for title, parts in by_day[day].items()),
        )
        for day in sorted(by_day)
    )


def _last_day(finding: Finding, context: Context) -> date | None:
    """The last day on which a finding is met, if it is met on departure and that day is not too far off."""
    if finding.verdict == "lapses":
        return finding.lapses_on
    if finding.verdict not in ("met", "borderline") or not finding.part.fitted or finding.criterion.renewal is not None:
        return None
    if not context.compiled(finding.criterion).dated:
        return None
    good, bad = context.judgement.move.back, context.judgement.move.back + LOOK_AHEAD
    if _holds(finding, bad, context) or not _holds(finding, good, context):
        return None
    while (bad - good).days > 1:
        middle = good + timedelta(days=(bad - good).days // 2)
        if _holds(finding, middle, context):
            good = middle
        else:
            bad = middle
    return good


def _holds(finding: Finding, day: date, context: Context) -> bool:
    return context.compiled(finding.criterion).must(context.sight(finding, day)) >= NEAR


def on_the_way_of(context: Context) -> tuple[Entry, ...]:
    """Duties during the move: who does what on which parts, by which days; what is not routine comes first."""
    groups: dict[tuple[str, ...], list[DutyOnTheWay]] = {}
    for duty in context.judgement.on_the_way:
        groups.setdefault(_group_of(duty), []).append(duty)
    ordered = sorted(groups.values(), key=lambda group: group[0].routine)
    return tuple(_entry(group, context) for group in ordered)


def _group_of(one: DutyOnTheWay) -> tuple[str, ...]:
    due = ",".join(day.isoformat() for day in one.due)
    if one.finding is not None:
        return "finding", one.finding.criterion.id, due
    duty = one.duty
    return ("duty", duty.consequence.id, repr(duty.requirement), duty.note) if duty is not None else ("", due)


def _entry(group: list[DutyOnTheWay], context: Context) -> Entry:
    first = group[0]
    routine = " (routine)" if first.routine else ""
    if first.finding is not None:
        criterion = first.finding.criterion
        parts = named((one.finding.part for one in group if one.finding is not None), context)
        lines = [f"{parts}: renewed by the {first.by} {_due_words(first.due)}", source_words(criterion.source)]
        return Entry(f"{criterion.title}{routine}", tuple(lines))
    duties = [one.duty for one in group if one.duty is not None]
    parts = named((duty.part for duty in duties), context)
    asked = requirement_of_duty(duties[0].requirement, parts, duties[0].since)
    causes = _some(dict.fromkeys(fact_words(duty.cause.name, context) for duty in duties))
    lines = [f"during the move: {asked}"]
    if not first.routine:
        lines.append(f"because of: {causes}")
    lines.append(source_words(duties[0].consequence.source))
    return Entry(f"{duties[0].consequence.title}{routine}", tuple(lines))


def _some(words: Iterable[str]) -> str:
    listed = list(words)
    rest = len(listed) - _MOST_REASONS
    return "; ".join(listed[:_MOST_REASONS]) + (f"; and {rest} more" if rest > 0 else "")


def _due_words(due: tuple[date, ...]) -> str:
    if not due:
        return "during the move"
    days = [day.isoformat() for day in due]
    if len(days) <= _MOST_DATES:
        return f"by {', '.join(days)}"
    return f"by {', '.join(days[:2])} and so on, the last time by {days[-1]} ({len(days)} times)"
