"""Wheel sizes by tape, and differences between wheels. Only sizes read with one tape are compared, since the base of a
tape is printed on the tape."""

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from functools import partial
from itertools import combinations

from msgspec.structs import replace

from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure, Word
from carknocker.workings.inputs import SIDES, Input, axles_of_truck, figure, inside, wheel_of, wheelset_at
from carknocker.workings.model import NOT_READ, Candidate, Missing, Readings, Share, Worked, Working
from carknocker.workings.uncertainty import candidates_of_largest, scaled
from carknocker.workings.wheels import diameter_of_tapes, largest_less_smallest, mean_less_mean, wheel_diameter


def tape_sizes(readings: Readings, wheels: Sequence[str]) -> list[Input] | Missing:
    """The tape size of each wheel, in tapes, all read with one tape; Missing with the reason where they are not.

    A tape is told by the `tape_id` read with the size (on the same day), else by the gauge of the reading. Where the
    base of the tape is recorded for two wheels, it must agree as well. A size counts as long as the wheel was not
    measured otherwise since: then its diameter does.
    """
    sizes: list[Input] = []
    tapes: dict[str, str] = {}
    bases: dict[Fraction, str] = {}
    for wheel in wheels:
        size = figure(readings, wheel, "tape_size")
        if isinstance(size, Missing):
            return size
        since = _measured_since(readings, wheel, size.evidence)
        if since is not None:
            newer = f"{since.replace('_', ' ')} is newer, and no tape size since"
            return Missing(wheel, "tape_size", newer, unread=True)
        tape = _tape_of(readings, wheel, size.evidence)
        if tape is None:
            return Missing(
                wheel, "tape_id", "not read with the tape size, so that sizes can't be compared", unread=True
            )
        tapes.setdefault(tape, wheel)
        base = figure(readings, wheel, "tape_base")
        if isinstance(base, Input) and base.evidence.on == size.evidence.on:
            bases.setdefault(base.amount, wheel)
        sizes.append(size)
    if len(tapes) > 1:
        (first, _), (second, wheel) = list(tapes.items())[:2]
        return Missing(wheel, "tape_id", f"sizes of different tapes ({first}, {second}) are not compared")
    if len(bases) > 1:
        return Missing(list(bases.values())[1], "tape_base", "sizes of tapes with different bases are not compared")
    return sizes


def _measured_since(readings: Readings, wheel: str, size: Evidence) -> str | None:
    """The attribute by which a wheel's size was read otherwise after the day of its tape size."""
    for attribute in ("measured_diameter", "measured_circumference"):
        other = readings.newest(wheel, attribute)
        if other is not None and other.on is not None and size.on is not None and other.on > size.on:
            return attribute
    return None


def _tape_of(readings: Readings, wheel: str, size: Evidence) -> str | None:
    identity = readings.newest(wheel, "tape_id")
    if identity is not None and identity.on == size.on and isinstance(identity.value, Word):
        return identity.value.text
    return None if size.gauge is None else size.gauge.name


def mate_difference(readings: Readings, part: Part) -> Worked | Missing:
    """Difference in size between the two wheels of a wheelset, in tapes (1 tape = 1/8 in of circumference).

    Source of the unit and of comparing mates: TM 55-2210-224-34 p. 3-264; TR0655, matching wheels and axles.
    """
    found = tape_sizes(readings, [wheel_of(part.key, side) for side in SIDES])
    if isinstance(found, Missing):
        return found
    left, right = found
    difference = Quantity.of("tapes", abs(left.amount - right.amount))
    numbers = f"|{write_quantity(left.quantity)} - {write_quantity(right.quantity)}|"
    line = f"|left - right| = {numbers} = {write_quantity(difference)}"
    pair = ((left, right),)
    return Worked(Figure(difference), line, (left.evidence, right.evidence), partial(_pairs_that_may_govern, pair))


def _pairs_that_may_govern(pairs: Iterable[tuple[Input, Input]]) -> tuple[Candidate, ...]:
    """Of pairs of sizes the one that differs most governs."""
    return candidates_of_largest(
        (abs(one.amount - other.amount), (Share(one.evidence), Share(other.evidence))) for one, other in pairs
    )


def truck_spread(readings: Readings, part: Part) -> Worked | Missing:
    """Largest less smallest size of all wheels of a truck, in tapes."""
    return _spread(readings, part.key)


def car_spread(readings: Readings, part: Part) -> Worked | Missing:
    """Largest less smallest size of all wheels under the car, in tapes."""
    return _spread(readings, "car")


def _spread(readings: Readings, container: str) -> Worked | Missing:
    wheels = inside(readings, container, "wheel")
    if not wheels:
        return Missing(container, "wheels", "none is fitted")
    found = tape_sizes(readings, wheels)
    if isinstance(found, Missing):
        return found
    largest = max(found, key=lambda one: one.amount)
    smallest = min(found, key=lambda one: one.amount)
    spread = largest.quantity.minus(smallest.quantity)
    numbers = f"{write_quantity(largest.quantity)} - {write_quantity(smallest.quantity)}"
    line = f"largest - smallest = {numbers} = {write_quantity(spread)}"
    used = tuple(one.evidence for one in found)
    return Worked(Figure(spread), line, used, partial(_any_two_that_may_govern, tuple(found)))


def _any_two_that_may_govern(sizes: Sequence[Input]) -> tuple[Candidate, ...]:
    return _pairs_that_may_govern(combinations(sizes, 2))


def wheels_by_side(readings: Readings, wheelset: str) -> dict[str, str]:
    """The wheels of a fitted wheelset by the side of the car on which they stand, L and R."""
    parts = readings.standing.parts
    keys = [wheel_of(wheelset, side) for side in SIDES]
    return {parts[key].position[:1]: key for key in keys if key in parts}


def step_to_neighbor(readings: Readings, part: Part) -> Worked | Missing:
    """Largest difference in size to a wheel of a neighboring axle of the truck, in tapes, each side by itself:
    equalizers and frames join the boxes of one side."""
    if part.container is None:
        return Missing(part.key, "axle", "not fitted")
    truck = readings.standing.parts[part.container].container
    axles = [] if truck is None else axles_of_truck(readings, truck)
    if part.container not in axles or len(axles) < 2:
        return Missing(part.key, "axle", "has no neighbor on record")
    here = axles.index(part.container)
    own = wheels_by_side(readings, part.key)
    best: Worked | None = None
    pairs: list[tuple[Input, Input]] = []
    used: dict[str, Evidence] = {}
    for neighbor in (axle for place, axle in enumerate(axles) if abs(place - here) == 1):
        other = wheelset_at(readings, neighbor)
        if other is None:
            return Missing(neighbor, "wheelset", "none is fitted")
        others = wheels_by_side(readings, other)
        for side in ("L", "R"):
            if side not in own or side not in others:
                return Missing(part.key, "wheels", NOT_READ, unread=True)
            found = tape_sizes(readings, [own[side], others[side]])
            if isinstance(found, Missing):
                return found
            pairs.append((found[0], found[1]))
            used.update((one.evidence.id, one.evidence) for one in found)
            step = Quantity.of("tapes", abs(found[0].amount - found[1].amount))
            if best is None or not isinstance(best.value, Figure) or step > best.value.quantity:
                labels = [readings.standing.parts[key].label for key in (own[side], others[side])]
                sizes = " - ".join(write_quantity(one.quantity) for one in found)
                line = f"step = |{labels[0]} - {labels[1]}| = |{sizes}| = {write_quantity(step)}"
                evidence = tuple(one.evidence for one in found)
                best = Worked(Figure(step), line, evidence)
    if best is None:
        return Missing(part.key, "axle", "has no neighbor on record")
    # every size bears on which step is the largest: the oldest of them ages the figure
    return replace(best, used=tuple(used.values()), candidates=partial(_pairs_that_may_govern, tuple(pairs)))


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


def _in_diameter(
    working: Working, wheels_of: Callable[[Readings, Part], Sequence[str]], compared: Callable[[list[Worked]], Worked]
) -> Working:  # fmt: skip
    """The working as a difference in diameter; where a size by tape was not read, or the wheel was measured otherwise
    since, that of the newest diameters."""

    def in_diameter(readings: Readings, part: Part) -> Worked | Missing:
        tapes = working(readings, part)
        if isinstance(tapes, Missing):
            diameters = _diameters(readings, wheels_of(readings, part)) if tapes.unread else []
            return compared(diameters) if diameters else tapes
        if not isinstance(tapes.value, Figure):
            return tapes
        outcome = diameter_of_tapes(tapes.value.quantity.amount)
        candidates = None if tapes.candidates is None else partial(_as_diameters, tapes.candidates)
        return replace(tapes, value=outcome.value, line=f"{tapes.line}; {outcome.line}", candidates=candidates)

    in_diameter.__doc__ = f"{working.__doc__} As a difference in diameter: n × 1/8 in/π, or of the newest diameters."
    return in_diameter


def _diameters(readings: Readings, wheels: Sequence[str]) -> list[Worked]:
    """The newest diameter of each of these wheels; none where one of them has none."""
    found = _measured(readings, wheels)
    return found if len(found) == len(wheels) else []


def _measured(readings: Readings, wheels: Sequence[str]) -> list[Worked]:
    """The newest diameter of those of the wheels that were measured."""
    parts = readings.standing.parts
    found = (wheel_diameter(readings, parts[wheel]) for wheel in wheels if wheel in parts)
    return [one for one in found if isinstance(one, Worked)]


def wheel_diameters_apart(readings: Readings, part: Part) -> Worked | Missing:
    """Largest less smallest diameter of those wheels of a wheelset or truck that were measured, each in its own way and
    by its own tape, inches: what another tape or gauge leaves open hides no inch."""
    found = _measured(readings, _of_container(readings, part))
    if len(found) < 2:
        return Missing(part.key, "wheels", "fewer than two measured", unread=True)
    return largest_less_smallest(found)


def _as_diameters(tapes: Callable[[], tuple[Candidate, ...]]) -> tuple[Candidate, ...]:
    return scaled(tapes(), diameter_of_tapes(Fraction(1)).amount.middle)


def _of_wheelset(readings: Readings, part: Part) -> Sequence[str]:
    return [wheel_of(part.key, side) for side in SIDES]


def _of_container(readings: Readings, part: Part) -> Sequence[str]:
    return inside(readings, part.key, "wheel")


def _of_three_axles(readings: Readings, part: Part) -> Sequence[str]:
    """The wheels of a three-axle truck from end to end; none where it has not three axles with their wheelsets."""
    wheelsets = [wheelset_at(readings, axle) for axle in axles_of_truck(readings, part.key)]
    found = [wheel_of(one, side) for one in wheelsets if one for side in SIDES]
    return found if len(wheelsets) == 3 and len(found) == 6 else []


def _middle_less_ends(diameters: list[Worked]) -> Worked:
    return mean_less_mean(diameters[2:4], diameters[:2] + diameters[4:])


mate_difference_in_diameter = _in_diameter(mate_difference, _of_wheelset, largest_less_smallest)
truck_spread_in_diameter = _in_diameter(truck_spread, _of_container, largest_less_smallest)
car_spread_in_diameter = _in_diameter(car_spread, _of_container, largest_less_smallest)
middle_axle_step_in_diameter = _in_diameter(middle_axle_step, _of_three_axles, _middle_less_ends)
