"""What is believed of a car with wheels of other sizes, taped with the tape of the others: only sizes of one tape are
compared."""

from collections.abc import Collection, Mapping

from msgspec.structs import replace

from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.criteria import CompiledCriterion
from carknocker.judgement.findings import judge_part
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.situation import PartValues, Situation
from carknocker.quantities import Quantity
from carknocker.record.values import Figure
from carknocker.vocabulary.program_names import (
    MEASURED_CIRCUMFERENCE,
    MEASURED_DIAMETER,
    TAPE_BASE,
    TAPE_ID,
    TAPE_SIZE,
    WHEEL,
)

_OWN_SIZES = (TAPE_SIZE, TAPE_ID, TAPE_BASE, MEASURED_CIRCUMFERENCE, MEASURED_DIAMETER)
_WITH_IT = (TAPE_SIZE, TAPE_ID, TAPE_BASE)


def compares(one: CompiledCriterion, workings: Collection[str]) -> bool:
    """Whether a criterion looks at one of these workings."""
    return any(found.path.attribute.derived in workings for found in comparisons_in(one.criterion.must))


def tape_size_of(view: PartValues) -> int | None:
    """The tape size in a view of a wheel."""
    held = view.get(TAPE_SIZE)
    return int(held.value.quantity.amount) if held is not None and isinstance(held.value, Figure) else None


def taped_wheels(situation: Situation, but_for: Collection[str] = ()) -> dict[str, PartValues]:
    """The views of the fitted wheels whose tape size is known."""
    parts = situation.standing.by_kind.get(WHEEL, ())
    views = {part.key: situation.values[part.key] for part in parts if part.fitted and part.key not in but_for}
    return {key: view for key, view in views.items() if tape_size_of(view) is not None}


def with_sizes(known: Situation, sizes: Mapping[str, int], donor: PartValues) -> Situation:
    """The situation with these tape sizes of these wheels. donor: view of the wheel that lends its tape."""
    situation = Situation(known.standing, known.move, known.excluded, known)
    for wheel, size in sizes.items():
        view = {name: held for name, held in situation.values[wheel].items() if name not in _OWN_SIZES}
        for name in _WITH_IT:
            held = donor.get(name)
            if held is not None and held.evidence is not None:
                value = Figure(Quantity.of("tapes", size)) if name == TAPE_SIZE else held.value
                view[name] = ObservedValue(value, replace(held.evidence, part=wheel, value=value))
        situation.values[wheel] = view
    return situation


def unmet_with(rules: Collection[CompiledCriterion], situation: Situation) -> list[Finding]:
    """What these criteria find unmet on fitted parts."""
    by_kind = situation.standing.by_kind
    findings = (
        judge_part(one, part, situation, lambda: None)
        for one in rules
        for part in by_kind.get(one.criterion.of, ())
        if part.fitted
    )
    return [finding for finding in findings if finding.unmet and finding.verdict != "not applicable"]
