"""Lists of days in few words."""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

_FEWEST_AS_SPAN = 3


def days_words(days: Iterable[date]) -> str:
    """Days in words, consecutive ones as a span: `2026-11-06; each day from 2026-11-10 to 2026-11-14`."""
    words: list[str] = []
    for run in runs_of(days):
        if not is_span(run):
            words.extend(day.isoformat() for day in run)
        else:
            words.append(f"each day from {run[0].isoformat()} to {run[-1].isoformat()}")
    return ", ".join(words)


def is_span(run: Sequence[date]) -> bool:
    """Whether consecutive days are many enough to be written as a span."""
    return len(run) >= _FEWEST_AS_SPAN


def runs_of(days: Iterable[date]) -> list[list[date]]:
    """Days grouped into runs of consecutive days."""
    runs: list[list[date]] = []
    for day in days:
        if runs and runs[-1][-1] + timedelta(days=1) == day:
            runs[-1].append(day)
        else:
            runs.append([day])
    return runs
