"""`plan`: the smallest set of work that makes the car ready, in workable order, and the day on which it can be."""

from fractions import Fraction
from functools import partial
from typing import Any

from carknocker.judgement.answer import CheckAnswer
from carknocker.questions.plan.assumed import Trial
from carknocker.questions.plan.jobs import with_roll_outs
from carknocker.questions.plan.model import Job, NotOffered, Plan
from carknocker.questions.plan.out import trucks_out
from carknocker.questions.plan.prices import Prices
from carknocker.questions.plan.schedule import as_scheduled, departure, early_readings
from carknocker.questions.plan.search import Found, smallest
from carknocker.questions.plan.steps import StepMaker
from carknocker.questions.plan.summary import cleared_by, job_words, lack_of, notes_of
from carknocker.questions.plan.trial import Trials
from carknocker.vocabulary.program_names import WHEELSET
from carknocker.whatif.hypothetical_car import as_it_stood

MOST_TRIALS = 400
"""Sets of work that are tried at most; a plan found by then is said not to be proven."""


_LATE = (
    "Number of jobs and price chose this set, not the day: another of the sets that `why` lists may be done sooner, "
    "such as one without a part to wait for."
)


def plan(check: CheckAnswer, prices: Prices | None = None) -> Plan:
    """The plan for a car that was judged. Fewest jobs (a roll-out is one), then none with a condition yet to be shown,
    then cost and hours where prices are given, then fewest wheelsets to be bought.

    Raises CannotJudge if a hypothetical car can't be judged.
    """
    priced = prices or Prices()
    judged = check.judgement
    day = max(judged.move.out, check.day)
    trials = Trials(as_it_stood(judged.car, check.day), judged.move, judged.rulebook, day)
    found = _searched(trials, priced)
    return _answer(check, priced, trials, found, trials.tried(frozenset()).result)


def _searched(trials: Trials, prices: Prices) -> Found:
    """The smallest set for all that work on offer can clear. What one set leaves may bring on offer a job that answers
    what another left: so the search is made again until it brings nothing new. Nothing is judged twice."""
    trials.tried(frozenset())
    while True:
        on_offer = trials.on_offer
        left = trials.tried(frozenset()).left
        hopeless = frozenset(need for need, options in left if not options)
        found = smallest(lambda jobs: weight(jobs, trials, prices), partial(trials.tried, ignore=hopeless),
                         most_trials=MOST_TRIALS)  # fmt: skip
        if trials.on_offer == on_offer:
            return found


def weight(jobs: frozenset[Job], trials: Trials, prices: Prices) -> tuple[Any, ...]:
    """What a set of jobs is compared by. Last come the order of the remedies and the names: they only order what is
    otherwise alike."""
    whole = with_roll_outs(jobs, trials.standing)
    cost = hours = Fraction(0)
    unpriced = 0
    at_hand = {spare.name for spare in trials.car.spares if spare.carried + spare.shelf > 0}
    for job in whole:
        price = prices.of_work(job.work)
        parts = [name for name in price.parts if name not in at_hand]
        spares = [prices.spares.get(name) for name in (*parts, *((WHEELSET,) if job.bought else ()))]
        cost += (price.cost or 0) + sum((one.cost or Fraction(0) for one in spares if one is not None), Fraction(0))
        hours += price.hours or 0
        unpriced += price.cost is None and price.hours is None
    unsure = sum(job in trials.provisos for job in jobs)
    asked = unpriced if prices.file else 0
    last = (sum(trials.ranks.get(job, 0) for job in jobs), tuple(sorted(jobs)))
    return len(whole), unsure, asked, cost, hours, sum(job.bought for job in jobs), last


def _answer(check: CheckAnswer, prices: Prices, trials: Trials, found: Found, base: Trial) -> Plan:
    trial: Trial = found.best.result
    clears = cleared_by(trial, base, trials)
    early = early_readings(trial, base, trials)
    maker = StepMaker(trial, trials.start, prices, check.day, clears, early)
    steps = maker.steps()
    ready_on = max((step.last for step in steps), default=check.day)
    after = as_scheduled(check, trial, trials, steps, early) if ready_on <= check.judgement.move.out else None
    outcome = after or trial.judgement
    notice, first_departure = departure(check, ready_on)
    lacks = tuple(lack_of(one, outcome, first_departure) for one in outcome.refusals)
    cost, hours = _sum(step.cost for step in steps), _sum(step.hours for step in steps)
    notes = notes_of(check, prices, trial, outcome, found)
    if prices.file and trial.jobs and ready_on > check.judgement.move.out:
        notes = (*notes, _LATE)
    chosen = tuple(sorted(trial.jobs))
    return Plan(
        check, outcome, outcome.outcome, chosen, steps, trucks_out(trials.start, chosen), lacks,
        tuple(one for one in trials.not_offered if isinstance(one, NotOffered)),
        tuple(tuple(job_words(job, trials) for job in sorted(with_roll_outs(jobs, trials.standing) - trial.jobs))
              for jobs in found.others),
        tuple(trials.provisos[job] for job in chosen if job in trials.provisos),
        ready_on, first_departure, notice, cost, hours, tuple(maker.costs.unpriced) if prices.file else (), notes,
        trials.judged, found.proven and found.complete, prices.currency,
    )  # fmt: skip


def _sum(amounts: Any) -> Fraction | None:
    known = [one for one in amounts if one is not None]
    return sum(known, Fraction(0)) if known else None
