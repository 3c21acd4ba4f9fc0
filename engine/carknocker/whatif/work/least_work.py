"""The least work that makes a car ready: the set of jobs that a plan lists and an order for wheelsets goes by."""

from functools import partial

import msgspec

from carknocker.judgement.answer import CheckAnswer
from carknocker.whatif.hypothetical_car import as_it_stood
from carknocker.whatif.work.model import Trial
from carknocker.whatif.work.parts_put_on_record import PutOnRecord, put_on_record
from carknocker.whatif.work.prices import Prices
from carknocker.whatif.work.trial import SmallestSet, Trials, smallest, weight

MOST_TRIALS = 400
"""The most sets of work that are tried. A set found at this limit is said not to be proven smallest."""


class LeastWork(msgspec.Struct, frozen=True):
    """The set that was found. trials: of all sets that were tried. put: parts that must be there and are not on record,
    which it takes to be there."""

    trials: Trials
    found: SmallestSet
    put: tuple[PutOnRecord, ...]

    @property
    def trial(self) -> Trial:
        """The car after the work."""
        result: Trial = self.found.best.result
        return result


def least_work(check: CheckAnswer, prices: Prices) -> LeastWork:
    """The fewest jobs (a roll-out is one), then the fewest with a condition yet to be shown, then the least cost and
    hours if prices are given, then the fewest wheelsets to be bought.

    Raises CannotJudge if a hypothetical car can't be judged.
    """
    judged = check.judgement
    day = max(judged.move.out, check.day)
    looked_at = put_on_record(as_it_stood(judged.car, check.day), judged.move, judged.rulebook, day)
    trials = Trials(looked_at.car, judged.move, judged.rulebook, day)
    return LeastWork(trials, _searched(trials, prices), looked_at.put)


def _searched(trials: Trials, prices: Prices) -> SmallestSet:
    """The smallest set that clears all that work on offer can clear. What one set leaves open may bring new jobs on
    offer, which may answer what another set left; so the search is repeated until it brings no new job. No set is
    judged twice."""
    trials.tried(frozenset())
    while True:
        on_offer = trials.on_offer
        left = trials.tried(frozenset()).left
        hopeless = frozenset(need for need, options in left if not options)
        found = smallest(lambda jobs: weight(jobs, trials, prices), partial(trials.tried, ignore=hopeless),
                         most_trials=MOST_TRIALS, none_suffices=lambda: trials.none_suffices)  # fmt: skip
        if trials.on_offer == on_offer:
            return found
