"""The weights on record checked against each other before a lift is worked out from them."""

from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.quantities import Quantity, write_quantity
from carknocker.vocabulary.program_names import GROSS_WEIGHT
from carknocker.workings.inputs import Input, figure
from carknocker.workings.model import Readings

MOST_APART, MOST_SHARE_APART = Fraction(1000), Fraction(1, 100)
"""Of the trucks' weights, added, from the gross weight, pounds and share of it: both must be passed to contradict (as
the doubt `trucks-add-up` of the vocabulary has it)."""
LEAST_OF_LIGHT = Fraction(98, 100)
"""Of the light weight, that the car ready to run weighs at least (the doubt `gross-over-light`)."""


class WeightCheck(msgspec.Struct, frozen=True):
    """verdict: `agree`, `differ` (by little: the heavier counts), `contradict` (nothing is computed), `not checked`.
    words: the figures, and what is made of them."""

    verdict: Literal["agree", "differ", "contradict", "not checked"]
    words: str


def heavier_on(readings: Readings, end: str) -> Fraction | None:
    """What the truck at an end puts on the rail, lb: by the scale, or gross less the other truck if that is more; None
    where it was not weighed."""
    near = figure(readings, "car", f"weight_on_truck_{end}")
    if not isinstance(near, Input):
        return None
    gross, far = figure(readings, "car", GROSS_WEIGHT), figure(readings, "car", f"weight_on_truck_{_other(end)}")
    if not isinstance(gross, Input) or not isinstance(far, Input) or gross.evidence.on != far.evidence.on:
        return near.amount
    return max(near.amount, gross.amount - far.amount)


def weight_checks(readings: Readings) -> tuple[WeightCheck, ...]:
    """The trucks' weights against the gross weight, the gross weight against the light weight."""
    gross = figure(readings, "car", GROSS_WEIGHT)
    if not isinstance(gross, Input):
        return ()
    trucks = {end: figure(readings, "car", f"weight_on_truck_{end}") for end in "BA"}
    known = {end: one for end, one in trucks.items() if isinstance(one, Input)}
    light = figure(readings, "car", "light_weight")
    checks = [_trucks(gross, known)]
    if isinstance(light, Input):
        checks.append(_light(gross, light))
    return tuple(checks)


def _trucks(gross: Input, trucks: dict[str, Input]) -> WeightCheck:
    unweighed = [f"truck {end}" for end in "BA" if end not in trucks]
    if unweighed:
        return WeightCheck("not checked", f"the weight on {' and '.join(unweighed)} is not on record")
    if len({one.evidence.on for one in (gross, *trucks.values())}) > 1:
        days = ", ".join(
            f"{name} {'undated' if one.evidence.on is None else one.evidence.on.isoformat()}"
            for name, one in (("gross", gross), *((f"truck {end}", one) for end, one in trucks.items()))
        )
        return WeightCheck("not checked", f"weighed on different days: {days}")
    total = sum((one.amount for one in trucks.values()), Fraction(0))
    apart = abs(total - gross.amount)
    added = " + ".join(_pounds(one.amount) for one in trucks.values())
    words = f"{added} on the trucks = {_pounds(total)}; gross {_pounds(gross.amount)}"
    if apart == 0:
        return WeightCheck("agree", words)
    words += f": {_pounds(apart)} apart"
    if apart > MOST_APART and apart > MOST_SHARE_APART * gross.amount:
        return WeightCheck("contradict", words)
    return WeightCheck("differ", f"{words}; the heavier counts for the end that is lifted")


def _light(gross: Input, light: Input) -> WeightCheck:
    words = f"light weight {_pounds(light.amount)}, gross {_pounds(gross.amount)}"
    if gross.amount < LEAST_OF_LIGHT * light.amount:
        return WeightCheck("contradict", f"{words}: ready to run the car would weigh less than empty")
    return WeightCheck("agree", words)


def _pounds(amount: Fraction) -> str:
    return write_quantity(Quantity.of("weight", amount))


def _other(end: str) -> str:
    return "A" if end == "B" else "B"
