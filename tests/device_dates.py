"""Until when a test device is in date, for tests that are written as text."""

from datetime import date, timedelta


def device_due(tested: str) -> str:
    """A day 400 days after the test: the longest that is usual, so that a later test on paper is in date, too."""
    return (date.fromisoformat(tested) + timedelta(days=400)).isoformat()
