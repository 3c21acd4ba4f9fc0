"""The swing that a coupler needs on the sharpest curve of the move, against the neighbours named in the train."""

from collections.abc import Mapping
from fractions import Fraction

from carknocker.record.model import Part
from carknocker.record.values import Figure, Value, Word
from carknocker.workings.coupler_swing import CoupledCar, coupler_swing
from carknocker.workings.curves import radius_of_degree
from carknocker.workings.enclosure import Enclosure
from carknocker.workings.inputs import derived, figures
from carknocker.workings.model import Missing, OutOfRange, Readings, Worked
from carknocker.workings.result import Result
from carknocker.workings.route import sharpest_curve

_LENGTHS = ("truck_centers", "length_over_couplers", "coupler_length")


def coupler_swing_needed(readings: Readings, part: Part) -> Worked | Missing:
    """The larger swing, to either side, against the neighbours ahead and behind: which end of the car leads is not on
    record, so that each coupler must bear with both. Inches off the center line, at the pulling face."""
    move = readings.standing.move
    if move is None or not move.neighbours:
        return Missing("train", "neighbours", "no neighbour is named")
    own = figures(readings, *(("car", name) for name in _LENGTHS))
    if isinstance(own, Missing):
        return own
    curve = sharpest_curve(readings, part)
    if isinstance(curve, Missing):
        return curve
    neighbours: list[CoupledCar] = []
    for place, facts in move.neighbours.items():
        lengths = [_amount(facts, name) for name in _LENGTHS]
        if None in lengths:
            name = _LENGTHS[lengths.index(None)]
            return Missing("train", "neighbours", f"{name.replace('_', ' ')} of the neighbour {place} is not given")
        centers, length, coupler = (one for one in lengths if one is not None)
        kind = facts.get("car_kind")
        named = f"the car {place}" + (f", {kind.text}" if isinstance(kind, Word) else "")
        neighbours.append(CoupledCar(named, centers, length, coupler))
    centers, length, coupler = (one.amount for one in own)
    car = CoupledCar("this car", centers, length, coupler)
    degree = curve.value.quantity.amount if isinstance(curve.value, Figure) else Fraction(0)

    def work() -> Result:
        radius = radius_of_degree(degree).amount if degree else None
        return max(
            (_either_side(coupler_swing(radius, car, one)) for one in neighbours), key=lambda one: one.amount.high
        )

    return derived("car", "coupler_length", (*own, *curve.used), work)


def _amount(facts: Mapping[str, Value], name: str) -> Fraction | None:
    value = facts.get(name)
    return value.quantity.amount if isinstance(value, Figure) else None


def _either_side(swing: Result) -> Result:
    low, high = swing.amount.low, swing.amount.high
    if low < 0 < high:
        raise OutOfRange("a swing that may be to either side")
    return swing if low >= 0 else Result(swing.dimension, Enclosure(-high, -low), swing.line)
