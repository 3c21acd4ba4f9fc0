"""Until when a test device is in date, for tests that are written as text."""

from datetime import date, timedelta


def device_due(tested: str) -> str:
    """A day 92 days after the test, the longest that 49 CFR 232.309 allows between two checks of a device."""
    return (date.fromisoformat(tested) + timedelta(days=92)).isoformat()
