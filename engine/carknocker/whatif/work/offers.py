"""The work on offer against a finding: the remedies of its criterion whose condition does not fail on the part."""

from collections.abc import Iterable

from carknocker.judgement.clause_tests import clause_test, comparisons_in
from carknocker.judgement.findings import view_for_must
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.prepared_rulebook import prepare
from carknocker.judgement.truth import FAILS, HOLDS, NEAR
from carknocker.record.model import Part
from carknocker.record.standing import Standing
from carknocker.rulebook.model import Remedy
from carknocker.vocabulary import does_of, load_vocabulary, work_to
from carknocker.vocabulary.model import WorkKind
from carknocker.vocabulary.program_names import MOVE_KINDS, TRUCK, WHEEL, WHEELSET, WHEELSET_KINDS
from carknocker.whatif.hypothetical_car import NOWHERE
from carknocker.whatif.wheelset_fit import against_spare
from carknocker.whatif.work.model import BOUGHT, Job, NotOffered, Offer
from carknocker.wording.limits import clause_words

_ON_WHEELS = frozenset({"renew a wheelset", "move a wheelset", "turn wheels"})


class Offers:
    """The work on offer in one judgement. not_offered: remedies that were considered and can't work."""

    def __init__(self, judgement: Judgement) -> None:
        self._judgement = judgement
        self._standing = judgement.situation.standing
        self._vocabulary = load_vocabulary()
        self._prepared = prepare(judgement.rulebook)
        self.not_offered: dict[NotOffered, None] = {}

    def against(self, finding: Finding) -> tuple[Offer, ...]:
        """The jobs that can clear a finding, each once, in the order of its remedies. None for a part that
        is not on record, also where the trial takes it to be found: it is looked at and written down before anybody
        repairs it."""
        if _only_looked_at(finding.part):
            return ()
        offers: dict[Job, Offer] = {}
        for remedy in finding.criterion.remedies:
            kind = self._vocabulary.work.get(remedy.work)
            if kind is None:
                continue
            proviso = self._proviso(remedy, finding)
            if proviso is None:
                continue
            for at in targets(kind, finding.part.key, self._standing):
                for job in self._jobs(kind, at):
                    offers.setdefault(job, Offer(job, proviso, finding.part.label))
        return tuple(offers.values())

    def clears(self, job: Job, finding: Finding) -> bool:
        """Whether a job, once done, is a remedy of a finding and its condition does not fail here. A wheelset on record
        either clears the finding as it is or does not; only one that is to be bought can be ordered to suit."""
        if _only_looked_at(finding.part) or (job.serial and not job.bought):
            return False
        return any(
            remedy.work == job.work
            and job.at in targets(self._vocabulary.work[job.work], finding.part.key, self._standing)
            and (finding.part.key not in self._standing.parts or self._truth(remedy, finding) != FAILS)
            for remedy in finding.criterion.remedies
        )

    def _truth(self, remedy: Remedy, finding: Finding) -> int:
        if remedy.condition is None:
            return HOLDS
        judgement = self._judgement
        one = self._prepared.criterion(finding.criterion)
        return clause_test(remedy.condition)(view_for_must(one, finding.part, judgement.situation, judgement.move.out))

    def _proviso(self, remedy: Remedy, finding: Finding) -> str | None:
        """The condition that is still to be shown; empty if it holds; None if it fails."""
        if remedy.condition is None:
            return ""
        truth = self._truth(remedy, finding)
        words = clause_words(remedy.condition)
        if truth == FAILS:
            reason = f"it needs {words}, and that does not hold"
            self.not_offered[NotOffered(finding.part.label, remedy.work, reason)] = None
            return None
        return "" if truth >= NEAR else f"only if {words}, which is not shown yet"

    def _jobs(self, kind: WorkKind, at: tuple[str, ...]) -> Iterable[Job]:
        if not kind.moves_wheelsets:
            yield Job(kind.name, at)
            return
        for serial in spare_wheelsets(self._standing):
            found = against_spare(self._judgement, at[0], serial)
            if found:
                label = f"wheelset {serial} at {self._standing.parts[at[0]].label}"
                self.not_offered[NotOffered(label, kind.name, found)] = None
            else:
                yield Job(kind.name, at, serial)
        yield Job(kind.name, at, BOUGHT)


def _only_looked_at(part: Part) -> bool:
    """Whether a part of the car is not on record, or is only supposed to be found when somebody looks."""
    return part.unlisted is not None or (part.where == NOWHERE and part.kind not in WHEELSET_KINDS)


def spare_wheelsets(standing: Standing) -> tuple[str, ...]:
    """The serials of the wheelsets that are carried or on the shelf."""
    spares = {spare.serial for spare in standing.car.spares if spare.serial}
    return tuple(
        part.position
        for part in standing.by_kind.get(WHEELSET, ())
        if not part.fitted and part.position in spares
    )  # fmt: skip


def targets(kind: WorkKind, part: str, standing: Standing) -> tuple[tuple[str, ...], ...]:
    """The parts that the work would be done on to help a given part: of the largest kind that the work can be done on.

    Brake shoes are renewed truck by truck. Both wheels of an axle are turned together. For a part at an end of the car,
    the truck is the one at that end.
    """
    end = standing.parts[part].position if part in standing.parts else ""
    for name in kind.on:
        reached = standing.reach(part, name)
        if not reached:
            continue
        if end in ("A", "B"):
            reached = tuple(one for one in reached if standing.parts[one].position.startswith(end)) or reached
        if kind.does != "turn wheels":
            return tuple((one,) for one in reached)
        pairs: dict[str, list[str]] = {}
        for wheel in reached:
            pairs[standing.parts[wheel].container or wheel] = []
        return tuple(
            tuple(key for key in standing.inside.get(wheelset, ()) if standing.parts[key].kind == WHEEL)
            for wheelset in pairs
        )
    return ()


def truck_of(part: str, standing: Standing) -> str | None:
    """The truck that a part is in."""
    if part in standing.parts and standing.parts[part].kind == TRUCK:
        return part
    return next((one for one in standing.containers(part) if standing.parts[one].kind == TRUCK), None)


def with_roll_outs(jobs: frozenset[Job], standing: Standing) -> frozenset[Job]:
    """The jobs, plus a roll-out for each truck that one of them needs out."""
    work, rolled_out = load_vocabulary().work, work_to("roll a truck out")
    trucks = {
        truck
        for job in jobs
        if work[job.work].truck_out
        for part in job.at
        if (truck := truck_of(part, standing)) is not None
    }
    return jobs | {Job(rolled_out, (truck,)) for truck in trucks}


def on_wheels(job: Job) -> bool:
    """Whether a job renews, moves or turns wheels."""
    return does_of(job.work) in _ON_WHEELS


def touches(job: Job, finding: Finding, standing: Standing) -> bool:
    """Whether work on wheels and wheelsets may change a figure that is worked out from several of them."""
    if not on_wheels(job) or finding.part.kind in MOVE_KINDS:
        return False
    if not any(one.path.attribute.derived for one in comparisons_in(finding.criterion.must)):
        return False
    truck = truck_of(finding.part.key, standing)
    return truck is None or any(truck_of(part, standing) == truck for part in job.at)
