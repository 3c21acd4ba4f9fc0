"""One set of jobs tried: the hypothetical car after it, read and tested anew until nothing more can be shown."""

from collections.abc import Iterable
from datetime import date

import msgspec

from carknocker.judgement.chain.evaluators import PlainEvaluator
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Finding, Judgement, Refusal
from carknocker.judgement.situation import ACCEPTANCE_ENDED
from carknocker.questions.hypothetical.hypothetical import NOWHERE, someone_accepted, with_evidence, with_spare
from carknocker.questions.plan.jobs import Offers, touches, with_roll_outs
from carknocker.questions.plan.model import Job, Need
from carknocker.questions.plan.search import Tried
from carknocker.questions.plan.showing import Assumed, Showing, Shown, need_of
from carknocker.questions.plan.work import after_work, like_the_one_before
from carknocker.record.model import CarRecord, Evidence, Move, Spare
from carknocker.record.values import Word
from carknocker.record.wheelset_parts import thing_key_of_wheelset
from carknocker.rulebook.model import Rulebook

_MOST_ROUNDS = 12


class Trial(msgspec.Struct, frozen=True):
    """jobs: with their roll-outs. worked: the car after the work, nothing read or tested yet; first: its judgement.
    judgement: at the end. left: what still refuses. spares: that ride along besides."""

    jobs: frozenset[Job]
    worked: CarRecord
    first: Judgement
    judgement: Judgement
    left: tuple[Refusal, ...]
    assumed: tuple[Assumed, ...]
    spares: tuple[Spare, ...]


class Trials:
    """Tries sets of jobs on one car. day: on which everything is taken to be done."""

    def __init__(self, car: CarRecord, move: Move, rulebook: Rulebook, day: date) -> None:
        self.car, self._move, self._rulebook, self.day = car, move, rulebook, day
        ended = {
            person.text
            for entry in car.work
            if entry.name == ACCEPTANCE_ENDED and isinstance(person := entry.facts.get("person"), Word)
        }
        self.judged = 0
        self.start = self.judged_with(car)
        self._showing = Showing(self.start, someone_accepted(car, move.host, day, ended), day)
        self.standing = self.start.situation.standing
        self.provisos: dict[Job, str] = {}
        self.ranks: dict[Job, int] = {}
        self.not_offered: dict[object, None] = {}
        self._offered: dict[tuple[str, str], set[Job]] = {}

    def judged_with(self, car: CarRecord) -> Judgement:
        """A hypothetical car judged as of the day."""
        self.judged += 1
        return judge(car, self._move, self._rulebook, self.day, evaluator=PlainEvaluator())

    def tried(self, jobs: frozenset[Job], ignore: frozenset[Need] = frozenset()) -> Tried:
        """A set of jobs tried, and what it leaves, each with the jobs that may clear it."""
        trial = self.trial(jobs)
        offers = Offers(trial.judgement)
        left: list[tuple[Need, tuple[Job, ...]]] = []
        for refusal in trial.left:
            if need_of(refusal) not in ignore:
                left.append((need_of(refusal), self._options(refusal, offers, jobs)))
        for reason in offers.not_offered:
            self.not_offered.setdefault(reason, None)
        return Tried(jobs, tuple(left), trial)

    def _options(self, refusal: Refusal, offers: Offers, jobs: frozenset[Job]) -> tuple[Job, ...]:
        finding = refusal.finding
        if finding is None:
            return ()
        options: dict[Job, None] = {}
        for rank, offer in enumerate(offers.against(finding)):
            self.ranks.setdefault(offer.job, rank)
            self._offered.setdefault((finding.criterion.id, finding.part.key), set()).add(offer.job)
            if offer.job not in jobs:
                options[offer.job] = None
            if offer.proviso:
                self.provisos.setdefault(offer.job, offer.proviso)
        for job in self.on_offer:
            if job not in jobs and (touches(job, finding, self.standing) or self._replaces(job, finding)):
                options.setdefault(job, None)
        return tuple(options)

    def answering(self, finding: Finding) -> frozenset[Job]:
        """The jobs that were offered against a finding."""
        return frozenset(self._offered.get((finding.criterion.id, finding.part.key), ()))

    @property
    def on_offer(self) -> tuple[Job, ...]:
        """Every job that was offered against anything yet."""
        return tuple(sorted({one for own in self._offered.values() for one in own}))

    def described(self, jobs: Iterable[Job], day: date) -> tuple[Evidence, ...]:
        """A wheelset to be bought is taken to be built like the one that it replaces, but for what refuses that one."""
        refused = {one.part.key for one in self.start.findings if one.verdict == "breached" and one.unmet}
        return tuple(
            entry for job in sorted(jobs) if job.bought for entry in like_the_one_before(self.start, job, refused, day)
        )

    def _replaces(self, job: Job, finding: Finding) -> bool:
        """Whether the part leaves the car with the wheelset that the job takes off."""
        if not job.serial:
            return False
        serial = thing_key_of_wheelset(finding.part.key)
        return serial is not None and job.at[0] in self.standing.containers(f"wheelset {serial}")

    def trial(self, jobs: frozenset[Job]) -> Trial:
        """The car after the jobs; then whatever can be shown by reading or testing is taken to be shown."""
        complete = with_roll_outs(jobs, self.standing)
        worked, readings = after_work(self.car, self.start, complete, self.day)
        after = frozenset(one.id for one in worked.work if one.where == NOWHERE)
        readings = (*readings, *self.described(complete, self.day))
        car = with_evidence(worked, readings)
        shown = Shown(complete, after)
        before: set[Need] = set()
        first = judgement = self.judged_with(car)
        for _ in range(_MOST_ROUNDS):
            fresh = {need_of(one): one for one in judgement.refusals if need_of(one) not in before}
            later = self._showing.later(fresh.values(), complete)
            before |= fresh.keys() - later
            now = [one for need, one in fresh.items() if need not in later]
            if not self._showing.show(now, judgement, shown):
                break
            car = with_evidence(worked, [*readings, *(one.evidence for one in shown.assumed.values())])
            for spare in shown.spares.values():
                car = with_spare(car, spare)
            judgement = self.judged_with(car)
        return Trial(
            complete, worked, first, judgement, judgement.refusals, tuple(shown.assumed.values()),
            tuple(shown.spares.values()),
        )  # fmt: skip
