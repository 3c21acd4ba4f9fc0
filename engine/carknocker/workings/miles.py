"""Miles: a car has no odometer, so a part's miles are the moves made while it was under the car."""

from datetime import date
from fractions import Fraction

from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.record.model import CarRecord, Part
from carknocker.record.values import Day, Figure
from carknocker.workings.model import Missing, Readings, Worked, Working


def miles_of_car_since(car: CarRecord, since: date, until: date) -> Fraction:
    """Miles of the moves made that ended after `since` and began by `until`. A move that was under way on `since`
    counts whole: no log says where on the road it was that day."""
    return sum((m.miles.amount for m in car.moves_made if m.back > since and m.out <= until), Fraction(0))


def miles_of_wheelset_since(car: CarRecord, serial: str, since: date, until: date) -> Fraction:
    """Miles of the moves made after `since` while the wheelset was fitted.

    The reader refuses a change of wheelset inside a move, so that each move lies wholly inside a fitting or outside.
    """
    fitted = [fitting for fitting in car.fittings if fitting.wheelset == serial]
    total = Fraction(0)
    for move in car.moves_made:
        if move.back <= since or move.out > until:
            continue
        if any(
            (fitting.first is None or fitting.first <= move.out) and (fitting.last is None or move.back <= fitting.last)
            for fitting in fitted
        ):
            total += move.miles.amount
    return total


def move_miles(readings: Readings, part: Part) -> Worked | Missing:
    """Miles of the whole move: the sum of its legs."""
    move = readings.standing.move
    if move is None or not move.legs:
        return Missing("move", "legs", "no legs are given")
    total = Quantity.of("distance", sum((leg.miles.amount for leg in move.legs), Fraction(0)), "miles")
    sums = " + ".join(write_quantity(leg.miles) for leg in move.legs)
    return Worked(Figure(total), f"miles = {sums} = {write_quantity(total)}")


def wheelset_miles(attribute: str) -> Working:
    """The working that counts a wheelset's miles since the day in its `attribute`."""

    def working(readings: Readings, part: Part) -> Worked | Missing:
        start = readings.newest(part.key, attribute)
        if start is None or not isinstance(start.value, Day):
            return Missing(part.key, attribute, "not recorded")
        serial = part.key.removeprefix("wheelset ")
        standing = readings.standing
        total = miles_of_wheelset_since(standing.car, serial, start.value.first, standing.as_of)
        figure = Quantity.of("distance", total, "miles")
        line = f"miles = moves made after {start.value.written} while {serial} was fitted = {write_quantity(figure)}"
        return Worked(Figure(figure), line, (start,))

    return working
