"""Trials of sets of jobs: the car after the jobs, then read and tested until no more can be shown; and a best-first
search for the smallest set that leaves nothing in the way."""

from collections.abc import Callable, Iterable
from datetime import date
from fractions import Fraction
from functools import cached_property
from heapq import heappop, heappush
from typing import Any

import msgspec
from msgspec.structs import replace

from carknocker.judgement.chain.fixed_point import PlainEvaluator
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Finding, Judgement, Refusal
from carknocker.record.model import CarRecord, Evidence, Move
from carknocker.record.part_keys import serial_of, wheelset_key
from carknocker.rulebook.model import Rulebook
from carknocker.vocabulary.program_names import TAPE_SIZE, WHEELSET
from carknocker.whatif.hypothetical_car import NOWHERE, someone_accepted, with_evidence, with_spare
from carknocker.whatif.hypothetical_finding import lapses_however_fresh
from carknocker.whatif.refusal_groups import may_be_relieved
from carknocker.whatif.work.clearing_evidence import ClearingEvidence
from carknocker.whatif.work.model import AssumedEvidence, Job, Need, Trial, TrialEvidence
from carknocker.whatif.work.offers import Offers, touches, with_roll_outs
from carknocker.whatif.work.prices import Prices
from carknocker.whatif.work.record_after import after_work, like_the_replaced, looks_at_descriptions
from carknocker.whatif.work.wheel_sizes import new_sizes

Needs = tuple[tuple[Need, tuple[Job, ...]], ...]
"""What keeps the car from moving, each with all jobs that may clear it."""
Jobs = frozenset[Job]


class TriedSet(msgspec.Struct, frozen=True):
    """A set of jobs that was tried, and what it leaves in the way. result: of the trial."""

    jobs: Jobs
    left: Needs
    result: Any


class SmallestSet(msgspec.Struct, frozen=True):
    """best: the first set that leaves nothing in the way, or (`complete` false) the one that leaves least. others: sets
    of the same weight. proven: no lighter set was left untried."""

    best: TriedSet
    complete: bool
    others: tuple[Jobs, ...]
    tried: int
    proven: bool


_MOST_IN_VAIN = 8


def smallest(
    weight: Callable[[Jobs], tuple[Any, ...]],
    trial: Callable[[Jobs], TriedSet],
    *,
    most_trials: int = 400,
    most_others: int = 5,
    none_suffices: Callable[[], bool] = lambda: False,
) -> SmallestSet:
    """The lightest set of jobs that leaves nothing in the way.

    weight: of a set; adding a job must not make it lighter. trial: judges a set. Each need must be answered by one of
    its jobs, so only sets that answer every need met so far are worth a trial. The last part of a weight only orders
    sets that are equally good. none_suffices: whether it is certain that no set leaves nothing; then the search ends
    once several sets in turn leave no less than the best.
    """
    best: TriedSet | None = None
    found: TriedSet | None = None
    others: list[Jobs] = []
    queue: list[tuple[tuple[Any, ...], int, Jobs, Needs]] = [(weight(frozenset()), 0, frozenset(), ())]
    seen: set[Jobs] = {frozenset()}
    count = tried = in_vain = 0
    while queue:
        heavy, _, jobs, needs = heappop(queue)
        if found is not None and (heavy[:-1] > weight(found.jobs)[:-1] or len(others) >= most_others):
            break
        open_need = next(((need, options) for need, options in needs if jobs.isdisjoint(options)), None)
        if open_need is None:
            if tried >= most_trials:
                return SmallestSet(found or best or trial(frozenset()), found is not None, tuple(others), tried, False)
            tried += 1
            result = trial(jobs)
            if not result.left:
                if found is None:
                    found = result
                else:
                    others.append(jobs)
                continue
            in_vain += 1
            if best is None or len(result.left) < len(best.left):
                best, in_vain = result, 0
            if in_vain >= _MOST_IN_VAIN and none_suffices():
                return SmallestSet(found or best, found is not None, tuple(others), tried, False)
            needs = (*needs, *result.left)
            open_need = result.left[0]
        for job in open_need[1]:
            wider = jobs | {job}
            if wider in seen or any(job.clashes_with(other) for other in jobs):
                continue
            seen.add(wider)
            count += 1
            heappush(queue, (weight(wider), count, wider, needs))
    return SmallestSet(found or best or trial(frozenset()), found is not None, tuple(others), tried, True)


_MOST_ROUNDS = 20


class Trials:
    """Tries sets of jobs on one car. day: on which everything is assumed to be done."""

    def __init__(self, car: CarRecord, move: Move, rulebook: Rulebook, day: date) -> None:
        self.car, self._move, self._rulebook, self.day = car, move, rulebook, day
        self.judged = 0
        self.start = self.judged_with(car)
        self._clearing = ClearingEvidence(self.start, someone_accepted(self.start.situation, day), day)
        self.standing = self.start.situation.standing
        self._verdicts = {(one.criterion.id, one.part.key): one.verdict for one in self.start.findings}
        self.provisos: dict[Job, str] = {}
        self.ranks: dict[Job, int] = {}
        self.not_offered: dict[object, None] = {}
        self._offered: dict[tuple[str, str], set[Job]] = {}
        self._known: dict[frozenset[Job], tuple[Trial, tuple[tuple[Refusal, tuple[Job, ...]], ...]]] = {}

    @cached_property
    def none_suffices(self) -> bool:
        """Whether it is certain that no work clears all that work is on offer against: something about a part that
        stays with the car lapses before the return, even if all that it rests on is renewed on the day of the work."""
        bare = self.tried(frozenset())
        base: Trial = bare.result
        answered = {need for need, options in bare.left if options}
        index = JudgementIndex(base.judgement)
        return any(
            (finding := refusal.finding) is not None
            and refusal.identity in answered
            and serial_of(finding.part.key) is None
            and not may_be_relieved(base.judgement, finding.criterion.id)
            and lapses_however_fresh(index, finding, self.day)
            for refusal in base.left
        )

    def judged_with(self, car: CarRecord) -> Judgement:
        """A hypothetical car judged as of the day."""
        self.judged += 1
        return judge(car, self._move, self._rulebook, self.day, evaluator=PlainEvaluator())

    def tried(self, jobs: frozenset[Job], ignore: frozenset[Need] = frozenset()) -> TriedSet:
        """A set of jobs that was tried, and what it leaves, each with the jobs that may clear it: its own remedies, and
        jobs offered against other findings that may change its figure or take its part off the car."""
        if jobs not in self._known:
            self._known[jobs] = self._tried_anew(jobs)
        trial, offered = self._known[jobs]
        on_offer = self.on_offer
        left = tuple(
            (refusal.identity, self._options(refusal, own, on_offer, jobs))
            for refusal, own in offered
            if refusal.identity not in ignore
        )
        return TriedSet(jobs, left, trial)

    def _tried_anew(self, jobs: frozenset[Job]) -> tuple[Trial, tuple[tuple[Refusal, tuple[Job, ...]], ...]]:
        trial = self.trial(jobs)
        offers = Offers(trial.judgement)
        offered = tuple((refusal, self._offers_against(refusal, offers)) for refusal in trial.left)
        for reason in offers.not_offered:
            self.not_offered.setdefault(reason, None)
        return trial, offered

    def _offers_against(self, refusal: Refusal, offers: Offers) -> tuple[Job, ...]:
        finding = refusal.finding
        if finding is None or self._never_seen(finding):
            return ()
        # no work is planned on a wheelset to be bought: it is ordered as it must be
        found = [one for one in offers.against(finding) if all(part in self.standing.parts for part in one.job.at)]
        for rank, offer in enumerate(found):
            self.ranks.setdefault(offer.job, rank)
            self._offered.setdefault((finding.criterion.id, finding.part.key), set()).add(offer.job)
            if offer.proviso:
                self.provisos.setdefault(offer.job, offer.proviso_words)
        return tuple(offer.job for offer in found)

    def _never_seen(self, finding: Finding) -> bool:
        """Whether nothing was ever shown against a part: it is looked at before anybody works on it."""
        before = self._verdicts.get((finding.criterion.id, finding.part.key))
        return finding.verdict == before == "not shown"

    def _options(
        self, refusal: Refusal, own: tuple[Job, ...], on_offer: tuple[Job, ...], jobs: frozenset[Job]
    ) -> tuple[Job, ...]:
        finding = refusal.finding
        if finding is None:
            return ()
        others = (job for job in on_offer if touches(job, finding, self.standing) or self._replaces(job, finding))
        return tuple(job for job in dict.fromkeys((*own, *others)) if job not in jobs)

    def answering(self, finding: Finding) -> frozenset[Job]:
        """The jobs that were offered against a finding."""
        return frozenset(self._offered.get((finding.criterion.id, finding.part.key), ()))

    @property
    def on_offer(self) -> tuple[Job, ...]:
        """Every job that was offered so far."""
        return tuple(sorted({one for own in self._offered.values() for one in own}))

    def described(self, jobs: Iterable[Job], day: date) -> tuple[Evidence, ...]:
        """The assumed description of each wheelset to be bought: built like the one it replaces, except what refuses
        that one."""
        refused = {
            one.part.key
            for one in self.start.findings
            if one.verdict == "breached" and one.unmet and looks_at_descriptions(one.criterion)
        }
        return tuple(
            entry for job in sorted(jobs) if job.bought for entry in like_the_replaced(self.start, job, refused, day)
        )

    def _replaces(self, job: Job, finding: Finding) -> bool:
        """Whether the part leaves the car with the wheelset that the job takes off."""
        if not job.serial:
            return False
        serial = serial_of(finding.part.key)
        return serial is not None and job.at[0] in self.standing.containers(wheelset_key(serial))

    def trial(self, jobs: frozenset[Job]) -> Trial:
        """The car after the jobs, then with all the evidence that reading or testing can give."""
        complete = with_roll_outs(jobs, self.standing)
        worked, readings = after_work(self.car, self.start, complete, self.day)
        after = frozenset(one.id for one in worked.work if one.where == NOWHERE)
        readings = (*readings, *self.described(complete, self.day))
        first = judgement = self.judged_with(with_evidence(worked, readings))
        sizes = [replace(one, after=after) for one in new_sizes(self.start, first, complete, self.day)]
        if sizes:
            readings = (*readings, *sizes)
            judgement = self.judged_with(with_evidence(worked, readings))
        shown = TrialEvidence(complete, after)
        before: set[Need] = set()
        for _ in range(_MOST_ROUNDS):
            fresh = {one.identity: one for one in judgement.refusals if one.identity not in before}
            later = self._clearing.later(fresh.values(), complete)
            before |= fresh.keys() - later
            # more can be shown once more is known: the kind of valve, for example, sets the test interval
            now = [one for one in judgement.refusals if one.identity not in later]
            taken_back = self._clearing.take_back(judgement, shown)
            if not taken_back and not self._clearing.assume_evidence(now, judgement, shown):
                break
            car = with_evidence(worked, [*readings, *(one.evidence for one in shown.assumed.values())])
            for spare in shown.spares.values():
                car = with_spare(car, spare)
            judgement = self.judged_with(car)
        assumed = (*(AssumedEvidence(one, ()) for one in sizes if one.attribute == TAPE_SIZE), *shown.assumed.values())
        return Trial(
            complete, worked, first, judgement, judgement.refusals, assumed, tuple(shown.spares.values()),
            tuple(one for one in sizes if one.attribute != TAPE_SIZE),
        )  # fmt: skip


def weight(jobs: frozenset[Job], trials: Trials, prices: Prices) -> tuple[Any, ...]:
    """The weight of a set of jobs. Last come the order of the remedies and the names, only to order sets that are
    otherwise equal."""
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
