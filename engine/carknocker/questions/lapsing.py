"""What holds on one day, and until when: the last good day of a finding, by asking its criterion again."""

from datetime import date, timedelta

from carknocker.judgement.findings import last_good_day as last_good_day_of
from carknocker.judgement.model import Finding
from carknocker.judgement.truth import NEAR
from carknocker.questions.looks import Looks

LOOK_AHEAD = timedelta(days=366)
"""How far past the return a dossier lists what runs out."""


def last_day(finding: Finding, looks: Looks, guess: date | None = None) -> date | None:
    """The last day on which a finding is met, if it is met on departure and that day is not too far off. guess: a day
    that is asked first, as that of another part by the same criterion."""
    if finding.verdict == "lapses":
        return finding.lapses_on
    back = looks.judgement.move.back
    return last_good_day(finding, looks, back, back + LOOK_AHEAD, guess)


def last_good_day(
    finding: Finding, looks: Looks, first: date, until: date, guess: date | None = None
) -> date | None:  # fmt: skip
    """The last day from `first` on and before `until` up to which the criterion holds without a break for a part of the
    car. None where it does not hold on `first`, holds until then, does not depend on the day, or is renewed on the
    road."""
    if finding.verdict not in ("met", "borderline", "lapses") or not finding.part.fitted:
        return None
    one = looks.compiled(finding.criterion)
    if finding.criterion.renewal is not None or not one.may_lapse:
        return None

    def holds(day: date) -> bool:
        return one.must(looks.sight(finding, day)) >= NEAR

    ages = not one.may_begin and guess is not None and first <= guess < until
    if ages and guess is not None and holds(guess) and not holds(guess + timedelta(days=1)):
        return guess
    return (
        last_good_day_of(one, finding.part, looks.judgement.situation, first, until, arriving=False)
        if holds(first)
        else None
    )
