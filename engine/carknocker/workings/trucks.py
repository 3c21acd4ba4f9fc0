"""Figures of a truck: side bearings, springs, which axle is the middle one."""

from collections.abc import Sequence
from fractions import Fraction
from functools import partial

from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Part
from carknocker.record.values import Bound, Figure, Word
from carknocker.workings.inputs import as_range, axles_of_truck, figures, inside, word
from carknocker.workings.model import NO_FIGURE, NOT_READ, Missing, Readings, Share, Worked
from carknocker.workings.uncertainty import candidates_of_largest


def side_bearing_total_clearance(readings: Readings, part: Part) -> Worked | Missing:
    """Clearance of both side bearings of a truck added, in inches. A bound adds as a range.

    Source: 49 CFR 215.119(c); NAVFAC P-301.
    """
    bearings = inside(readings, part.key, "side bearing")
    if len(bearings) != 2:
        return Missing(part.key, "side_bearings", "not two on record")
    return _together(readings, bearings)


def side_bearing_diagonal_clearance(readings: Readings, part: Part) -> Worked | Missing:
    """The larger sum of the side bearing clearances at diagonally opposite sides of a car, in inches.

    Source: 49 CFR 215.119(c)(4).
    """
    bearings = inside(readings, part.key, "side bearing")
    corners = {readings.standing.parts[key].position: key for key in bearings}
    if corners.keys() != {"BL", "BR", "AL", "AR"}:
        return Missing(part.key, "side_bearings", "not four on record")
    sums: list[tuple[Fraction, Worked]] = []
    for one, other in (("BL", "AR"), ("BR", "AL")):
        found = _together(readings, (corners[one], corners[other]))
        if isinstance(found, Missing):
            return found
        if not isinstance(found.value, Figure):
            return Missing(corners[one], "clearance", NO_FIGURE)
        sums.append((found.value.quantity.amount, found))
    (first, worked), (second, other_worked) = sums
    larger = worked if first >= second else other_worked
    line = f"{larger.line}; the other diagonal {write_quantity(_least(worked, other_worked))}"
    diagonals = [(amount, tuple(Share(one) for one in found.used)) for amount, found in sums]
    used = (*worked.used, *other_worked.used)
    return Worked(larger.value, line, used, partial(candidates_of_largest, tuple(diagonals)))


def _least(one: Worked, other: Worked) -> Quantity:
    return min(found.value.quantity for found in (one, other) if isinstance(found.value, Figure))


def _together(readings: Readings, bearings: Sequence[str]) -> Worked | Missing:
    ranges: list[Bound] = []
    used = []
    for key in bearings:
        evidence = readings.newest(key, "clearance")
        found = None if evidence is None else as_range(evidence.value)
        if evidence is None or found is None:
            return Missing(key, "clearance", NOT_READ, unread=True)
        ranges.append(found)
        used.append(evidence)
    first, second = ranges
    low = None if first.low is None or second.low is None else first.low.plus(second.low)
    high = None if first.high is None or second.high is None else first.high.plus(second.high)
    if low is not None and low == high:
        numbers = " + ".join(write_quantity(one.low) for one in ranges if one.low is not None)
        return Worked(Figure(low), f"c = c₁ + c₂ = {numbers} = {write_quantity(low)}", tuple(used))
    told = any(one.go_or_no_go for one in ranges)
    total = Bound(low, first.low_open or second.low_open, high, first.high_open or second.high_open, told)
    how = "by go/no-go gauge" if told else "told as a bound"
    return Worked(total, f"c = c₁ + c₂, at least one of them {how}", tuple(used))


def share_of_springs_broken(readings: Readings, part: Part) -> Worked | Missing:
    """Share of the springs in a side bearing's nest that are broken: b/n. Source: 49 CFR 215.119(b)."""
    found = figures(readings, (part.key, "springs_broken"), (part.key, "springs_in_nest"))
    if isinstance(found, Missing):
        return found
    broken, whole = found
    if not 0 <= broken.amount <= whole.amount or not whole.amount:
        return Missing(part.key, "springs_broken", "more than the springs in the nest")
    ratio = Quantity.of("ratio", Fraction(broken.amount, whole.amount), "%")
    line = f"b/n = {broken.amount}/{whole.amount} = {write_quantity(ratio)}"
    return Worked(Figure(ratio), line, (broken.evidence, whole.evidence))


def middle_of_three(readings: Readings, part: Part) -> Worked | Missing:
    """Whether an axle is the middle one of a three-axle truck. Missing where the kind of truck is not recorded, or
    where the truck has not three axles on record."""
    if part.container is None:
        return Missing(part.key, "truck", "not known")
    kind = word(readings, part.container, "truck_kind")
    if isinstance(kind, Missing):
        return kind
    if kind[0] != "three-axle":
        return Worked(Word("no"), f"a {kind[0]} truck has no middle axle", (kind[1],))
    axles = axles_of_truck(readings, part.container)
    if len(axles) != 3:
        return Missing(part.container, "axles", f"{len(axles)} on record for a three-axle truck")
    answer = "yes" if axles[1] == part.key else "no"
    names = ", ".join(readings.standing.parts[key].position for key in axles)
    return Worked(Word(answer), f"axles of the truck: {names}; the middle one is {names.split(', ')[1]}", (kind[1],))
