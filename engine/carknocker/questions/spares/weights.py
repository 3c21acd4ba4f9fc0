"""The gross weight with the wheelsets that ride along."""

from carknocker.judgement.model import Judgement
from carknocker.quantities import Quantity, write_quantity
from carknocker.questions.spares.table import spare_wheelsets
from carknocker.questions.told import Told, held_of, missing, told
from carknocker.record.values import Figure, Word


def weights_aboard(judgement: Judgement) -> tuple[Told, ...]:
    """The gross weight with what rides along: counted where it was aboard on the scale, added where it was not."""
    carried = [spare.serial for spare in spare_wheelsets(judgement) if spare.carried]
    if not carried:
        return ()
    lines = [told(judgement, "car", "gross_weight"), told(judgement, "car", "spare_wheelset_aboard")]
    gross, aboard = held_of(judgement, "car", "gross_weight"), held_of(judgement, "car", "spare_wheelset_aboard")
    weights = [held_of(judgement, f"wheelset {serial}", "weight") for serial in carried]
    known = [held.value.quantity for held in weights if held is not None and isinstance(held.value, Figure)]
    label = "gross weight with the carried wheelsets"
    if gross is None or not isinstance(gross.value, Figure) or aboard is None or not isinstance(aboard.value, Word):
        return (*lines, missing(label))
    if aboard.value.text == "yes":
        return (*lines, Told(label, f"{write_quantity(gross.value.quantity)}: they were aboard on the scale"))
    if len(known) < len(carried):
        return (*lines, missing(f"{label}: the weight of each of them"))
    total = gross.value.quantity.amount + sum(one.amount for one in known)
    added = " + ".join(write_quantity(one) for one in (gross.value.quantity, *known))
    lines.append(Told(label, f"{added} = {write_quantity(Quantity.of('weight', total, 'lb'))}"))
    for leg in judgement.move.legs:
        limit = leg.facts.get("gross_limit")
        if isinstance(limit, Figure) and limit.quantity.amount < total:
            words = f"over the limit of the leg {leg.start} to {leg.end}, {write_quantity(limit.quantity)}"
            lines.append(Told("gross limit", words))
    return tuple(lines)
