"""Wheel diameter from a diameter gauge, from the circumference, or from a tape and its base."""

from fractions import Fraction

from carknocker.quantities import write_quantity
from carknocker.record.model import Part
from carknocker.record.values import Figure
from carknocker.workings.enclosure import PI, Enclosure, Number
from carknocker.workings.inputs import derived, figure
from carknocker.workings.model import Missing, OutOfRange, Readings, Worked
from carknocker.workings.result import Result, inches, number, result

INCH_PER_TAPE = Fraction(1, 8)
"""One tape size is 1/8 in of circumference. Source: TM 55-2210-224-34 p. 3-264 (two tapes = 1/4 in)."""


def diameter_from_circumference(circumference: Number) -> Result:
    """D = C/π. C: circumference in inches, over 0. Geometry; raises OutOfRange."""
    enclosed = Enclosure.of(circumference)
    if enclosed.low <= 0:
        raise OutOfRange("a wheel's circumference is more than 0 in")
    return result("length", enclosed / PI, f"D = C/π = {inches(circumference)}/π")


def diameter_from_tape(base: Fraction, tapes: Fraction) -> Result:
    """D = (C₀ + n × 1/8 in)/π. C₀: base circumference printed on the tape, inches; n: tape size.

    Source: the tape's own scale; differences in TM 55-2210-224-34 p. 3-264. Raises OutOfRange for a base that is
    not over 0 in or a size below 0.
    """
    if base <= 0 or tapes < 0:
        raise OutOfRange("a tape has a base of more than 0 in and sizes from 0 up")
    numbers = f"({inches(base)} + {number(tapes)} × 1/8 in)/π"
    return result("length", Enclosure.of(base + tapes * INCH_PER_TAPE) / PI, f"D = (C₀ + n × 1/8 in)/π = {numbers}")


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


def _gauged(readings: Readings, wheel: str) -> Worked | Missing:
    read = figure(readings, wheel, "measured_diameter")
    if isinstance(read, Missing):
        return read
    return Worked(Figure(read.quantity), f"D = {write_quantity(read.quantity)} as measured", (read.evidence,))


def _rolled(readings: Readings, wheel: str) -> Worked | Missing:
    read = figure(readings, wheel, "measured_circumference")
    if isinstance(read, Missing):
        return read
    return derived(wheel, "measured_circumference", (read,), lambda: diameter_from_circumference(read.amount))


def _taped(readings: Readings, wheel: str) -> Worked | Missing:
    size = figure(readings, wheel, "tape_size")
    if isinstance(size, Missing):
        return size
    base = figure(readings, wheel, "tape_base")
    if isinstance(base, Missing):
        return base
    if base.evidence.on != size.evidence.on:
        return Missing(wheel, "tape_base", "not read with the tape size", unread=True)
    return derived(wheel, "tape_base", (size, base), lambda: diameter_from_tape(base.amount, size.amount))
