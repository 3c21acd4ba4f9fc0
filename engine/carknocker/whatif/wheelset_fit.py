"""How a wheelset fits a place: the findings on wheelsets and what rests on their sizes, without the chain behind them.

A judgement asks every criterion about every part and then chains. Whether a wheelset suits an axle needs only the
criteria about wheelsets; so many places can be tried in the time of one judgement.
"""

from collections.abc import Iterable, Sequence
from weakref import WeakKeyDictionary

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.criteria import CompiledCriterion
from carknocker.judgement.findings import judge_part
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.prepared_rulebook import prepare
from carknocker.judgement.situation import Situation
from carknocker.record.part_keys import serial_of
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, CountOf, EachOf
from carknocker.rulebook.model import Rulebook
from carknocker.vocabulary.program_names import AXLE_POSITION, TRUCK, WHEELSET_KINDS
from carknocker.whatif.hypothetical_car import rearranged
from carknocker.wording.faults import fault_of_findings
from carknocker.wording.phrases import counted

ACROSS = frozenset({
    "car spread", "car spread in diameter", "middle axle step", "middle axle step in diameter", "step to neighbor",
    "truck spread", "truck spread in diameter",
})  # fmt: skip
"""The workings that compare wheelsets with each other; any other figure belongs to one wheelset and its place."""
_OF_CAR = frozenset({"car spread", "car spread in diameter"})


_IN_TRUCK = frozenset({TRUCK, AXLE_POSITION})


def _counts_things(clause: Clause | None) -> bool:
    """Whether a clause looks at wheelsets, or parts of them, inside the part."""
    match clause:
        case AllOf(clauses) | AnyOf(clauses):
            return any(_counts_things(member) for member in clauses)
        case CountOf(kind=kind) | EachOf(kind=kind):
            return kind in WHEELSET_KINDS
        case _:
            return False


def stays_refused(finding: Finding) -> bool:
    """Whether no reading clears it: a breach, or what the record says of the build (the day of a reconditioning) runs
    out before the return."""
    if finding.verdict == "lapses":
        return any(one.path.attribute.description for one in comparisons_in(finding.criterion.must))
    return finding.verdict == "breached"


class Fit:
    """The criteria of a rulebook about wheelsets, by what they look at. single: one wheelset in its place. in_truck,
    in_car: figures that compare wheelsets."""

    def __init__(self, rulebook: Rulebook) -> None:
        self.single: list[CompiledCriterion] = []
        self.in_truck: list[CompiledCriterion] = []
        self.in_car: list[CompiledCriterion] = []
        for one in prepare(rulebook).criteria:
            criterion = one.criterion
            if criterion.effect != "refuse":
                continue
            clauses = (criterion.must, criterion.when, criterion.unless)
            used = {c.path.attribute.derived for clause in clauses for c in comparisons_in(clause)}
            counts = any(_counts_things(clause) for clause in clauses)
            if used & _OF_CAR or (counts and criterion.of not in (*WHEELSET_KINDS, *_IN_TRUCK)):
                self.in_car.append(one)
            elif used & ACROSS or (counts and criterion.of in _IN_TRUCK):
                self.in_truck.append(one)
            elif criterion.of in WHEELSET_KINDS:
                self.single.append(one)

    @property
    def every(self) -> tuple[CompiledCriterion, ...]:
        """All of them."""
        return (*self.single, *self.in_truck, *self.in_car)


def unmet_of(compiled: Iterable[CompiledCriterion], situation: Situation, within: str = "") -> list[Finding]:
    """The refusing findings of these criteria on fitted parts; within: a container (a truck), else everywhere."""
    standing = situation.standing
    found: list[Finding] = []
    for one in compiled:
        for part in standing.by_kind.get(one.criterion.of, ()):
            if not part.fitted or (within and part.key != within and within not in standing.containers(part.key)):
                continue
            finding = judge_part(one, part, situation, lambda: None)
            if finding.unmet and finding.effect == "refuse":
                found.append(finding)
    return found


_KEPT: "WeakKeyDictionary[Rulebook, Fit]" = WeakKeyDictionary()


def fit_of(rulebook: Rulebook) -> Fit:
    """The criteria about wheelsets of a rulebook; the same object for the same rulebook."""
    found = _KEPT.get(rulebook)
    if found is None:
        found = _KEPT[rulebook] = Fit(rulebook)
    return found


def judgement_in(judgement: Judgement, situation: Situation, findings: Iterable[Finding]) -> Judgement:
    """These findings in another situation of the car, so that they can be explained; nothing follows from them."""
    return Judgement(
        judgement.car, judgement.move, judgement.rulebook, judgement.as_of, "not ready", tuple(findings), (), (), (),
        (), (), (), (), situation.standing.parts, situation,
    )  # fmt: skip


def against_spare(judgement: Judgement, axle_position: str, serial: str) -> str:
    """The faults of a spare wheelset itself that stay refused at an axle; empty where there are none."""
    fit = fit_of(judgement.rulebook)
    axle = int(judgement.parts[axle_position].position)
    situation = rearranged(judgement.situation, {axle: serial})
    found = [
        finding
        for finding in unmet_of(fit.single, situation, axle_position)
        if stays_refused(finding) and serial_of(finding.part.key) == serial
    ]
    return "; ".join(faults_in(judgement, situation, found))


_MOST_FAULTS = 2


def faults_in(judgement: Judgement, situation: Situation, findings: Sequence[Finding]) -> tuple[str, ...]:
    """The faults of findings in another situation of the car, those of one criterion together; of many the first two
    and how many more there are."""
    index = JudgementIndex(judgement_in(judgement, situation, findings))
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.criterion.id, finding.verdict), []).append(finding)
    told = [fault_of_findings(own, index).text for own in groups.values()]
    more = len(told) - _MOST_FAULTS
    return (*told[:_MOST_FAULTS], *((f"and {counted(more, 'more fault')}",) if more > 0 else ()))
