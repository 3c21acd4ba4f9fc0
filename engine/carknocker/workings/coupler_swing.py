"""How far a coupler swings to the side on a curve, against a named neighbour in the train."""

from fractions import Fraction

import msgspec

from carknocker.workings.curves import swing_in
from carknocker.workings.enclosure import Enclosure, Number, root
from carknocker.workings.model import OutOfRange
from carknocker.workings.result import Result, inches, result


class CoupledCar(msgspec.Struct, frozen=True):
    """A car as its coupling sees it, inches: truck centers, length over couplers, coupler from pin to pulling face."""

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


def coupler_swing(radius: Number | None, car: CoupledCar, neighbour: CoupledCar) -> Result:
    """s = d·sin φ: how far the face of the car's coupler swings off the car's center line, inches; towards the inside
    of the curve above 0, towards the outside below 0. 0 on straight track (radius None).

    d: the coupler from pin to face; φ: angle between the car's center line and the line from pin to pin. Each car's
    middle runs on √(R² - (L/2)²); the pins lie at ρ = √(R² - (L/2)² + a²) from the curve's center, a from the middle;
    the coupled couplers are one straight bar between them. Trucks are taken as points. Plane geometry, computed. Raises
    OutOfRange where the curve is too sharp for the cars.
    """
    a, b = car.pin, neighbour.pin
    if radius is None:
        return result("length", 0, "s, straight track")
    curve = Enclosure.of(radius)
    swing_in(curve, car.centers)
    swing_in(curve, neighbour.centers)
    bar = car.coupler + neighbour.coupler
    own_middle = root(curve * curve - car.centers * car.centers / 4)
    own_square = curve * curve - car.centers * car.centers / 4 + a * a
    other_square = curve * curve - neighbour.centers * neighbour.centers / 4 + b * b
    own = root(own_square)
    # the neighbour's pin, along the line from the curve's center through the car's pin, and square to it
    along = (own_square + other_square - bar * bar) / (own * 2)
    rest = other_square - along * along
    if rest.low < 0:
        raise OutOfRange("the couplers are too short for these cars on this curve")
    across = root(rest)
    inward = (across * a - (along - own) * own_middle) / own
    numbers = f"{inches(car.coupler)} × {inches(inward)}/{inches(bar)}"
    return result("length", inward * car.coupler / bar, f"s = d × sin φ = {numbers} ({car.name} with {neighbour.name})")
