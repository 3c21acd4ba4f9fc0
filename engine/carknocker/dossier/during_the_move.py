"""What runs out during and after the move, day by day, and what must be renewed or done on the way."""

from collections.abc import Iterable
from datetime import date

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import DutyOnTheWay
from carknocker.page.leg_lines import leg_entries
from carknocker.page.model import Entry
from carknocker.wording.causes import fact_words
from carknocker.wording.duties import during_the_move, requirement_of_duty
from carknocker.wording.lapses import lapse_lines
from carknocker.wording.parts import named
from carknocker.wording.sources import source_words

_MOST_DATES = 4
_MOST_REASONS = 4


class LapsingDay(msgspec.Struct, frozen=True):
    """A day, and what is good for the last time on it. before_the_return: whether the day is before the return."""

    day: date
    before_the_return: bool
    lines: tuple[str, ...]

    @property
    def title(self) -> str:
        """`2026-11-06, before the return`."""
        return self.day.isoformat() + (", before the return" if self.before_the_return else "")


def lapses_of(index: JudgementIndex) -> tuple[LapsingDay, ...]:
    """For each day, what is good for the last time on it; days before the return come first."""
    back = index.judgement.move.back
    lapsing = ((one, last) for one in index.judgement.findings if (last := index.last_day(one)) is not None)
    by_day: dict[date, list[str]] = {}
    for day, line in lapse_lines(lapsing, index):
        by_day.setdefault(day, []).append(line.text(index))
    return tuple(LapsingDay(day, day < back, tuple(lines)) for day, lines in by_day.items())


def on_the_way_of(index: JudgementIndex) -> tuple[Entry, ...]:
    """Duties during the move: first those that are a condition of it, with their reasons; then all of them leg by
    leg."""
    groups: dict[tuple[str, ...], list[DutyOnTheWay]] = {}
    for duty in index.judgement.on_the_way:
        if not duty.routine:
            groups.setdefault(_group_of(duty), []).append(duty)
    conditions = (_entry(group, index) for group in groups.values())
    return (*conditions, *leg_entries(during_the_move(index.judgement)))


def _group_of(one: DutyOnTheWay) -> tuple[str, ...]:
    due = ",".join(day.isoformat() for day in one.due)
    if one.finding is not None:
        return "finding", one.finding.criterion.id, due
    duty = one.duty
    return ("duty", duty.consequence.id, repr(duty.requirement), duty.note) if duty is not None else ("", due)


def _entry(group: list[DutyOnTheWay], index: JudgementIndex) -> Entry:
    first = group[0]
    if first.finding is not None:
        criterion = first.finding.criterion
        parts = named((one.finding.part for one in group if one.finding is not None), index)
        lines = [f"{parts}: renewed by the {first.by} {_due_words(first.due)}", source_words(criterion.source)]
        return Entry(criterion.title, tuple(lines))
    duties = [one.duty for one in group if one.duty is not None]
    parts = named((duty.part for duty in duties), index)
    asked = requirement_of_duty(duties[0].requirement, parts, duties[0].since)
    causes = _some(dict.fromkeys(fact_words(duty.cause, index) for duty in duties))
    told = (f"during the move: {asked}", f"because of: {causes}", source_words(duties[0].consequence.source))
    return Entry(duties[0].consequence.title, told)


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
