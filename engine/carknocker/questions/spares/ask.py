"""`spares`: would the car be ready with that spare fitted there; which axles nothing covers; whether the spares are
still sound, and what can be bought no longer."""

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Judgement
from carknocker.quantities import write_quantity
from carknocker.questions.spares.condition import ageing_of, consumables, signs_of_standing
from carknocker.questions.spares.model import Demand, OtherSpare, SparesAnswer, SpareWheelset
from carknocker.record.model import Spare
from carknocker.record.part_keys import serial_of
from carknocker.record.value_words import value_words
from carknocker.record.values import Figure
from carknocker.rulebook.model import Requires
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import (
    GROSS_LIMIT,
    GROSS_WEIGHT,
    GROSS_WEIGHT_WITH_CARRIED_WHEELSETS,
    SPARE_WHEELSET_ABOARD,
    WHEELSET,
)
from carknocker.whatif.hypothetical_car import fitted_now
from carknocker.whatif.spare_cover import needed_after, reason_of_finding, spare_wheelsets, table
from carknocker.wording.duties import DUTY_STATES
from carknocker.wording.outcomes import limits_sentence
from carknocker.wording.parts import attribute_words, car_title
from carknocker.wording.record_lines import RecordLine, record_line, stowage_of
from carknocker.workings import Missing

_STATES = {"open": "short", "done": "enough"}
"""Of a spare that is asked for."""


def weights_aboard(judgement: Judgement) -> tuple[RecordLine, ...]:
    """The gross weight with what is aboard: counted where it was aboard on the scale, added where it was not."""
    if not any(spare.carried for spare in spare_wheelsets(judgement)):
        return ()
    lines = [record_line(judgement, "car", name) for name in (GROSS_WEIGHT, SPARE_WHEELSET_ABOARD)]
    attribute = load_vocabulary().kinds["car"].attributes[GROSS_WEIGHT_WITH_CARRIED_WHEELSETS]
    worked = judgement.situation.work_out("car", attribute)
    if isinstance(worked, Missing):
        lacking = judgement.parts.get(worked.part)
        kind = "car" if lacking is None else lacking.kind
        named = attribute_words(kind, worked.attribute)
        of = "" if worked.part == "car" else f" of {worked.part}"
        return (*lines, RecordLine(attribute.label, f"{named}{of}: {worked.reason}", False))
    lines.append(RecordLine(attribute.label, worked.line))
    for leg in judgement.move.legs:
        limit = leg.facts.get(GROSS_LIMIT)
        total = worked.value
        if isinstance(limit, Figure) and isinstance(total, Figure) and limit.quantity.amount < total.quantity.amount:
            words = f"over the limit of the leg {leg.start} to {leg.end}, {write_quantity(limit.quantity)}"
            lines.append(RecordLine("gross limit", words))
    return tuple(lines)


def spares(answer: CheckAnswer) -> SparesAnswer:
    """The spares of a checked car. Raises CannotJudge where the car with a spare fitted can't be judged."""
    judgement = answer.judgement
    cells = table(judgement)
    axles = sorted(fitted_now(judgement.car))
    served = {cell.axle for cell in cells if cell.serves}
    served_on_the_way = {cell.axle for cell in cells if cell.serves and cell.carried}
    return SparesAnswer(
        car=car_title(judgement.car),
        as_of=answer.day,
        out=judgement.move.out,
        back=judgement.move.back,
        host=judgement.move.host,
        outcome=judgement.outcome,
        complete=answer.complete,
        limits=limits_sentence(judgement.rulebook),
        cells=cells,
        uncovered=tuple(axle for axle in axles if axle not in served),
        uncovered_on_the_way=tuple(axle for axle in axles if axle not in served_on_the_way),
        needed=needed_after(judgement, cells),
        demands=_demands(judgement),
        wheelsets=tuple(_wheelset(judgement, spare) for spare in spare_wheelsets(judgement)),
        weights=weights_aboard(judgement),
        others=_others(judgement),
        consumables=consumables(judgement),
    )


def _demands(judgement: Judgement) -> tuple[Demand, ...]:
    """What the rulebook asks of spare wheelsets: the duties there are, and the rules that ask for none here."""
    found: dict[tuple[str, str, str], list[str]] = {}
    for duty in judgement.duties:
        if duty.requirement.spare == WHEELSET:
            found.setdefault((duty.consequence.id, duty.state, duty.note), []).append(duty.part.label)
    by_id = {one.id: one for one in judgement.rulebook.consequences}
    demands = [
        Demand(by_id[name].title, tuple(labels), state, note, by_id[name].source)
        for (name, state, note), labels in found.items()
    ]
    fired = {name for name, _, _ in found}
    for one in judgement.rulebook.consequences:
        asks = any(isinstance(asked, Requires) and asked.spare == WHEELSET for asked in one.yields)
        if asks and one.id not in fired:
            demands.append(Demand(one.title, (), "does not apply", "", one.source))
    return tuple(demands)


def _wheelset(judgement: Judgement, spare: Spare) -> SpareWheelset:
    index = JudgementIndex(judgement)
    serial = spare.serial
    against = [
        reason_of_finding(finding, index)
        for finding in judgement.findings
        if serial_of(finding.part.key) == serial
        if finding.unmet and not finding.relieved and finding.effect == "refuse"
    ]
    carried = spare.carried > 0
    stowage = stowage_of(judgement, serial) if carried else ()
    return SpareWheelset(
        serial,
        carried,
        not against,
        tuple(against),
        signs_of_standing(judgement, serial),
        ageing_of(judgement, serial),
        stowage,
    )


def _others(judgement: Judgement) -> tuple[OtherSpare, ...]:
    """The spares that are no wheelsets, those on record and those that a rule asks for and that are not."""
    asked: dict[str, dict[str, None]] = {}
    for duty in judgement.duties:
        if duty.requirement.spare and duty.requirement.spare != WHEELSET:
            state = _STATES.get(duty.state) or DUTY_STATES[duty.state]
            words = f"{duty.consequence.title} ({state})"
            asked.setdefault(duty.requirement.spare, {})[words] = None
    rows = [
        OtherSpare(
            spare.name, spare.carried, spare.shelf,
            ", ".join(f"{name.replace('_', ' ')} {value_words(value)}" for name, value in spare.facts.items()),
            tuple(asked.get(spare.name, ())),
        )
        for spare in judgement.car.spares if not spare.serial
    ]  # fmt: skip
    listed = {row.name for row in rows}
    rows.extend(OtherSpare(name, 0, 0, "", tuple(words)) for name, words in asked.items() if name not in listed)
    return tuple(rows)
