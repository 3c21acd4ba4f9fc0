"""The legs of a move in words: when each leaves and arrives, or between which days that must be."""

from carknocker.judgement.duty_moments import LegDays
from carknocker.quantities import write_quantity
from carknocker.record.model import Leg, Move


def leg_words(leg: Leg, move: Move) -> str:
    """`Port Averill to Saltmarsh Quay, 38 miles, 2026-11-07`."""
    return f"{leg.start} to {leg.end}, {write_quantity(leg.miles)}, {_days_words(leg, move)}"


def _days_words(leg: Leg, move: Move) -> str:
    days = LegDays(move)
    on, until = days.on(leg), days.until(leg)
    if on is None:
        before = [day for one in move.legs[: leg.number - 1] for day in (days.on(one), days.until(one)) if day]
        after = [day for one in move.legs[leg.number :] if (day := days.on(one)) is not None]
        latest = until or min(after, default=move.back)
        return (
            f"day not on file: not before {max(before, default=move.out).isoformat()}, not after {latest.isoformat()}"
        )
    if until is None:
        return f"leaves {on.isoformat()}, day of arrival not on file"
    return on.isoformat() if until == on else f"{on.isoformat()} to {until.isoformat()}"


def legs_without_day(move: Move) -> str:
    """`day of leg 2 not on file`; empty where the days of all legs are known."""
    numbers = LegDays(move).undated()
    if not numbers:
        return ""
    listed = ", ".join(str(number) for number in numbers)
    return f"day of leg {listed} not on file" if len(numbers) == 1 else f"days of legs {listed} not on file"
