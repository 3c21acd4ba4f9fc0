"""What the step of the middle axle does to a three-axle truck of the record, by kind of truck."""

from collections.abc import Sequence

import msgspec

from carknocker.record.model import Evidence, Part
from carknocker.workings.inputs import Input, figure, word
from carknocker.workings.loads import weight_on_truck
from carknocker.workings.middle_step import middle_axle_step_in_diameter
from carknocker.workings.model import Missing, OutOfRange, Readings
from carknocker.workings.truck_statics import center_drop, step_effect
from carknocker.workings.uncertainty import amount_of

EQUALIZED = (
    "Taken: each equalizer is a lever on two boxes without friction, its springs have equal loads, the frame stays "
    "level, clearances are not used up. Then lever arms alone share the load."
)
UNEQUALIZED = (
    "Taken: the frame is stiff and level along the track, each axle carries it by its own springs, both sides alike."
)


class StepOfTruck(msgspec.Struct, frozen=True):
    """The effect of a step, with what the model takes for granted."""

    lines: tuple[str, ...]
    taken: str
    used: tuple[Evidence, ...]


def step_of_truck(readings: Readings, truck: Part) -> StepOfTruck | Missing:
    """Loads and clearance of a three-axle truck with its wheels as taped. Missing, never a guess, where the kind of
    truck is not on record, or what its model needs. Its load is what the scale gave for the truck."""
    equalized = word(readings, truck.key, "equalized")
    if isinstance(equalized, Missing):
        return Missing(truck.key, "equalized", "not on record: the kind of truck decides what a step does")
    step = middle_axle_step_in_diameter(readings, truck)
    if isinstance(step, Missing):
        return step
    is_equalized = equalized[0] == "yes"
    own = "equalizer_seat_from_end_axle" if is_equalized else "axle_springs_per_inch"
    load, span, third = (
        weight_on_truck(readings, truck),
        *(figure(readings, truck.key, n) for n in ("axle_spacing", own)),
    )
    missing = next((one for one in (load, span, third) if isinstance(one, Missing)), None)
    given: Sequence[Input] = [one for one in (load, span, third) if isinstance(one, Input)]
    amount = amount_of(step.value)
    if missing is not None or amount is None:
        return missing or Missing(truck.key, "middle_axle_step", "no figure")
    smaller = -amount  # the step is middle less ends; the models ask how much smaller the middle wheel is
    weight, spacing, last = (one.amount for one in given)
    try:
        loads, clearance = step_effect(
            is_equalized,
            smaller,
            load=weight,
            span=spacing,
            seat=last if is_equalized else None,
            stiffness=None if is_equalized else last,
        )
        lines = [step.line, center_drop(smaller).line, loads.line]
    except OutOfRange as error:
        return Missing(truck.key, own, f"out of range: {error}")
    if clearance is not None:
        lines.extend((clearance.end.line, clearance.middle.line))
    used = (equalized[1], *step.used, *(one.evidence for one in given))
    return StepOfTruck(tuple(lines), EQUALIZED if is_equalized else UNEQUALIZED, used)
