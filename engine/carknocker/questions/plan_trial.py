"""One set of jobs tried: the hypothetical car after it, read and tested anew until nothing more can be shown."""

from collections.abc import Iterable
from datetime import date

import msgspec
from msgspec.structs import replace

from carknocker.judgement.chain.evaluators import PlainEvaluator
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Duty, Finding, Judgement, Refusal
from carknocker.judgement.prepared import prepare
from carknocker.judgement.situation import ACCEPTANCE_ENDED
from carknocker.questions.hypothetical import NOWHERE, someone_accepted, with_evidence, with_spare
from carknocker.questions.hypothetical_values import Assumer, Limits, Wanted
from carknocker.questions.plan_jobs import Offers, touches, with_roll_outs
from carknocker.questions.plan_model import Job, Need
from carknocker.questions.plan_search import Tried
from carknocker.questions.plan_spares import spare_to_carry
from carknocker.questions.plan_work import after_work, like_the_one_before, new_serial
from carknocker.record.model import CarRecord, Evidence, Move, Person, Spare
from carknocker.record.values import Word
from carknocker.record.wheelset_parts import thing_key_of_wheelset
from carknocker.rulebook.model import Rulebook
from carknocker.vocabulary import load_vocabulary

_MOST_ROUNDS = 12
_READABLE = frozenset({"not shown", "withdrawn", "lapses", "borderline"})


class Assumed(msgspec.Struct, frozen=True):
    """Evidence that a trial assumes. needs: what wants it (criteria and consequences, by id)."""

    evidence: Evidence
    needs: tuple[str, ...]
    anew: bool


class Trial(msgspec.Struct, frozen=True):
    """jobs: with their roll-outs. worked: the car after the work, nothing read or tested yet. judgement: at the end.
    left: what still refuses. spares: that ride along besides. rounds: judgements made."""

    jobs: frozenset[Job]
    worked: CarRecord
    car: CarRecord
    first: Judgement
    judgement: Judgement
    left: tuple[Refusal, ...]
    assumed: tuple[Assumed, ...]
    spares: tuple[Spare, ...]
    rounds: int


def need_of(refusal: Refusal) -> Need:
    """The name of what stands in the way."""
    if refusal.finding is not None:
        return ("finding", refusal.finding.criterion.id, refusal.finding.part.key)
    if refusal.duty is not None:
        return ("duty", refusal.duty.consequence.id, refusal.duty.part.key)
    return ("against", refusal.against)


class Trials:
    """Tries sets of jobs on one car. day: on which everything is taken to be done."""

    def __init__(self, car: CarRecord, move: Move, rulebook: Rulebook, day: date) -> None:
        self.car, self._move, self._rulebook, self.day = car, move, rulebook, day
        self._vocabulary = load_vocabulary()
        self._prepared = prepare(rulebook)
        self._limits = Limits(rulebook)
        ended = {
            person.text
            for entry in car.work
            if entry.name == ACCEPTANCE_ENDED and isinstance(person := entry.facts.get("person"), Word)
        }
        self._by: Person = someone_accepted(car, move.host, day, ended)
        self.judged = 0
        self.start = self.judged_with(car)
        self.standing = self.start.situation.standing
        self.provisos: dict[Job, str] = {}
        self.not_offered: dict[object, None] = {}
        self._clears: dict[tuple[str, str], set[Job]] = {}
        self._breached = {
            (one.criterion.id, one.part.key)
            for one in self.start.findings
            if one.verdict == "breached" and one.part.fitted and not self._only_shown(one)
        }

    def judged_with(self, car: CarRecord) -> Judgement:
        """A hypothetical car judged as of the day."""
        self.judged += 1
        return judge(car, self._move, self._rulebook, self.day, evaluator=PlainEvaluator())

    def _only_shown(self, finding: Finding) -> bool:
        """Whether what decides it is a test or a paper: a new one clears it."""
        one = self._prepared.criterion(finding.criterion)
        kinds = {leaf.comparison.path.attribute.type for leaf in one.leaves}
        return bool(kinds) and kinds <= {"test", "paper"}

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
        for offer in offers.against(finding):
            self._clears.setdefault((finding.criterion.id, finding.part.key), set()).add(offer.job)
            if offer.job not in jobs:
                options[offer.job] = None
            if offer.proviso:
                self.provisos.setdefault(offer.job, offer.proviso)
        for job in sorted({one for own in self._clears.values() for one in own}):
            if job not in jobs and (touches(job, finding, self.standing) or self._replaces(job, finding)):
                options.setdefault(job, None)
        return tuple(options)

    def answering(self, finding: Finding) -> frozenset[Job]:
        """The jobs that are known to clear a finding."""
        return frozenset(self._clears.get((finding.criterion.id, finding.part.key), ()))

    def described(self, jobs: Iterable[Job], day: date) -> tuple[Evidence, ...]:
        """A wheelset to be bought is taken to be built like the one that it replaces, but for what refuses that one."""
        refused = {one.part.key for one in self.start.findings if one.verdict == "breached" and one.unmet}
        return tuple(
            entry
            for job in sorted(jobs)
            if job.bought
            for entry in like_the_one_before(self.start, job, refused, day)
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
        assumed: dict[tuple[str, str], Assumed] = {}
        spares: dict[str, Spare] = {}
        before: set[Need] = set()
        first = judgement = self.judged_with(car)
        rounds = 1
        while True:
            fresh = {need_of(one): one for one in judgement.refusals if need_of(one) not in before}
            later = self._later(fresh.values(), complete)
            before |= fresh.keys() - later
            now = [one for need, one in fresh.items() if need not in later]
            added = self._show(now, judgement, complete, after, assumed, spares)
            if not added or rounds == _MOST_ROUNDS:
                break
            car = with_evidence(worked, [*readings, *(one.evidence for one in assumed.values())])
            for spare in spares.values():
                car = with_spare(car, spare)
            judgement = self.judged_with(car)
            rounds += 1
        return Trial(
            complete, worked, car, first, judgement, judgement.refusals, tuple(assumed.values()),
            tuple(spares.values()), rounds,
        )  # fmt: skip

    def _later(self, refusals: Iterable[Refusal], jobs: frozenset[Job]) -> set[Need]:
        """What is asked for on a wheelset to be bought once it is settled what it is: which kind of bearing, say."""
        new = {new_serial(job) for job in jobs if job.bought}
        settles: set[Need] = set()
        asks: set[Need] = set()
        for refusal in refusals:
            if refusal.finding is not None and thing_key_of_wheelset(refusal.finding.part.key) in new:
                one = self._prepared.criterion(refusal.finding.criterion)
                described = any(leaf.comparison.path.attribute.description for leaf in one.leaves)
                (settles if described and one.when is None else asks).add(need_of(refusal))
        return asks if settles else set()

    def _show(
        self,
        refusals: Iterable[Refusal],
        judgement: Judgement,
        jobs: frozenset[Job],
        after: frozenset[str],
        assumed: dict[tuple[str, str], Assumed],
        spares: dict[str, Spare],
    ) -> bool:
        """Assumes what would clear these refusals, where a reading, a test, a paper or a spare can."""
        applies = frozenset(
            (one.criterion.id, one.part.key) for one in judgement.findings if one.verdict != "not applicable"
        )
        assumer = Assumer(judgement.situation, self._limits, self.day, applies)
        added = False
        for refusal in refusals:
            if refusal.finding is not None:
                finding = refusal.finding
                wanted = assumer.meeting(finding.criterion, finding.part.key) if self._showable(finding, jobs) else None
                for one in wanted or ():
                    added = self._assume(one, finding.criterion.id, finding.verdict, after, assumed) or added
            elif refusal.duty is not None:
                added = self._do(refusal.duty, judgement, assumer, after, assumed, spares) or added
        return added

    def _showable(self, finding: Finding, jobs: frozenset[Job]) -> bool:
        """Whether reading or testing can clear it. What was breached before the work wants the work that clears it:
        that the reading is void since does not make the part good."""
        key = (finding.criterion.id, finding.part.key)
        if finding.part.kind in ("move", "train", "leg"):
            return False
        serial = thing_key_of_wheelset(finding.part.key)
        if serial is not None and any(job.bought and new_serial(job) == serial for job in jobs):
            return True
        if self._only_shown(finding) or not self._clears.get(key, set()).isdisjoint(jobs):
            return True
        return finding.verdict in _READABLE and key not in self._breached

    def _assume(
        self, wanted: Wanted, by: str, verdict: str, after: frozenset[str], assumed: dict[tuple[str, str], Assumed]
    ) -> bool:
        key = (wanted.part, wanted.attribute.name)
        before = assumed.get(key)
        if before is not None and before.evidence.value == wanted.value:
            assumed[key] = replace(before, needs=tuple(dict.fromkeys((*before.needs, by))))
            return False
        if before is not None and by in before.needs:
            return False
        evidence = self._evidence(wanted, after, len(assumed))
        needs = (by,) if before is None else tuple(dict.fromkeys((*before.needs, by)))
        assumed[key] = Assumed(evidence, needs, verdict == "withdrawn")
        return True

    def _evidence(self, wanted: Wanted, after: frozenset[str], number: int) -> Evidence:
        attribute = wanted.attribute
        sort = "test" if attribute.type == "test" else "paper" if attribute.type == "paper" else "reading"
        return Evidence(
            f"planned {wanted.part} {attribute.name}", attribute.name, wanted.part, wanted.part, wanted.value,
            "reading" if sort == "reading" else "test" if sort == "test" else "paper", self.day, NOWHERE,
            until=max(self._move.back, self.day) if sort == "paper" else None,
            by=self._by, after=after, facts=dict(wanted.facts),
        )  # fmt: skip

    def _do(
        self,
        duty: Duty,
        judgement: Judgement,
        assumer: Assumer,
        after: frozenset[str],
        assumed: dict[tuple[str, str], Assumed],
        spares: dict[str, Spare],
    ) -> bool:
        requires = duty.requirement
        if requires.test:
            kind = self._vocabulary.tests[requires.test]
            attribute = self._vocabulary.kinds[kind.on].attributes[kind.attribute]
            added = False
            for target in judgement.situation.standing.reach(duty.part.key, kind.on):
                facts = assumer.facts_of(attribute, target)
                wanted = Wanted(target, attribute, Word("passed"), facts)
                added = self._assume(wanted, duty.consequence.id, "open", after, assumed) or added
            return added
        if not requires.spare:
            return False
        spare = spare_to_carry(duty, judgement, spares)
        if spare is None or spares.get(spare.id) == spare:
            return False
        spares[spare.id] = spare
        return True
