"""The step of the middle axle of a three-axle truck, and differences of tape size as differences of diameter."""

from collections.abc import Callable
from fractions import Fraction
from functools import partial

from msgspec.structs import replace

from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure
from carknocker.workings.diameter import diameter_of_tapes
from carknocker.workings.inputs import SIDES, axles_of_truck, wheel_of, wheelset_at
from carknocker.workings.model import Candidate, Missing, Readings, Share, Worked, Working
from carknocker.workings.tapes import car_spread, mate_difference, tape_sizes, truck_spread
from carknocker.workings.uncertainty import scaled


def middle_axle_step(readings: Readings, part: Part) -> Worked | Missing:
    """Mean size of the middle axle's wheels less the mean size of the end axles' wheels of a three-axle truck, in
    tapes: above 0 the middle wheels are larger. Customary: the smallest wheels go to the middle axle (common practice,
    no source); how much is a host's or a maker's figure."""
    axles = axles_of_truck(readings, part.key)
    if len(axles) != 3:
        return Missing(part.key, "axles", "not three on record: only a three-axle truck has a middle axle")
    wheels: list[str] = []
    for axle in axles:
        wheelset = wheelset_at(readings, axle)
        if wheelset is None:
            return Missing(axle, "wheelset", "none is fitted")
        wheels.extend(wheel_of(wheelset, side) for side in SIDES)
    found = tape_sizes(readings, wheels)
    if isinstance(found, Missing):
        return found
    sizes = [one.amount for one in found]
    middle, ends = sum(sizes[2:4], Fraction(0)) / 2, sum(sizes[:2] + sizes[4:], Fraction(0)) / 4
    step = Quantity.of("tapes", middle - ends)
    means = f"{write_quantity(Quantity.of('tapes', middle))} - {write_quantity(Quantity.of('tapes', ends))}"
    line = f"step = mean of the middle axle - mean of the end axles = {means} = {write_quantity(step)}"
    evidence = tuple(one.evidence for one in found)
    return Worked(Figure(step), line, evidence, partial(_means, evidence))


def _means(sizes: tuple[Evidence, ...]) -> tuple[Candidate, ...]:
    half, quarter = Fraction(1, 2), Fraction(-1, 4)
    return (Candidate(tuple(Share(one, half if place in (2, 3) else quarter) for place, one in enumerate(sizes))),)


def _in_diameter(working: Working) -> Working:
    def in_diameter(readings: Readings, part: Part) -> Worked | Missing:
        tapes = working(readings, part)
        if isinstance(tapes, Missing) or not isinstance(tapes.value, Figure):
            return tapes
        outcome = diameter_of_tapes(tapes.value.quantity.amount)
        candidates = None if tapes.candidates is None else partial(_as_diameters, tapes.candidates)
        return replace(tapes, value=outcome.value, line=f"{tapes.line}; {outcome.line}", candidates=candidates)

    in_diameter.__doc__ = f"{working.__doc__} As a difference in diameter: n × 1/8 in/π."
    return in_diameter


def _as_diameters(tapes: Callable[[], tuple[Candidate, ...]]) -> tuple[Candidate, ...]:
    return scaled(tapes(), diameter_of_tapes(Fraction(1)).amount.middle)


mate_difference_in_diameter = _in_diameter(mate_difference)
truck_spread_in_diameter = _in_diameter(truck_spread)
car_spread_in_diameter = _in_diameter(car_spread)
middle_axle_step_in_diameter = _in_diameter(middle_axle_step)
