"""How much of its axle's capacity a load uses, by journal class and speed."""

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache, partial
from typing import Literal

import msgspec
from msgspec.structs import replace

from carknocker.record.model import Part
from carknocker.record.values import Figure
from carknocker.workings.formula import Result, result, written
from carknocker.workings.inputs import Input, axles_of_truck, derived, figure, word
from carknocker.workings.loads import weight_on_truck_on_the_move
from carknocker.workings.model import Candidate, Missing, OutOfRange, Readings, Worked
from carknocker.workings.uncertainty import candidate_of_sum

Service = Literal["passenger", "freight"]


class Capacity(msgspec.Struct, frozen=True):
    """Load that an axle takes, lb, with its source and how far that source is trusted."""

    load: Fraction
    source: str


# Weight on the rail of a four-axle freight car by journal class, lb.
_FREIGHT: Mapping[str, int] = {"A": 66_000, "B": 103_000, "C": 136_000, "D": 169_000, "E": 210_000, "F": 251_000}
_FREIGHT_SOURCE = "freight weights on four axles, a secondary source: confirm before using it as a limit"
_PASSENGER_D = ((85, 34_000), (100, 32_000))
_PASSENGER_SOURCE = "TR0655 p. 29"


def axle_capacity(axle_class: str, speed: Fraction, service: Service) -> Capacity:
    """What one axle of a journal class takes at a speed (mph, over 0).

    Passenger: class D 34,000 lb up to 85 mph, 32,000 lb above that up to 100 mph (TR0655 p. 29, published; its second
    line begins at 86 mph, and speeds between the two are taken with it). Freight: a quarter of the weight on four axles
    by class, A to F (secondary source), never for a passenger axle at speed. Raises OutOfRange where no figure is
    known: none is derived from another class.
    """
    if speed <= 0:
        raise OutOfRange("a capacity is for a speed over 0 mph")
    if service == "freight":
        if axle_class not in _FREIGHT:
            raise OutOfRange(f"no freight capacity is known for an axle of class {axle_class}")
        return Capacity(Fraction(_FREIGHT[axle_class], 4), _FREIGHT_SOURCE)
    if axle_class != "D":
        raise OutOfRange(f"no passenger capacity at speed is known for an axle of class {axle_class}, only for class D")
    for fastest, load in _PASSENGER_D:
        if speed <= fastest:
            return Capacity(Fraction(load), _PASSENGER_SOURCE)
    raise OutOfRange("no passenger capacity is known over 100 mph")


@lru_cache(maxsize=256)
def utilisation(load: Fraction, axle_class: str, speed: Fraction, service: Service) -> Result:
    """u = P/P₀: axle load over the capacity of its class at that speed. P: lb, 0 or more. Raises OutOfRange."""
    if load < 0:
        raise OutOfRange("no load is below 0 lb")
    capacity = axle_capacity(axle_class, speed, service)
    at = f"class {axle_class}, {service}, {written('speed', speed)}; {capacity.source}"
    numbers = f"{written('weight', load)}/{written('weight', capacity.load)}"
    found = result("ratio", load / capacity.load, f"u = P/P₀ = {numbers}")
    over = ": MORE THAN IT TAKES" if load > capacity.load else ""
    return Result(found.dimension, found.amount, f"{found.line} ({at}){over}")


def journal_utilisation(readings: Readings, part: Part) -> Worked | Missing:
    """Utilisation of a fitted wheelset's axle: the load per axle of its truck, its axle class, and the speed of the
    train. A freight train takes the freight figures, any other train the passenger ones."""
    standing = readings.standing
    truck = None if part.container is None else standing.parts[part.container].container
    if truck is None:
        return Missing(part.key, "axle", "not fitted")
    weighed = weight_on_truck_on_the_move(readings, standing.parts[truck])
    if isinstance(weighed, Missing):
        return weighed
    weight, told = weighed
    axle_class = word(readings, part.key, "axle_class")
    if isinstance(axle_class, Missing):
        return axle_class
    speed = figure(readings, "train", "speed")
    if isinstance(speed, Missing):
        return speed
    axles = len(axles_of_truck(readings, truck))
    if standing.move is None or not axles:
        return Missing("move", "train", "no move is given")
    service: Service = "freight" if standing.move.train == "freight" else "passenger"
    found = derived(
        part.key,
        "axle_class",
        (weight, *told, axle_class[1], speed),
        lambda: utilisation(weight.amount / axles, axle_class[0], speed.amount, service),
    )
    if isinstance(found, Missing) or not isinstance(found.value, Figure) or speed.evidence.sort == "reading":
        return found
    return replace(found, candidates=partial(_by_weight, weight, found.value)) if weight.amount else found


def _by_weight(weight: Input, used: Figure) -> tuple[Candidate, ...]:
    """The speed is planned and the class described: the one reading is the weight, with which the figure goes up."""
    return candidate_of_sum([(weight.evidence, used.quantity.amount / weight.amount)])
