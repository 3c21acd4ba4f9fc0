"""Which spare wheelset serves at which axle: the car judged with each of them at each, as if it were fitted there."""

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.judgement.model import DutyOnTheWay, Finding, Judgement, Outcome, Refusal
from carknocker.record.model import Spare, Work
from carknocker.record.part_keys import axle_position_key, serial_of, truck_key, wheelset_key
from carknocker.rulebook.model import Source
from carknocker.vocabulary import work_to
from carknocker.vocabulary.program_names import WHEELSET
from carknocker.whatif.hypothetical_car import NOWHERE, fitted_now, with_wheelsets, with_work
from carknocker.wording.faults import fault_of, fault_of_findings, faults_of
from carknocker.wording.phrases import counted
from carknocker.wording.verdicts import finding_words


class Reason(msgspec.Struct, frozen=True):
    """One thing against a spare in a place. title: of its rule. subject, said: the fault on its part."""

    title: str
    label: str
    words: str
    source: Source | None
    subject: str
    said: str


class Cell(msgspec.Struct, frozen=True):
    """One spare wheelset at one axle. serves: nothing is against it there. outcome: of the whole car, judged with it
    fitted. also: what is worth knowing, and not against it."""

    axle: int
    truck: str
    fitted: str
    spare: str
    carried: bool
    serves: bool
    outcome: Outcome
    against: tuple[Reason, ...]
    also: tuple[str, ...]


class Needed(msgspec.Struct, frozen=True):
    """What fitting a wheelset at an axle makes necessary: what it voids, what must be tested, before and on the way."""

    axle: int
    before: tuple[str, ...]
    on_the_way: tuple[str, ...]


def spare_wheelsets(judgement: Judgement) -> tuple[Spare, ...]:
    """The spare wheelsets: those aboard first."""
    spares = [spare for spare in judgement.car.spares if spare.serial and wheelset_key(spare.serial) in judgement.parts]
    return tuple(sorted(spares, key=lambda spare: spare.carried == 0))


def table(judgement: Judgement, *, carried_only: bool = False) -> tuple[Cell, ...]:
    """Every spare at every axle, axle by axle. carried_only: those aboard, since each cell is a judgement.

    Raises CannotJudge where a car so fitted can't be judged.
    """
    fitted = fitted_now(judgement.car)
    spares = [spare for spare in spare_wheelsets(judgement) if spare.carried or not carried_only]
    return tuple(_cell(judgement, axle, fitted[axle], spare) for axle in sorted(fitted) for spare in spares)


def _cell(judgement: Judgement, axle: int, fitted: str, spare: Spare) -> Cell:
    truck = truck_key(judgement.car.axle_trucks[axle])
    car = with_wheelsets(judgement.car, {axle: spare.serial}, judgement.as_of)
    tried = judge(car, judgement.move, judgement.rulebook, judgement.as_of)
    index = JudgementIndex(tried)
    before = {refusal.identity for refusal in judgement.refusals}
    against: list[Reason] = []
    also: list[str] = []
    for refusal in tried.refusals:
        if refusal.duty is not None and refusal.duty.requirement.spare == WHEELSET:
            if refusal.identity not in before:
                also.append(f"then another is wanted: {fault_of((refusal,), index).text}")
        elif _is_its_own(refusal, spare.serial) or refusal.identity not in before:
            against.append(reason_of(refusal, index))
    others = len(tried.refusals) - len(against)
    if not against and others:
        also.append(f"{counted(others, 'other item')} keep{'s' if others == 1 else ''} the car from moving")
    serves, carried = not against, spare.carried > 0
    return Cell(axle, truck, fitted, spare.serial, carried, serves, tried.outcome, tuple(against), tuple(also))


def _is_its_own(refusal: Refusal, serial: str) -> bool:
    part = refusal.finding.part if refusal.finding is not None else refusal.duty.part if refusal.duty else None
    return part is not None and serial_of(part.key) == serial


def reason_of(refusal: Refusal, index: JudgementIndex) -> Reason:
    """A refusal in words: what it is, where, and why."""
    if refusal.finding is not None:
        return reason_of_finding(refusal.finding, index)
    duty, fault = refusal.duty, fault_of((refusal,), index)
    subject, said = fault.subject, fault.words
    if duty is not None:
        title, source = duty.consequence.title, duty.consequence.source
        return Reason(title, duty.part.label, duty.note, source, subject, said)
    return Reason("Against the move", "the move", fault.said, None, subject, said)


def reason_of_finding(finding: Finding, index: JudgementIndex) -> Reason:
    """A finding in words: what is wrong, where, and why."""
    words, fault = finding_words(index.explain(finding)), fault_of_findings((finding,), index)
    why = words.reason or f"{words.measured}; required {words.required}"
    source = finding.criterion.source
    return Reason(finding.criterion.title, finding.part.label, why, source, fault.subject, fault.words)


def needed_after(judgement: Judgement, cells: tuple[Cell, ...]) -> tuple[Needed, ...]:
    """For each axle that some spare serves: what keeps the car from moving, or is due on the way, only
    because the wheelset is changed now. Told for the first spare that serves there; the work is taken as done on the
    day of the judgement."""
    found: dict[int, Needed] = {}
    for cell in cells:
        if cell.serves and cell.axle not in found:
            found[cell.axle] = _needed(judgement, cell)
    return tuple(found.values())


def _needed(judgement: Judgement, cell: Cell) -> Needed:
    day = judgement.as_of
    fitted = with_wheelsets(judgement.car, {cell.axle: cell.spare}, day)
    name = f"change at axle {cell.axle}"
    at = (axle_position_key(cell.axle),)
    renewed = work_to("renew a wheelset")
    entry = Work(name, False, renewed, day, at, NOWHERE, axle=cell.axle, off=cell.fitted, fitted=cell.spare)
    changed = with_work(with_wheelsets(judgement.car, {cell.axle: cell.spare}, day, {cell.axle: name}), (entry,))
    before = judge(fitted, judgement.move, judgement.rulebook, day)
    after = judge(changed, judgement.move, judgement.rulebook, day)
    known = {refusal.identity for refusal in before.refusals}
    index = JudgementIndex(after)
    new = [refusal for refusal in after.refusals if refusal.identity not in known]
    due_before = {_due(one) for one in before.on_the_way}
    on_the_way = dict.fromkeys(words for one in after.on_the_way if (words := _due(one)) not in due_before)
    return Needed(
        cell.axle,
        tuple(one.text for one in faults_of(new, index)),
        tuple(on_the_way),
    )


def _due(one: DutyOnTheWay) -> str:
    if one.finding is not None:
        return f"{one.finding.criterion.title}: {one.finding.part.label}"
    return f"{one.duty.consequence.title}: {one.duty.part.label}" if one.duty is not None else ""
