"""The wear of a rim from the record: its own readings since it was turned, at the miles of its wheelset."""

from datetime import date
from fractions import Fraction

from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure
from carknocker.workings.inputs import Input, derived, wheelset_of
from carknocker.workings.miles import last_turning, miles_of_wheelset_since
from carknocker.workings.model import Missing, Readings, Worked
from carknocker.workings.wear import RimReading, wear_rate


def rim_history(readings: Readings, wheel: str) -> list[tuple[RimReading, Evidence]] | Missing:
    """The valid readings of a rim since it was last turned, with the wheelset's miles at each."""
    wheelset = wheelset_of(readings, wheel)
    if wheelset is None:
        return Missing(wheel, "wheelset", "not known")
    found: list[tuple[RimReading, Evidence]] = []
    standing = readings.standing
    turning = last_turning(readings, wheelset)
    first: date | None = None
    for evidence in readings.counted(wheel, "rim_thickness"):
        if not isinstance(evidence.value, Figure) or evidence.on is None:
            continue
        if turning is not None and evidence.on <= turning[0].last and not evidence.after:
            continue
        if evidence.resolution is None:
            return Missing(wheel, "rim_thickness", f"what the gauge of {evidence.on.isoformat()} reads to is not known")
        first = first or evidence.on
        serial = wheelset.removeprefix("wheelset ")
        miles = miles_of_wheelset_since(standing.car, serial, first, evidence.on)
        unsure = Fraction(0) if evidence.gauge_uncertainty is None else evidence.gauge_uncertainty.amount
        found.append((RimReading(miles, evidence.value.quantity.amount, evidence.resolution.amount, unsure), evidence))
    if len(found) < 2:
        return Missing(wheel, "rim_thickness", "not read twice since the wheel was turned", unread=True)
    return found


def rim_wear(readings: Readings, part: Part) -> Worked | Missing:
    """Rim worn off in 10,000 miles, in inches, from the wheel's own dated readings and the moves made."""
    history = rim_history(readings, part.key)
    if isinstance(history, Missing):
        return history
    return derived(
        part.key,
        "rim_thickness",
        [Input(one.value.quantity, one) for _, one in history if isinstance(one.value, Figure)],
        lambda: wear_rate([reading for reading, _ in history]).result,
    )
