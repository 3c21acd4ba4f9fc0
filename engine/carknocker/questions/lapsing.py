"""What holds on one day, and until when: the last good day of a finding, by asking its criterion again."""

from datetime import date, timedelta

from carknocker.judgement.model import Finding
from carknocker.judgement.truth import NEAR
from carknocker.questions.looks import Looks

LOOK_AHEAD = timedelta(days=366)
"""How far past the return a dossier lists what runs out."""


def last_day(finding: Finding, looks: Looks) -> date | None:
    """The last day on which a finding is met, if it is met on departure and that day is not too far off."""
    if finding.verdict == "lapses":
        return finding.lapses_on
    back = looks.judgement.move.back
    return last_good_day(finding, looks, back, back + LOOK_AHEAD)


def last_good_day(finding: Finding, looks: Looks, first: date, until: date) -> date | None:
    """The last day from `first` on and before `until` on which the criterion still holds for a part of the car.

    None where it does not hold on `first`, still holds on `until`, does not depend on the day, or is renewed on the
    road. What once has run out stays out, so that the day is found by halving.
    """
    if finding.verdict not in ("met", "borderline", "lapses") or not finding.part.fitted:
        return None
    if finding.criterion.renewal is not None or not looks.compiled(finding.criterion).dated:
        return None
    good, bad = first, until
    if _holds(finding, bad, looks) or not _holds(finding, good, looks):
        return None
    while (bad - good).days > 1:
        middle = good + timedelta(days=(bad - good).days // 2)
        if _holds(finding, middle, looks):
            good = middle
        else:
            bad = middle
    return good


def _holds(finding: Finding, day: date, looks: Looks) -> bool:
    return looks.compiled(finding.criterion).must(looks.sight(finding, day)) >= NEAR
