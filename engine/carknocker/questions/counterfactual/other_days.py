"""The same move on other days: what that alone would change for one finding."""

from datetime import date, timedelta

from carknocker.judgement.criteria import prepare
from carknocker.judgement.model import Finding
from carknocker.judgement.threshold import first_holding, last_holding
from carknocker.questions.counterfactual.what_if import WhatIf
from carknocker.whatif.dated_rules import decided_by_dates, only_ages
from carknocker.whatif.day_watch import verdict_changes
from carknocker.whatif.move_days import MoveDays, back_on, shifted

AHEAD = 400
"""Days after the day of the judgement up to which a departure is tried."""

_GOOD = ("met", "borderline")


def met_if_back_by(finding: Finding, what_if: WhatIf) -> date | None:
    """The last return, leaving as planned, with which a finding that lapses would last. None where it does not lapse,
    or where asking it again does not bear that out."""
    last, move = finding.lapses_on, what_if.judgement.move
    if finding.verdict != "lapses" or last is None or last < move.out:
        return None
    for day in (last, last - timedelta(days=1)):  # a limit of miles may already bind on the last good day
        if day >= move.out and what_if.verdict_on(finding, back_on(move, day)) in _GOOD:
            return day
    return None


def met_if_leaving(finding: Finding, what_if: WhatIf) -> tuple[date | None, date | None]:
    """The nearest earlier and the nearest later departure, from the day of the judgement to 400 days after it, with
    which a finding that is breached or lapses would be met under the same rulebook, the move as long as it is. None for
    each that there is not; a criterion that no date decides is not asked."""
    judgement = what_if.judgement
    one = prepare(judgement.rulebook).criterion(finding.criterion)
    if finding.verdict not in ("breached", "lapses") or not decided_by_dates(one):
        return None, None
    move, first = judgement.move, (judgement.as_of - judgement.move.out).days
    last = first + AHEAD
    days = MoveDays(move, 0, min(first, -1), max(last, 1))
    changes = set(verdict_changes(one, finding.part, what_if.situation, days))

    def good(number: int) -> bool:
        return what_if.verdict_on(finding, shifted(move, number)) in _GOOD

    earlier = last_holding(good, first, -1, changes)
    later = None
    if not only_ages(one, papers_begin_later=True):  # what only grows old never comes back on a later day
        later = first_holding(good, max(1, first), last, changes)
    return (
        None if earlier is None else move.out + timedelta(days=earlier),
        None if later is None else move.out + timedelta(days=later),
    )
