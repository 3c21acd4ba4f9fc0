"""Wheels and wheelsets: diameter by gauge or tape, variation back to back, rim after turning."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache, partial
from itertools import permutations

from msgspec.structs import replace

from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.values import Figure
from carknocker.workings.enclosure import PI, Enclosure, Number
from carknocker.workings.formula import Result, inches, number, result
from carknocker.workings.inputs import SIDES, Input, as_range, derived, figure, figures, wheel_of, wheelset_of
from carknocker.workings.model import Candidate, Missing, OutOfRange, Readings, Share, Worked
from carknocker.workings.uncertainty import candidate_of_sum, candidates_of_largest

INCH_PER_TAPE = Fraction(1, 8)
"""One tape size is 1/8 in of circumference. Source: TM 55-2210-224-34 p. 3-264 (two tapes = 1/4 in)."""


_IN_PER_IN = 1 / PI.middle
_IN_PER_TAPE = INCH_PER_TAPE / PI.middle
"""By how much a diameter grows with an inch of circumference, with a tape size."""


def diameter_from_circumference(circumference: Number) -> Result:
    """D = C/π. C: circumference in inches, over 0. Geometry; raises OutOfRange."""
    enclosed = Enclosure.of(circumference)
    if enclosed.low <= 0:
        raise OutOfRange("a wheel's circumference is more than 0 in")
    return result("length", enclosed / PI, f"D = C/π = {inches(circumference)}/π")


@lru_cache(maxsize=1024)
def diameter_from_tape(base: Fraction, tapes: Fraction) -> Result:
    """D = (C₀ + n × 1/8 in)/π. C₀: base circumference printed on the tape, inches; n: tape size.

    Source: the tape's own scale; differences in TM 55-2210-224-34 p. 3-264. Raises OutOfRange for a base that is
    not over 0 in or a size below 0.
    """
    if base <= 0 or tapes < 0:
        raise OutOfRange("a tape has a base of more than 0 in and sizes from 0 up")
    numbers = f"({inches(base)} + {number(tapes)} × 1/8 in)/π"
    return result("length", Enclosure.of(base + tapes * INCH_PER_TAPE) / PI, f"D = (C₀ + n × 1/8 in)/π = {numbers}")


@lru_cache(maxsize=1024)
def diameter_of_tapes(tapes: Fraction) -> Result:
    """Difference in diameter that a difference in tape sizes makes: n × 1/8 in / π. Any n; below 0 for smaller."""
    return result("length", Enclosure.of(tapes * INCH_PER_TAPE) / PI, f"ΔD = n × 1/8 in/π = {number(tapes)} × 1/8 in/π")


def wheel_diameter(readings: Readings, part: Part) -> Worked | Missing:
    """Diameter of a wheel, from the newest of: measured diameter, measured circumference, tape size with its base.

    A tape size counts only with the base of the tape read on the same day. Of the same day, the diameter gauge goes
    before the circumference, and that before the tape.
    """
    ways = [_gauged(readings, part.key), _rolled(readings, part.key), _taped(readings, part.key)]
    found = [way for way in ways if isinstance(way, Worked)]
    if not found:
        taped = ways[2]
        if isinstance(taped, Missing) and taped.attribute != "tape_size":
            return taped
        return Missing(part.key, "measured_diameter", "not read, nor its circumference, nor its tape size", unread=True)
    return max(found, key=lambda way: (way.used[0].on is not None, way.used[0].on))


_INCHES: Mapping[str, Fraction] = {
    "measured_diameter": Fraction(1), "measured_circumference": _IN_PER_IN, "tape_size": _IN_PER_TAPE,
    "tape_base": _IN_PER_IN,
}  # fmt: skip
"""By how much a diameter grows with each of the readings that it is worked out from."""


def over_nominal(readings: Readings, part: Part) -> Worked | Missing:
    """The diameter of a wheel, in whatever way it was measured, less its nominal one; inches. Arithmetic."""
    across = wheel_diameter(readings, part)
    if isinstance(across, Missing):
        return across
    nominal = figure(readings, part.key, "nominal_diameter")
    if isinstance(nominal, Missing):
        return nominal
    formula = f"{_written(across)} - {write_quantity(nominal.quantity)}"
    outcome = result("length", _enclosed(across) - Enclosure.of(nominal.amount), formula)
    shares = (*(Share(read, _INCHES[read.attribute]) for read in across.used), Share(nominal.evidence, Fraction(-1)))
    return Worked(outcome.value, outcome.line, (*across.used, nominal.evidence), lambda: (Candidate(shares),))


def diameters_apart(readings: Readings, part: Part) -> Worked | Missing:
    """The largest less the smallest diameter of a wheel that was measured in two or three ways on one day: by gauge,
    round the tread, by wheel tape; in inches. Geometry."""
    ways = [_gauged(readings, part.key), _rolled(readings, part.key), _taped(readings, part.key)]
    found = [way for way in ways if isinstance(way, Worked)]
    newest = max(((way.used[0].on, way.used[0].after) for way in found if way.used[0].on is not None), default=None)
    alike = [way for way in found if (way.used[0].on, way.used[0].after) == newest]
    if len(alike) < 2:
        return Missing(part.key, "measured_diameter", "not measured in two ways on one day", unread=True)
    return largest_less_smallest(alike)


def largest_less_smallest(diameters: Sequence[Worked]) -> Worked:
    """The largest less the smallest of several diameters, each as `wheel_diameter` yields it; inches. Arithmetic."""
    ranked = sorted(diameters, key=_middle)
    apart = _enclosed(ranked[-1]) - _enclosed(ranked[0])
    outcome = result("length", apart, f"largest - smallest = {_written(ranked[-1])} - {_written(ranked[0])}")
    return Worked(
        outcome.value, outcome.line, _used_by(diameters), partial(_ways_that_may_govern, tuple(diameters))
    )  # fmt: skip


def mean_less_mean(diameters: Sequence[Worked], others: Sequence[Worked]) -> Worked:
    """The mean of some diameters less the mean of others; inches, below 0 where the others are larger. Arithmetic."""
    parts = [(one, Fraction(1, len(diameters))) for one in diameters]
    parts += [(one, Fraction(-1, len(others))) for one in others]
    step = sum((_enclosed(one) * times for one, times in parts), Enclosure.of(Fraction(0)))
    means = (", ".join(_written(one) for one in these) for these in (diameters, others))
    outcome = result("length", step, " - ".join(f"mean of ({mean})" for mean in means))
    shares = tuple(Share(read, times * _INCHES[read.attribute]) for one, times in parts for read in one.used)
    return Worked(outcome.value, outcome.line, _used_by([one for one, _ in parts]), lambda: (Candidate(shares),))


def _used_by(ways: Sequence[Worked]) -> tuple[Evidence, ...]:
    return tuple({one.id: one for way in ways for one in way.used}.values())


def _written(way: Worked) -> str:
    return write_quantity(Quantity.of("length", _middle(way), "in"))


def _ways_that_may_govern(ways: tuple[Worked, ...]) -> tuple[Candidate, ...]:
    return candidates_of_largest(
        (
            _middle(one) - _middle(other),
            (
                *(Share(read, _INCHES[read.attribute]) for read in one.used),
                *(Share(read, -_INCHES[read.attribute]) for read in other.used),
            ),
        )
        for one, other in permutations(ways, 2)
    )


def _enclosed(way: Worked) -> Enclosure:
    held = as_range(way.value)
    if held is None or held.low is None or held.high is None:
        raise AssertionError("a diameter is a figure, or lies between two")
    return Enclosure(held.low.amount, held.high.amount)


def _middle(way: Worked) -> Fraction:
    return _enclosed(way).middle


def _gauged(readings: Readings, wheel: str) -> Worked | Missing:
    read = figure(readings, wheel, "measured_diameter")
    if isinstance(read, Missing):
        return read
    return Worked(Figure(read.quantity), f"D = {write_quantity(read.quantity)} as measured", (read.evidence,))


def _rolled(readings: Readings, wheel: str) -> Worked | Missing:
    read = figure(readings, wheel, "measured_circumference")
    if isinstance(read, Missing):
        return read
    worked = derived(wheel, "measured_circumference", (read,), lambda: diameter_from_circumference(read.amount))
    return _in_proportion(worked, ((read.evidence, _IN_PER_IN),))


def _taped(readings: Readings, wheel: str) -> Worked | Missing:
    size = figure(readings, wheel, "tape_size")
    if isinstance(size, Missing):
        return size
    base = figure(readings, wheel, "tape_base")
    if isinstance(base, Missing):
        return base
    if base.evidence.on != size.evidence.on:
        return Missing(wheel, "tape_base", "not read with the tape size", unread=True)
    worked = derived(wheel, "tape_base", (size, base), lambda: diameter_from_tape(base.amount, size.amount))
    return _in_proportion(worked, ((size.evidence, _IN_PER_TAPE), (base.evidence, _IN_PER_IN)))


def _in_proportion(worked: Worked | Missing, terms: tuple[tuple[Evidence, Fraction], ...]) -> Worked | Missing:
    """A diameter that is a sum of readings, each times a constant."""
    return replace(worked, candidates=partial(candidate_of_sum, terms)) if isinstance(worked, Worked) else worked


def diameter_to_fit(readings: Readings, part: Part) -> Worked | Missing:
    """Diameter by which a wheel goes into its truck: as measured, or where it was not measured the nominal one."""
    measured = wheel_diameter(readings, part)
    if isinstance(measured, Worked):
        return measured
    nominal = figure(readings, part.key, "nominal_diameter")
    if isinstance(nominal, Missing):
        return measured if measured.attribute != "measured_diameter" else nominal
    return Worked(Figure(nominal.quantity), f"D = {write_quantity(nominal.quantity)}, nominal", (nominal.evidence,))


def journal_centers_off(readings: Readings, part: Part) -> Worked | Missing:
    """How far the journal centers of a fitted wheelset are from those that its truck takes, inches, whichever is more.

    Descriptions from drawings, trammel and shop papers; arithmetic.
    """
    standing = readings.standing
    truck = None if part.container is None else standing.parts[part.container].container
    if truck is None:
        return Missing(part.key, "axle", "not fitted")
    found = figures(readings, (part.key, "journal_centers"), (truck, "takes_journal_centers"))
    if isinstance(found, Missing):
        return found
    own, taken = found
    more, less = (own, taken) if own.quantity >= taken.quantity else (taken, own)
    off = more.quantity.minus(less.quantity)
    line = f"|own - taken| = {write_quantity(more.quantity)} - {write_quantity(less.quantity)} = {write_quantity(off)}"
    return Worked(Figure(off), line, (own.evidence, taken.evidence))


def back_to_back_variation(readings: Readings, part: Part) -> Worked | Missing:
    """Largest less smallest of the three places, 120° apart, at which the distance back to back was read, in inches.

    Source of the three places: NAVFAC P-301.
    """
    found = figures(readings, (part.key, "back_to_back"), (part.key, "back_to_back_largest"))
    if isinstance(found, Missing):
        return found
    smallest, largest = found
    if largest.quantity < smallest.quantity:
        return Missing(part.key, "back_to_back_largest", "less than the smallest place: one of the two is wrong")
    variation = largest.quantity.minus(smallest.quantity)
    most, least = write_quantity(largest.quantity), write_quantity(smallest.quantity)
    line = f"largest - smallest = {most} - {least} = {write_quantity(variation)}"
    used = (smallest.evidence, largest.evidence)
    return Worked(Figure(variation), line, used, partial(candidate_of_sum, tuple((one, Fraction(1)) for one in used)))


def rim_after_turning(readings: Readings, part: Part) -> Worked | Missing:
    """Rim left after the cut that restores the contour, in inches: rim - t.

    The deeper of the two cuts governs both wheels of an axle. Source: railroadgage.com, drawing 3, worked example
    (sides 25/16 and 24/16, fingers 8/16 and 3/16 → 17/16 and 16/16).
    """
    wheelset = wheelset_of(readings, part.key)
    if wheelset is None:
        return Missing(part.key, "wheelset", "not known")
    rim = figure(readings, part.key, "rim_thickness")
    if isinstance(rim, Missing):
        return rim
    cuts = figures(readings, *((wheel_of(wheelset, side), "turning_allowance") for side in SIDES))
    if isinstance(cuts, Missing):
        return cuts
    cut = max(cuts, key=lambda one: one.amount)
    left = Quantity.of("length", max(rim.amount - cut.amount, Fraction(0)), "in")
    numbers = f"{write_quantity(rim.quantity)} - {write_quantity(cut.quantity)}"
    none = ": the cut is deeper than the rim, nothing is left" if cut.amount > rim.amount else ""
    line = f"rim - deeper cut of the axle = {numbers}{none or f' = {write_quantity(left)}'}"
    evidence = (rim.evidence, *(one.evidence for one in cuts))
    return Worked(Figure(left), line, evidence, partial(_cuts_that_may_govern, rim, cuts))


def _cuts_that_may_govern(rim: Input, cuts: Sequence[Input]) -> tuple[Candidate, ...]:
    return candidates_of_largest(
        (cut.amount, (Share(rim.evidence), Share(cut.evidence, Fraction(-1)))) for cut in cuts
    )  # fmt: skip
