"""Whether figures agree that must hang together: sums, differences and shares that doubts ask about.

All arithmetic is exact. Where figures must be of one day (a scale ticket, a walk), others than those give nothing.
"""

from collections.abc import Callable, Sequence
from fractions import Fraction

from carknocker.record.model import Part
from carknocker.workings.formula import Result, result, written
from carknocker.workings.inputs import SIDES, Input, derived, figure, figures, inside, wheel_of
from carknocker.workings.model import Missing, OutOfRange, Readings, Worked, Working

_DIFFERENCES = {"temperature": "temperature difference"}


def difference(one: Fraction, other: Fraction, dimension: str, *, apart: bool = False) -> Result:
    """d = a - b, or |a - b| with `apart`, in the base unit of the dimension."""
    amount = abs(one - other) if apart else one - other
    line = f"d = {'|a - b|' if apart else 'a - b'} = {written(dimension, one)} - {written(dimension, other)}"
    return result(_DIFFERENCES.get(dimension, dimension), amount, line)


def share_of(one: Fraction, whole: Fraction, dimension: str) -> Result:
    """s = a/b, both in the base unit of the dimension. Raises OutOfRange for b not over 0."""
    if whole <= 0:
        raise OutOfRange("a share is of more than nothing")
    return result("ratio", one / whole, f"s = a/b = {written(dimension, one)}/{written(dimension, whole)}")


def sum_less(parts: Sequence[Fraction], whole: Fraction, dimension: str) -> Result:
    """d = |Σ - b|: how far a sum lies from what it should be."""
    added = " + ".join(written(dimension, one) for one in parts)
    amount = abs(sum(parts, Fraction(0)) - whole)
    return result(dimension, amount, f"d = |Σ - b| = {added} - {written(dimension, whole)}")


def _between(one: str, other: str, dimension: str, *, apart: bool = False) -> Working:
    """Of two attributes of the part itself."""

    def working(readings: Readings, part: Part) -> Worked | Missing:
        found = figures(readings, (part.key, one), (part.key, other))
        if isinstance(found, Missing):
            return found
        first, second = (each.amount for each in found)
        return derived(part.key, one, found, lambda: difference(first, second, dimension, apart=apart))

    return working


def _spread(of: Callable[[Readings, Part], list[tuple[str, str]]], dimension: str) -> Working:
    """The largest less the smallest of several figures, all of one day."""

    def working(readings: Readings, part: Part) -> Worked | Missing:
        wanted = of(readings, part)
        if len(wanted) < 2:
            return Missing(part.key, "parts", "fewer than two")
        found = figures(readings, *wanted)
        if isinstance(found, Missing):
            return found
        if len({one.evidence.on for one in found}) > 1:
            return Missing(wanted[0][0], wanted[0][1], "not read on one day")
        amounts = [one.amount for one in found]
        return derived(part.key, wanted[0][1], found, lambda: difference(max(amounts), min(amounts), dimension))

    return working


def _ticket(readings: Readings) -> list[Input] | Missing:
    """Gross weight and the weights on both trucks, of one scale ticket."""
    found = figures(readings, ("car", "gross_weight"), ("car", "weight_on_truck_A"), ("car", "weight_on_truck_B"))
    if not isinstance(found, Missing) and len({one.evidence.on for one in found}) > 1:
        return Missing("car", "gross_weight", "not weighed on the day of the trucks")
    return found


def truck_weights_apart(readings: Readings, part: Part) -> Worked | Missing:
    """How far the weights on the two trucks, added, lie from the gross weight of the same ticket."""
    found = _ticket(readings)
    if isinstance(found, Missing):
        return found
    gross, *trucks = (one.amount for one in found)
    return derived("car", "gross_weight", found, lambda: sum_less(trucks, gross, "weight"))


def truck_weights_apart_share(readings: Readings, part: Part) -> Worked | Missing:
    """The same as a share of the gross weight."""
    found = _ticket(readings)
    if isinstance(found, Missing):
        return found
    gross, *trucks = (one.amount for one in found)
    apart = abs(sum(trucks, Fraction(0)) - gross)
    return derived("car", "gross_weight", found, lambda: share_of(apart, gross, "weight"))


def gross_of_light(readings: Readings, part: Part) -> Worked | Missing:
    """The gross weight over the light weight."""
    found = figures(readings, ("car", "gross_weight"), ("car", "light_weight"))
    if isinstance(found, Missing):
        return found
    gross, light = (one.amount for one in found)
    return derived("car", "light_weight", found, lambda: share_of(gross, light, "weight"))


def centers_of_length(readings: Readings, part: Part) -> Worked | Missing:
    """The truck centers over the length over couplers."""
    found = figures(readings, ("car", "truck_centers"), ("car", "length_over_couplers"))
    if isinstance(found, Missing):
        return found
    centers, length = (one.amount for one in found)
    return derived("car", "length_over_couplers", found, lambda: share_of(centers, length, "length"))


def over_flanges(readings: Readings, part: Part) -> Worked | Missing:
    """Over the flanges of a wheelset: back to back and both flange thicknesses, added."""
    wheels = [wheel_of(part.key, side) for side in SIDES]
    found = figures(readings, (part.key, "back_to_back"), *((wheel, "flange_thickness") for wheel in wheels))
    if isinstance(found, Missing):
        return found
    amount = sum((one.amount for one in found), Fraction(0))
    added = " + ".join(written("length", one.amount) for one in found)
    return derived(part.key, "back_to_back", found, lambda: result("length", amount, f"B + t₁ + t₂ = {added}"))


def mate_rims_apart(readings: Readings, part: Part) -> Worked | Missing:
    """The difference of the rims of the two wheels of a wheelset."""
    found = figures(readings, *((wheel_of(part.key, side), "rim_thickness") for side in SIDES))
    if isinstance(found, Missing):
        return found
    left, right = (one.amount for one in found)
    return derived(part.key, "rim_thickness", found, lambda: difference(left, right, "length", apart=True))


def marker_over_roof(readings: Readings, part: Part) -> Worked | Missing:
    """The height of the rear marker less the height of the car."""
    found = figures(readings, (part.key, "height"), ("car", "height_over_rail"))
    if isinstance(found, Missing):
        return found
    marker, roof = (one.amount for one in found)
    return derived(part.key, "height", found, lambda: difference(marker, roof, "length"))


def over_nominal(readings: Readings, part: Part) -> Worked | Missing:
    """The measured diameter of a wheel less its nominal one."""
    return _between("measured_diameter", "nominal_diameter", "length")(readings, part)


def leg_lengths_apart(readings: Readings, part: Part) -> Worked | Missing:
    """Of legs between the same two places: the largest difference of their miles, as a share of the longer one."""
    legs: dict[frozenset[str], list[Input]] = {}
    for leg in readings.standing.by_kind.get("leg", ()):
        ends = [readings.newest(leg.key, name) for name in ("from", "to")]
        miles = figure(readings, leg.key, "miles")
        if not isinstance(miles, Missing) and all(ends):
            places = frozenset(getattr(one.value, "text", "").casefold() for one in ends if one is not None)
            legs.setdefault(places, []).append(miles)
    worst: tuple[Fraction, Input, Input] | None = None
    for same in legs.values():
        shortest, longest = (pick(same, key=lambda one: one.amount) for pick in (min, max))
        if longest.amount > 0:
            off = (longest.amount - shortest.amount) / longest.amount
            if shortest is not longest and (worst is None or off > worst[0]):
                worst = off, shortest, longest
    if worst is None:
        return Missing("move", "legs", "none leads the same way twice")
    off, shortest, longest = worst
    apart = longest.amount - shortest.amount
    return derived("move", "miles", (shortest, longest), lambda: share_of(apart, longest.amount, "distance"))


def _of_kind(kind: str, attribute: str) -> Callable[[Readings, Part], list[tuple[str, str]]]:
    """The attribute of every part of the kind inside that has a reading of it."""

    def of(readings: Readings, part: Part) -> list[tuple[str, str]]:
        keys = inside(readings, part.key, kind)
        return [(key, attribute) for key in keys if readings.newest(key, attribute) is not None]

    return of


buffers_and_couplers_apart = _between("length_over_buffers", "length_over_couplers", "length", apart=True)
axle_beyond_journals = _between("axle_length", "journal_centers", "length")
flange_over_hollow = _between("flange_height", "tread_hollow", "length")
ambient_over_running = _between("ambient_temperature", "running_temperature", "temperature")
pin_over_new = _between("pin_diameter", "pin_nominal_diameter", "length")
rear_pressure_drop = _between("brake_pipe_pressure", "rear_pressure", "pressure")
coupler_heights_apart = _spread(_of_kind("coupler", "coupler_height"), "length")
ambient_apart = _spread(_of_kind("bearing", "ambient_temperature"), "temperature")
bolster_springs_apart = _spread(_of_kind("spring", "bolster_spring_height"), "length")
equalizer_springs_apart = _spread(_of_kind("spring", "equalizer_spring_height"), "length")
side_bearings_apart = _spread(_of_kind("side bearing", "clearance"), "length")
