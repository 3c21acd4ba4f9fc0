"""How far a coupler swings off its car's center line on a curve, against a car of other lengths, and on the sharpest
curve of the move."""

from collections.abc import Mapping
from fractions import Fraction

import msgspec

from carknocker.record.model import Part
from carknocker.record.values import Figure, Value, Word
from carknocker.workings.curves import radius_of_degree, sharpest_curve, swing_in
from carknocker.workings.enclosure import Enclosure, Number, root
from carknocker.workings.formula import Result, inches, result
from carknocker.workings.inputs import derived, figures
from carknocker.workings.model import Missing, OutOfRange, Readings, Worked


class CoupledCar(msgspec.Struct, frozen=True):
    """Lengths of a coupled car, inches: truck centers, over couplers, and of the coupler from pin to pulling face."""

    name: str
    centers: Fraction
    length: Fraction
    coupler: Fraction

    @property
    def pin(self) -> Fraction:
        """From the car's middle to the pin of its coupler. Raises OutOfRange for lengths that make no car."""
        pin = self.length / 2 - self.coupler
        if self.centers <= 0 or self.coupler <= 0 or pin <= 0:
            raise OutOfRange(f"the lengths of {self.name} make no car")
        return pin


def coupler_swing(radius: Number | None, car: CoupledCar, neighbor: CoupledCar) -> Result:
    """s = d·sin φ: how far the face of the car's coupler swings off the car's center line, inches; towards the inside
    of the curve above 0, towards the outside below 0. 0 on straight track (radius None).

    d: the coupler from pin to face; φ: angle between the car's center line and the line from pin to pin. Each car's
    middle runs on √(R² - (L/2)²); the pins lie at ρ = √(R² - (L/2)² + a²) from the curve's center, a from the middle;
    the coupled couplers are one straight bar between them. Trucks are taken as points. Plane geometry, computed. Raises
    OutOfRange where the curve is too sharp for the cars.
    """
    a, b = car.pin, neighbor.pin
    if radius is None:
        return result("length", 0, "s, straight track")
    curve = Enclosure.of(radius)
    swing_in(curve, car.centers)
    swing_in(curve, neighbor.centers)
    bar = car.coupler + neighbor.coupler
    own_middle = root(curve * curve - car.centers * car.centers / 4)
    own_square = curve * curve - car.centers * car.centers / 4 + a * a
    other_square = curve * curve - neighbor.centers * neighbor.centers / 4 + b * b
    own = root(own_square)
    # the neighbor's pin, along the line from the curve's center through the car's pin, and square to it
    along = (own_square + other_square - bar * bar) / (own * 2)
    rest = other_square - along * along
    if rest.low < 0:
        raise OutOfRange("the couplers are too short for these cars on this curve")
    across = root(rest)
    inward = (across * a - (along - own) * own_middle) / own
    numbers = f"{inches(car.coupler)} × {inches(inward)}/{inches(bar)}"
    return result("length", inward * car.coupler / bar, f"s = d × sin φ = {numbers} ({car.name} with {neighbor.name})")


_LENGTHS = ("truck_centers", "length_over_couplers", "coupler_length")


def coupler_swing_needed(readings: Readings, part: Part) -> Worked | Missing:
    """The larger swing, to either side, against the neighbors ahead and behind: which end of the car leads is not on
    record, so that each coupler must bear with both. Inches off the center line, at the pulling face."""
    move = readings.standing.move
    if move is None or not move.neighbors:
        return Missing("train", "neighbors", "no neighbor is named")
    own = figures(readings, *(("car", name) for name in _LENGTHS))
    if isinstance(own, Missing):
        return own
    curve = sharpest_curve(readings, part)
    if isinstance(curve, Missing):
        return curve
    neighbors: list[CoupledCar] = []
    for place, facts in move.neighbors.items():
        lengths = [_amount(facts, name) for name in _LENGTHS]
        if None in lengths:
            name = _LENGTHS[lengths.index(None)]
            return Missing("train", "neighbors", f"{name.replace('_', ' ')} of the neighbor {place} is not given")
        centers, length, coupler = (one for one in lengths if one is not None)
        kind = facts.get("car_kind")
        named = f"the car {place}" + (f", {kind.text}" if isinstance(kind, Word) else "")
        neighbors.append(CoupledCar(named, centers, length, coupler))
    centers, length, coupler = (one.amount for one in own)
    car = CoupledCar("this car", centers, length, coupler)
    degree = curve.value.quantity.amount if isinstance(curve.value, Figure) else Fraction(0)

    def work() -> Result:
        radius = radius_of_degree(degree).amount if degree else None
        return max(
            (_either_side(coupler_swing(radius, car, one)) for one in neighbors), key=lambda one: one.amount.high
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
