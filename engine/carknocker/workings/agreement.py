"""Whether figures agree that must hang together: sums, differences and shares that doubts ask about.

All arithmetic is exact. Where figures must be of one day (a scale ticket, a walk), others than those give nothing.
"""

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import partial
from heapq import heappop, heappush
from itertools import permutations

from msgspec.structs import replace

from carknocker.record.model import Part
from carknocker.record.values import Figure, Word
from carknocker.workings.brakes import compound_lever_ratio
from carknocker.workings.formula import Result, result, written
from carknocker.workings.inputs import SIDES, Input, derived, figure, figures, inside, wheel_of
from carknocker.workings.model import Candidate, Missing, OutOfRange, Readings, Share, Worked, Working
from carknocker.workings.uncertainty import candidates_of_largest

_DIFFERENCES = {"temperature": "temperature difference"}


def called_b(readings: Readings, part: Part) -> Worked:
    """Whether the record calls an end B, the end with the hand brake, from which axles are counted."""
    return Worked(Word("yes" if part.position == "B" else "no"), f"the record calls it the {part.position} end")


def difference(one: Fraction, other: Fraction, dimension: str) -> Result:
    """d = a - b, in the base unit of the dimension."""
    line = f"d = a - b = {written(dimension, one)} - {written(dimension, other)}"
    return result(_DIFFERENCES.get(dimension, dimension), one - other, line)


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


def _between(one: str, other: str, dimension: str, says: str) -> Working:
    """Of two attributes of the part itself, the first less the second."""

    def working(readings: Readings, part: Part) -> Worked | Missing:
        found = figures(readings, (part.key, one), (part.key, other))
        if isinstance(found, Missing):
            return found
        first, second = (each.amount for each in found)
        return derived(part.key, one, found, lambda: difference(first, second, dimension))

    working.__doc__ = says
    return working


def _spread(of: Callable[[Readings, Part], list[tuple[str, str]]], dimension: str, says: str) -> Working:
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
        return _apart(part, wanted[0][1], found, dimension)

    working.__doc__ = says
    return working


def _apart(part: Part, attribute: str, found: Sequence[Input], dimension: str) -> Worked | Missing:
    """The largest less the smallest; each two of them may truly be so."""
    amounts = [one.amount for one in found]
    worked = derived(part.key, attribute, found, lambda: difference(max(amounts), min(amounts), dimension))
    return worked if isinstance(worked, Missing) else replace(worked, candidates=partial(_pairs, tuple(found)))


def _pairs(found: tuple[Input, ...]) -> tuple[Candidate, ...]:
    return candidates_of_largest(
        (one.amount - other.amount, (Share(one.evidence), Share(other.evidence, Fraction(-1))))
        for one, other in permutations(found, 2)
    )


def _weights(readings: Readings) -> list[Input] | Missing:
    """Gross weight and the weights on both trucks."""
    return figures(readings, ("car", "gross_weight"), ("car", "weight_on_truck_A"), ("car", "weight_on_truck_B"))


def _ticket(readings: Readings) -> list[Input] | Missing:
    """Gross weight and the weights on both trucks, of one scale ticket."""
    found = _weights(readings)
    if not isinstance(found, Missing) and len({one.evidence.on for one in found}) > 1:
        return Missing("car", "gross_weight", "not weighed on the day of the trucks")
    return found


def truck_weights_apart(readings: Readings, part: Part) -> Worked | Missing:
    """How far the weights on the two trucks, added, lie from the gross weight of the same ticket."""
    found = _ticket(readings)
    if isinstance(found, Missing):
        return found
    gross, *trucks = (one.amount for one in found)
    worked = derived("car", "gross_weight", found, lambda: sum_less(trucks, gross, "weight"))
    return worked if isinstance(worked, Missing) else replace(worked, candidates=partial(_either_way, tuple(found)))


def _either_way(found: tuple[Input, ...]) -> tuple[Candidate, ...]:
    """The sum may truly be over the whole, or under it."""
    whole, *parts = found
    over = sum((one.amount for one in parts), Fraction(0)) - whole.amount
    return candidates_of_largest(
        (over * sign, (Share(whole.evidence, Fraction(-sign)), *(Share(one.evidence, Fraction(sign)) for one in parts)))
        for sign in (1, -1)
    )


def trucks_of_gross(readings: Readings, part: Part) -> Worked | Missing:
    """The weights on the two trucks, added, over the gross weight of the same ticket."""
    found = _ticket(readings)
    return found if isinstance(found, Missing) else _trucks_over_gross(found)


def later_trucks_of_gross(readings: Readings, part: Part) -> Worked | Missing:
    """The weights on the two trucks, of one day, over the gross weight of an earlier one."""
    found = _weights(readings)
    if isinstance(found, Missing):
        return found
    gross_on, *days = (one.evidence.on for one in found)
    if gross_on is None or days[0] is None or len(set(days)) > 1 or days[0] <= gross_on:
        return Missing("car", "gross_weight", "not weighed before the trucks")
    return _trucks_over_gross(found)


def _trucks_over_gross(found: Sequence[Input]) -> Worked | Missing:
    gross, *trucks = (one.amount for one in found)
    return derived("car", "gross_weight", found, lambda: share_of(sum(trucks, Fraction(0)), gross, "weight"))


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
    return _apart(part, "rim_thickness", found, "length")


def marker_over_roof(readings: Readings, part: Part) -> Worked | Missing:
    """The height of the rear marker less the height of the car."""
    found = figures(readings, (part.key, "height"), ("car", "height_over_rail"))
    if isinstance(found, Missing):
        return found
    marker, roof = (one.amount for one in found)
    return derived(part.key, "height", found, lambda: difference(marker, roof, "length"))


def leg_lengths_apart(readings: Readings, part: Part) -> Worked | Missing:
    """Of legs whose two places other legs join by a shorter way: by how much the leg is longer, as a share of the leg,
    at most. Every leg is taken as open both ways; one that ends where it began is no way to anywhere."""
    legs: list[_Way] = []
    for leg in readings.standing.by_kind.get("leg", ()):
        ends = [readings.newest(leg.key, name) for name in ("from", "to")]
        miles = figure(readings, leg.key, "miles")
        if not isinstance(miles, Missing) and all(ends):
            start, end = (
                " ".join(getattr(one.value, "text", "").casefold().split()) for one in ends if one is not None
            )
            if start != end:
                legs.append((start, end, miles))
    worst: tuple[Fraction, Input, tuple[Input, ...]] | None = None
    for number, (start, end, miles) in enumerate(legs):
        way = _shorter_way(start, end, miles.amount, [*legs[:number], *legs[number + 1 :]])
        if way:
            off = 1 - sum((one.amount for one in way), Fraction(0)) / miles.amount
            worst = (off, miles, way) if worst is None or off > worst[0] else worst
    if worst is None:
        return Missing("move", "legs", "no other way between the places of a leg is shorter")
    off, longest, way = worst
    return derived("move", "miles", (longest, *way), lambda: share_of(off * longest.amount, longest.amount, "distance"))


_Way = tuple[str, str, Input]
"""The two places of a leg, and its miles."""


def _shorter_way(start: str, end: str, than: Fraction, legs: Sequence[_Way]) -> tuple[Input, ...]:
    """The legs of the shortest way between two places, if it is shorter than so many miles; else none. By Dijkstra."""
    joined: dict[str, list[tuple[str, Input]]] = {}
    for one, other, miles in legs:
        joined.setdefault(one, []).append((other, miles))
        joined.setdefault(other, []).append((one, miles))
    reached: set[str] = set()
    open_: list[tuple[Fraction, int, str, tuple[Input, ...]]] = [(Fraction(0), 0, start, ())]
    number = 0
    while open_:
        so_far, _, place, way = heappop(open_)
        if place == end:
            return way
        if place in reached:
            continue
        reached.add(place)
        for other, miles in joined.get(place, ()):
            if other not in reached and so_far + miles.amount < than:
                number += 1
                heappush(open_, (so_far + miles.amount, number, other, (*way, miles)))
    return ()


def _of_kind(kind: str, attribute: str) -> Callable[[Readings, Part], list[tuple[str, str]]]:
    """The attribute of every part of the kind inside that has a reading of it."""

    def of(readings: Readings, part: Part) -> list[tuple[str, str]]:
        keys = inside(readings, part.key, kind)
        return [(key, attribute) for key in keys if readings.newest(key, attribute) is not None]

    return of


def buffers_and_couplers_apart(readings: Readings, part: Part) -> Worked | Missing:
    """How far the length over buffers lies from that over couplers."""
    found = figures(readings, (part.key, "length_over_buffers"), (part.key, "length_over_couplers"))
    return found if isinstance(found, Missing) else _apart(part, "length_over_buffers", found, "length")


def truck_weights_of_gross(readings: Readings, part: Part) -> Worked | Missing:
    """The own weights of all trucks, added, over the gross weight of the car."""
    trucks = [truck.key for truck in readings.standing.by_kind.get("truck", ())]
    if not trucks:
        return Missing(part.key, "truck_weight", "no truck on record")
    found = figures(readings, (part.key, "gross_weight"), *((truck, "truck_weight") for truck in trucks))
    if isinstance(found, Missing):
        return found
    gross, *own = (one.amount for one in found)
    return derived(part.key, "gross_weight", found, lambda: share_of(sum(own, Fraction(0)), gross, "weight"))


def stores_apart(readings: Readings, part: Part) -> Worked | Missing:
    """How far the gross weight less the light weight lies from what tanks and stores weigh."""
    wanted = ("gross_weight", "light_weight", "tank_and_store_weight")
    found = figures(readings, *((part.key, name) for name in wanted))
    if isinstance(found, Missing):
        return found
    gross, *others = (one.amount for one in found)
    worked = derived(part.key, "gross_weight", found, lambda: sum_less(others, gross, "weight"))
    return worked if isinstance(worked, Missing) else replace(worked, candidates=partial(_either_way, tuple(found)))


def _overhang(readings: Readings, part: Part) -> list[Input] | Missing:
    wanted = ("overhang_at_far_end", "length_over_couplers", "truck_centers")
    return figures(readings, *((part.key, name) for name in wanted))


def overhang_less_half(readings: Readings, part: Part) -> Worked | Missing:
    """The overhang at the far end less half of what the car is longer than its truck centers."""
    found = _overhang(readings, part)
    if isinstance(found, Missing):
        return found
    overhang, length, centers = (one.amount for one in found)
    return derived(
        part.key, "overhang_at_far_end", found, lambda: difference(overhang, (length - centers) / 2, "length")
    )


def overhang_left(readings: Readings, part: Part) -> Worked | Missing:
    """What the overhang at the far end leaves of the car's length, beside its truck centers, for the other end."""
    found = _overhang(readings, part)
    if isinstance(found, Missing):
        return found
    overhang, length, centers = (one.amount for one in found)
    return derived(part.key, "overhang_at_far_end", found, lambda: difference(length - centers, overhang, "length"))


def lever_ratio_of_arms(readings: Readings, part: Part) -> Worked | Missing:
    """The lever ratio as told over that of the arms of the levers."""
    told = figure(readings, part.key, "lever_ratio")
    if isinstance(told, Missing):
        return told
    by_arms = compound_lever_ratio(readings, part)
    if isinstance(by_arms, Missing) or not isinstance(by_arms.value, Figure):
        return by_arms if isinstance(by_arms, Missing) else Missing(part.key, "brake_levers", "no figure")
    ratio = by_arms.value.quantity.amount
    return derived(part.key, "lever_ratio", (told, *by_arms.used), lambda: share_of(told.amount, ratio, "ratio"))


def _lowest_less(of_the_lift: str, says: str) -> Working:
    """The lowest part over the rail less a height that a lift plan asks."""

    def working(readings: Readings, part: Part) -> Worked | Missing:
        found = figures(readings, (part.key, "lowest_part_over_rail"), ("car", of_the_lift))
        if isinstance(found, Missing):
            return found
        lowest, other = (one.amount for one in found)
        return derived(part.key, "lowest_part_over_rail", found, lambda: difference(lowest, other, "length"))

    working.__doc__ = says
    return working


def _cylinders_apart(attribute: str, says: str) -> Working:
    """Of the brake cylinders that are mounted alike, the largest less the smallest of a figure, whichever mounting has
    them farthest apart. Descriptions have no day."""

    def working(readings: Readings, part: Part) -> Worked | Missing:
        alike: dict[str, list[Input]] = {}
        for cylinder in readings.standing.by_kind.get("brake cylinder", ()):
            mounting, found = readings.newest(cylinder.key, "mounting"), figure(readings, cylinder.key, attribute)
            if isinstance(found, Input) and mounting is not None and isinstance(mounting.value, Word):
                alike.setdefault(mounting.value.text, []).append(found)
        groups = [group for group in alike.values() if len(group) > 1]
        if not groups:
            return Missing(part.key, "brake_cylinders", "no two that are mounted alike")
        widest = max(groups, key=lambda group: _span([one.amount for one in group]))
        return _apart(part, attribute, widest, "length")

    working.__doc__ = says
    return working


def _span(amounts: Sequence[Fraction]) -> Fraction:
    return max(amounts) - min(amounts)


lowest_less_outboard = _lowest_less(
    "lowest_part_outboard_height", "The lowest part less the lowest part outboard of the truck."
)
lowest_less_far_end = _lowest_less("far_end_lowest_part", "The lowest part less the lowest part at the far end.")
axle_beyond_journals = _between(
    "axle_length", "journal_centers", "length", "The length of an axle less its journal centers."
)
flange_over_hollow = _between(
    "flange_height", "tread_hollow", "length", "The height of a flange less the hollow of its tread."
)
ambient_over_running = _between(
    "ambient_temperature", "running_temperature", "temperature", "The temperature of the air less that of the box."
)
pin_over_new = _between("pin_diameter", "pin_nominal_diameter", "length", "The thinnest brake pin less a new one.")
rear_pressure_drop = _between(
    "brake_pipe_pressure", "rear_pressure", "pressure", "The brake pipe pressure less that at the rear."
)
coupler_heights_apart = _spread(
    _of_kind("coupler", "coupler_height"), "length", "The difference in height of the two couplers, read on one day."
)
ambient_apart = _spread(
    _of_kind("bearing", "ambient_temperature"), "temperature", "The difference of the air's temperature at the boxes."
)
trucks_own_weights_apart = _spread(
    _of_kind("truck", "truck_weight"), "weight", "The difference in weight of the two trucks by themselves."
)
bolster_springs_apart = _spread(
    _of_kind("spring", "bolster_spring_height"),
    "length",
    "The difference in height of the bolster springs of a truck or car.",
)
equalizer_springs_apart = _spread(
    _of_kind("spring", "equalizer_spring_height"),
    "length",
    "The difference in height of the equalizer springs of a truck or car.",
)
side_bearings_apart = _spread(
    _of_kind("side bearing", "clearance"), "length", "The difference of the clearances of a truck's side bearings."
)
cylinder_diameters_apart = _cylinders_apart(
    "diameter", "The difference in diameter of brake cylinders that are mounted alike."
)
strokes_apart = _cylinders_apart(
    "nominal_stroke", "The difference in stroke of brake cylinders that are mounted alike."
)
least_travels_apart = _cylinders_apart(
    "badge_plate_least_travel", "The difference of the least travel by plate of brake cylinders that are mounted alike."
)
most_travels_apart = _cylinders_apart(
    "badge_plate_travel", "The difference of the most travel by plate of brake cylinders that are mounted alike."
)
