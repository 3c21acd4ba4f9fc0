"""Turning wheels: what a cut takes off the diameter, the rim and the tape size."""

from collections.abc import Sequence
from fractions import Fraction

from carknocker.workings.enclosure import PI, Enclosure, Number
from carknocker.workings.model import OutOfRange
from carknocker.workings.result import Result, inches, result


def diameter_after_cut(diameter: Number, cut: Fraction) -> Result:
    """D₂ = D₁ - 2t. D₁: diameter before, t: depth of the cut, inches; 0 ≤ t < D₁/2. Geometry. Raises OutOfRange."""
    before = Enclosure.of(diameter)
    if cut < 0 or 2 * cut >= before.low:
        raise OutOfRange("a cut is from 0 in up to less than half the diameter")
    return result("length", before - 2 * cut, f"D₂ = D₁ - 2t = {inches(before)} - 2 × {inches(cut)}")


def rim_after_cut(rim: Fraction, cut: Fraction) -> Result:
    """rim₂ = rim₁ - t, inches; 0 ≤ t ≤ rim₁. Geometry. Raises OutOfRange."""
    if not 0 <= cut <= rim:
        raise OutOfRange("a cut is from 0 in up to the rim")
    return result("length", rim - cut, f"rim₂ = rim₁ - t = {inches(rim)} - {inches(cut)}")


def tapes_of_cut(cut: Fraction) -> Result:
    """n = 2πt/(1/8 in): tape sizes that a cut of depth t (inches, 0 or more) takes off. Raises OutOfRange."""
    if cut < 0:
        raise OutOfRange("a cut is from 0 in up")
    return result("tapes", PI * 16 * cut, f"n = 2πt/(1/8 in) = 2π × {inches(cut)}/(1/8 in)")


def rims_of_axle_after_turning(rims: Sequence[Fraction], fingers: Sequence[Fraction]) -> tuple[Result, ...]:
    """Rims of the wheels of one axle after turning, where no sizes are known: the deeper cut governs both.

    rims: side scale, fingers: cut that restores each contour, inches. Source: railroadgage.com, drawing 3. Raises
    OutOfRange for a cut deeper than a rim.
    """
    deeper = max(fingers)
    return tuple(rim_after_cut(rim, deeper) for rim in rims)
