"""How plans and arrangements say money, hours, days and cautions."""

from collections.abc import Iterable
from datetime import date
from fractions import Fraction

from carknocker.dossier.cautions import AIR, ALWAYS, ELECTRICAL, LIFTING
from carknocker.questions.plan.model import Step

_AIR_STAGES = ("brakes", "adjust heights, clearances and travel")
_ELECTRICAL = ("jumper", "trainline power", "electrical")


def number_words(amount: Fraction) -> str:
    """`1,200`, `7.5`: at most two places after the point."""
    if amount.denominator == 1:
        return f"{amount.numerator:,}"
    hundredths = round(amount * 100)
    return f"{hundredths // 100:,}.{hundredths % 100:02}".rstrip("0").rstrip(".")


def days_words(first: date, last: date) -> str:
    """One day, or from one to another."""
    return first.isoformat() if first == last else f"{first.isoformat()} to {last.isoformat()}"


def cautions_of(steps: Iterable[Step]) -> tuple[str, ...]:
    """The standing cautions, and those for the work of these steps."""
    listed = tuple(steps)
    cautions = list(ALWAYS)
    if any(step.sort in ("roll out", "roll back") or "wheelset" in step.what for step in listed):
        cautions.append(LIFTING)
    if any(step.stage in _AIR_STAGES or "brake" in step.what for step in listed):
        cautions.append(AIR)
    if any(word in step.what for step in listed for word in _ELECTRICAL):
        cautions.append(ELECTRICAL)
    return tuple(cautions)
