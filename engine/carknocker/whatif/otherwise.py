"""What would make a car ready: the smallest sets of work, and the dates."""

from functools import partial

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Judgement
from carknocker.judgement.permissions import Permissions
from carknocker.rulebook.library import Library
from carknocker.vocabulary import work_to
from carknocker.whatif.hypothetical_car import as_it_stood
from carknocker.whatif.model import JobSaid, Otherwise, Sets, Stands, WorkSet
from carknocker.whatif.ready_dates import dates_of
from carknocker.whatif.refusal_groups import stands
from carknocker.whatif.work.model import Job, Need, Trial
from carknocker.whatif.work.offers import with_roll_outs
from carknocker.whatif.work.parts_put_on_record import put_on_record
from carknocker.whatif.work.prices import Prices
from carknocker.whatif.work.trial import SmallestSet, Trials, TriedSet, smallest, weight

MOST_SETS = 4
MOST_TRIALS = 60
"""Sets of work that are tried at most for each that is looked for."""


def sets_of(answer: CheckAnswer) -> Sets:
    """The smallest sets of work for a car that is not ready, each found by judging the hypothetical car. Raises
    CannotJudge."""
    judged = answer.judgement
    day = max(judged.move.out, answer.day)
    looked_at = put_on_record(as_it_stood(judged.car, answer.day), judged.move, judged.rulebook, day)
    trials = Trials(looked_at.car, judged.move, judged.rulebook, day)
    found, more = smallest_sets(trials)
    base: Trial = trials.tried(frozenset()).result
    assumed: Trial = trials.tried(found[0]).result if found else base
    hopeless = _hopeless(trials)
    beyond = stands((one for one in base.left if one.identity in hopeless), base.judgement)
    least: Trial = base if found else _searched(trials, hopeless, found).best.result
    still = () if found else tuple(one for one in least.left if one.identity not in hopeless)
    left = stands(still, least.judgement)
    put: dict[str, dict[str, None]] = {}
    for one in looked_at.put:
        put.setdefault(one.words, {})[one.label] = None
    sets = tuple(_set(jobs, trials) for jobs in found)
    return Sets(sets, more, beyond, len(assumed.assumed), left, _stands_of(put), _permitted(judged))


def _stands_of(put: dict[str, dict[str, None]]) -> tuple[Stands, ...]:
    return tuple(Stands(words, tuple(labels)) for words, labels in put.items())


def _permitted(judged: Judgement) -> tuple[Stands, ...]:
    """What is known to be wrong and the host could let pass in writing."""
    allowed = Permissions(judged)
    known = (one for one in judged.refusals if one.finding is None or one.finding.verdict != "not shown")
    may_pass = (one for one in known if (may := allowed.of(one)) is not None and may.purpose == "move")
    return stands(may_pass, judged)


def smallest_sets(trials: Trials, most: int = MOST_SETS) -> tuple[list[frozenset[Job]], bool]:
    """The lightest sets that clear all that work can clear, of which no job can be left out, and whether there may be
    more. One empty set: readings, tests and papers alone do. None: nothing on offer does."""
    base: Trial = trials.tried(frozenset()).result
    found: list[frozenset[Job]] = []
    while True:
        hopeless = _hopeless(trials)
        if hopeless == {one.identity for one in base.left} and base.left:
            return found, False
        search = _searched(trials, hopeless, found)
        if not search.complete:
            return found, not search.proven
        if len(found) == most:
            return found, True
        found.append(search.best.jobs)
        if not search.best.jobs:
            return found, False


def _hopeless(trials: Trials) -> frozenset[Need]:
    return frozenset(need for need, options in trials.tried(frozenset()).left if not options)


def _searched(trials: Trials, hopeless: frozenset[Need], found: list[frozenset[Job]]) -> SmallestSet:
    """The lightest set that is none of those found, nor one of them and more. What a set leaves may bring on offer a
    job that answers what another left: then it is searched again. Nothing is judged twice."""

    def tried(jobs: frozenset[Job]) -> TriedSet:
        if any(known <= jobs for known in found):
            return TriedSet(jobs, ((_FOUND, ()),), None)
        return trials.tried(jobs, ignore=hopeless)

    of = partial(weight, trials=trials, prices=Prices())
    while True:
        on_offer = trials.on_offer
        search = smallest(of, tried, most_trials=MOST_TRIALS, most_others=0, none_suffices=lambda: trials.none_suffices)
        if trials.on_offer == on_offer:
            return search


_FOUND: Need = "found"


def _set(jobs: frozenset[Job], trials: Trials) -> WorkSet:
    groups: dict[tuple[bool, str, str], list[str]] = {}
    rolled_out = work_to("roll a truck out")
    for job in sorted(with_roll_outs(jobs, trials.standing)):
        labels = [trials.start.parts[key].label for key in job.at if key in trials.start.parts]
        groups.setdefault((job.work == rolled_out, job.work, job.serial), []).extend(labels)
    return WorkSet(
        tuple(JobSaid(work, tuple(labels), serial) for (_, work, serial), labels in sorted(groups.items())),
        tuple(trials.provisos[job] for job in sorted(jobs) if job in trials.provisos),
        sum(job.bought for job in jobs),
    )


def otherwise(answer: CheckAnswer, library: Library) -> Otherwise | None:
    """What would make the car ready; None for one that is. Raises CannotJudge."""
    if answer.outcome in ("ready", "ready with restrictions"):
        return None
    return Otherwise(sets_of(answer), dates_of(answer, library))
