"""What a step in wheel size at the middle axle does to a three-axle truck, by kind of truck.

Two small models; what they take for granted is said with each answer. Both take the truck as level and straight, its
two sides alike, and its load at the middle.
"""

from collections.abc import Sequence
from fractions import Fraction

import msgspec

from carknocker.record.model import Evidence, Part
from carknocker.workings.enclosure import Number
from carknocker.workings.formula import Result, inches, result, written
from carknocker.workings.inputs import Input, figure, word
from carknocker.workings.loads import weight_on_truck
from carknocker.workings.model import Missing, OutOfRange, Readings
from carknocker.workings.tapes import middle_axle_step_in_diameter
from carknocker.workings.uncertainty import amount_of


def center_drop(step: Number) -> Result:
    """h = ΔD/2: how far a wheel's center lies lower when its diameter is less by ΔD, inches; below 0: higher.
    Geometry (3/4 in smaller lies 3/8 in lower). Any ΔD."""
    return result("length", _half(step), f"h = ΔD/2 = {inches(step)}/2")


def _half(step: Number) -> Number:
    return step * Fraction(1, 2)


class EqualizedTruck(msgspec.Struct, frozen=True):
    """An ideally equalized three-axle truck. span: end axle to middle axle, inches. seat: from the end axle to the
    seat of the equalizer spring, inches.

    Assumptions: each equalizer is a lever on two boxes without friction; its springs have equal loads; the frame
    stays level; clearances are not used up. Then lever arms alone share the load, whatever the wheel sizes.
    """

    span: Fraction
    seat: Fraction

    def __post_init__(self) -> None:
        if not 0 < self.seat < self.span:
            raise OutOfRange("the seat of the spring lies between the end axle and the middle axle")


class AxleLoads(msgspec.Struct, frozen=True):
    """Loads on the rail of the three axles of a truck, lb, with the worked line."""

    loads: tuple[Fraction, Fraction, Fraction]
    line: str


def equalized_loads(truck: EqualizedTruck, load: Fraction) -> AxleLoads:
    """End axles W/2·(1 - x/s), middle axle W·x/s, from the balance of each lever. W: load of the truck, lb, 0 or
    more; s: span; x: seat. Equal thirds where x = s/3. Raises OutOfRange."""
    if load < 0:
        raise OutOfRange("no load is below 0 lb")
    part = truck.seat / truck.span
    end, middle = load / 2 * (1 - part), load * part
    line = (
        f"end = W/2 × (1 - x/s) = {written('weight', load)}/2 × (1 - {inches(truck.seat)}/{inches(truck.span)}) = "
        f"{written('weight', end)}; middle = W × x/s = {written('weight', middle)} (equalized: any wheel sizes)"
    )
    return AxleLoads((end, middle, end), line)


class ClearanceUsed(msgspec.Struct, frozen=True):
    """Change of the box-to-frame clearance, inches: below 0 it is used up. The end boxes, and the middle box."""

    end: Result
    middle: Result


def equalized_clearance(truck: EqualizedTruck, step: Fraction) -> ClearanceUsed:
    """What a middle wheel smaller by ΔD (inches; below 0: larger) does to clearance between boxes and frame.

    The middle box lies lower by h = ΔD/2, and the frame, carried at x from the end axle, by h·x/s: the frame nears the
    end boxes by h·x/s and leaves the middle box by h·(1 - x/s).
    """
    drop = step / 2
    frame = drop * truck.seat / truck.span
    h, lever = inches(drop), f"{inches(truck.seat)}/{inches(truck.span)}"
    return ClearanceUsed(
        result("length", -frame, f"change at the end boxes = -h × x/s = -({h}) × {lever}"),
        result("length", drop - frame, f"change at the middle box = h - h × x/s = {h} - ({h}) × {lever}"),
    )


def unequalized_loads(load: Fraction, axles: Sequence[tuple[Fraction, Fraction, Fraction]]) -> AxleLoads:
    """Loads of a truck whose frame is stiff and rests on one spring group per axle, without equalizers.

    axles, three: (place along the truck from its middle, inches; stiffness, lb per inch, over 0; how much higher that
    axle's center lies than the others, inches). From the balance of forces and of moments about the middle,
    Fᵢ = kᵢ(z + θxᵢ + hᵢ).
    Raises OutOfRange where an axle would carry nothing, since a spring can't pull.
    """
    if len(axles) != 3:
        raise OutOfRange("the model is of a truck with three axles")
    if any(stiffness <= 0 for _, stiffness, _ in axles) or len({place for place, _, _ in axles}) < 2:
        raise OutOfRange("every spring is stiff, and the axles stand apart")
    k0 = sum(k for _, k, _ in axles)
    k1 = sum(k * x for x, k, _ in axles)
    k2 = sum(k * x * x for x, k, _ in axles)
    force = load - sum(k * h for _, k, h in axles)
    moment = -sum(k * h * x for x, k, h in axles)
    determinant = k0 * k2 - k1 * k1
    sink = (force * k2 - moment * k1) / determinant
    tilt = (moment * k0 - force * k1) / determinant
    loads = tuple(k * (sink + tilt * x + h) for x, k, h in axles)
    if min(loads) < 0:
        raise OutOfRange("an axle would carry less than nothing: it lifts off, and the model does not hold")
    carried = "; ".join(
        f"{written('weight', k)}/in × ({inches(sink)} + {inches(tilt * x)} + {inches(h)}) = {written('weight', one)}"
        for (x, k, h), one in zip(axles, loads, strict=True)
    )
    first, second, third = loads
    return AxleLoads((first, second, third), f"Fᵢ = kᵢ(z + θxᵢ + hᵢ) with ΣF = {written('weight', load)}: {carried}")


def step_effect(
    equalized: bool | None,
    step: Fraction,
    *,
    load: Fraction,
    span: Fraction,
    seat: Fraction | None = None,
    stiffness: Fraction | None = None,
) -> tuple[AxleLoads, ClearanceUsed | None]:
    """What a middle wheel smaller by `step` (inches of diameter) does, by kind of truck: loads, and for an equalized
    truck the clearance used. stiffness: of each axle's springs, lb per inch.

    Raises OutOfRange where the kind of truck is not known, or where what its model needs is not given.
    """
    if equalized is None:
        raise OutOfRange("whether the truck is equalized is not known: its kind decides what a step does")
    if equalized:
        if seat is None:
            raise OutOfRange("an equalized truck wants the place of the spring seat on the equalizer")
        truck = EqualizedTruck(span, seat)
        return equalized_loads(truck, load), equalized_clearance(truck, step)
    if stiffness is None:
        raise OutOfRange("an unequalized truck wants the stiffness of the springs of each axle")
    none = Fraction(0)
    return unequalized_loads(
        load, [(-span, stiffness, none), (none, stiffness, -step / 2), (span, stiffness, none)]
    ), None


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
