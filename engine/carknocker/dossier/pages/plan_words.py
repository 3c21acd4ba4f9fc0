"""How plans say their answer, money, hours, days and cautions."""

from collections.abc import Iterable
from datetime import date
from fractions import Fraction

from carknocker.dossier.cautions import cautions
from carknocker.questions.plan.model import Plan, Step
from carknocker.vocabulary import Hazard

_AIR_STAGES = ("brakes", "adjust heights, clearances and travel")


def number_words(amount: Fraction) -> str:
    """`1,200`, `7.5`: at most two places after the point."""
    if amount.denominator == 1:
        return f"{amount.numerator:,}"
    hundredths = round(amount * 100)
    return f"{hundredths // 100:,}.{hundredths % 100:02}".rstrip("0").rstrip(".")


def money_words(amount: Fraction, currency: str) -> str:
    """`1,200 dollars`; without a currency the number alone."""
    return f"{number_words(amount)} {currency}".rstrip()


def days_words(first: date, last: date) -> str:
    """One day, or from one to another."""
    return first.isoformat() if first == last else f"{first.isoformat()} to {last.isoformat()}"


def cautions_of(steps: Iterable[Step]) -> tuple[str, ...]:
    """The standing cautions, and those for the work of these steps."""
    hazards: set[Hazard] = set()
    for step in steps:
        hazards.update(step.hazards)
        if step.stage in _AIR_STAGES:
            hazards.add("air")
    return cautions(hazards)


def verdict_words(plan: Plan) -> str:
    """The answer in one line."""
    move = plan.check.judgement.move
    if not plan.suffices and plan.car_ready:
        car = f"by {plan.ready_on.isoformat()}" if plan.steps else "as it stands"
        number = len(plan.lacks)
        things = "a thing about it stands" if number == 1 else f"{number} things about it stand"
        return (
            f"NOT ON THIS MOVE: the car can be ready {car}, but the move as stated can't be made; {things} in the way."
        )
    if not plan.suffices:
        return (
            f"NO WORK ON OFFER SUFFICES: {len(plan.lacks)} thing{plural(len(plan.lacks))} would still stand in the way."
        )
    if not plan.steps:
        return f"NOTHING TO DO: {plan.outcome.upper()} as it stands; the host decides."
    jobs = f"{len(plan.jobs)} job{plural(len(plan.jobs))}" if plan.jobs else "no work, but readings, tests or papers"
    if plan.in_time:
        spare = (move.out - plan.ready_on).days
        left = f"{spare} day{plural(spare)} before departure" if spare else "the day of departure"
        return f"{plan.outcome.upper()} ON {plan.ready_on.isoformat()}, {left}: {jobs}; the host decides."
    late = (plan.ready_on - move.out).days
    return f"TOO LATE: {plan.outcome} on {plan.ready_on.isoformat()}, {late} day{plural(late)} after departure: {jobs}."


def plural(number: int) -> str:
    """The ending of a word of which there are so many."""
    return "" if number == 1 else "s"
