"""Turning and wear from the record: the wheels of a plan, and what the wear rate leaves to a limit."""

from datetime import date
from fractions import Fraction

import msgspec

from carknocker.record.values import Bound, Figure
from carknocker.workings.diameter import wheel_diameter
from carknocker.workings.enclosure import Enclosure
from carknocker.workings.inputs import axles_of_truck, figures, inside, wheelset_at
from carknocker.workings.model import Missing, OutOfRange, Readings, Worked
from carknocker.workings.turning_plan import WornWheel
from carknocker.workings.wear import MilesLeft, miles_left, wear_rate
from carknocker.workings.wear_record import rim_history


def worn_wheels(readings: Readings, container: str, *, sized: bool = True) -> list[WornWheel] | Missing:
    """The fitted wheels inside a truck (`truck B`), under the car (`car`) or of a wheelset, for a turning plan. Not
    sized: their diameters are left out, known or not."""
    parts = readings.standing.parts
    places = {
        wheelset: (truck.key, axle)
        for truck in readings.standing.by_kind.get("truck", ())
        for axle in axles_of_truck(readings, truck.key)
        if (wheelset := wheelset_at(readings, axle)) is not None
    }
    found: list[WornWheel] = []
    for key in inside(readings, container, "wheel"):
        truck, axle = places.get(parts[key].container or "", ("", parts[key].container or ""))
        diameter = wheel_diameter(readings, parts[key]) if sized else None
        if isinstance(diameter, Missing):
            return diameter
        read = figures(readings, (key, "rim_thickness"), (key, "turning_allowance"))
        if isinstance(read, Missing):
            return read
        rim, finger = read
        size = None if diameter is None else _enclosed(diameter)
        found.append(WornWheel(parts[key].label, truck, axle, size, rim.amount, finger.amount))
    return found or Missing(container, "wheels", "none is fitted")


def _enclosed(diameter: Worked) -> Enclosure:
    value = diameter.value
    if isinstance(value, Figure):
        return Enclosure.of(value.quantity.amount)
    if not isinstance(value, Bound) or value.low is None or value.high is None:
        raise OutOfRange("a diameter without both ends")
    return Enclosure(value.low.amount, value.high.amount)


class Outlook(msgspec.Struct, frozen=True):
    """When a rim comes to a limit, if the car goes on as it did. left: miles; earliest, latest: days (latest None where
    the wear may be nothing); lines: worked."""

    left: MilesLeft
    earliest: date
    latest: date | None
    lines: tuple[str, ...]


def rim_outlook(readings: Readings, wheel: str, limit: Fraction) -> Outlook | Missing:
    """Miles and days until a rim is at a limit (inches; a rule's figure), at the wheel's own wear rate and at the miles
    per day that its wheelset made between the first and the last reading of the rim."""
    history = rim_history(readings, wheel)
    if isinstance(history, Missing):
        return history
    (first, first_read), (last, last_read) = history[0], history[-1]
    if first_read.on is None or last_read.on is None or first_read.on == last_read.on:
        return Missing(wheel, "rim_thickness", "not read on two days", unread=True)
    per_day = (last.miles - first.miles) / (last_read.on - first_read.on).days
    try:
        rate = wear_rate([reading for reading, _ in history])
        left = miles_left(last.rim, limit, rate, last.uncertainty)
        earliest, latest = left.dates(last_read.on, per_day)
    except OutOfRange as error:
        return Missing(wheel, "rim_thickness", f"out of range: {error}")
    return Outlook(left, earliest, latest, (rate.line, left.line))
