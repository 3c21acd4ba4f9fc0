"""Turning wheels: what a cut takes off the diameter, the rim and the tape size."""

from collections.abc import Sequence
from fractions import Fraction

from carknocker.workings.model import OutOfRange
from carknocker.workings.result import Result, inches, result


def rim_after_cut(rim: Fraction, cut: Fraction) -> Result:
    """rim₂ = rim₁ - t, inches; 0 ≤ t ≤ rim₁. Geometry. Raises OutOfRange."""
    if not 0 <= cut <= rim:
        raise OutOfRange("a cut is from 0 in up to the rim")
    return result("length", rim - cut, f"rim₂ = rim₁ - t = {inches(rim)} - {inches(cut)}")


def rims_of_axle_after_turning(rims: Sequence[Fraction], fingers: Sequence[Fraction]) -> tuple[Result, ...]:
    """Rims of the wheels of one axle after turning, where no sizes are known: the deeper cut governs both.

    rims: side scale, fingers: cut that restores each contour, inches. Source: railroadgage.com, drawing 3. Raises
    OutOfRange for a cut deeper than a rim.
    """
    deeper = max(fingers)
    return tuple(rim_after_cut(rim, deeper) for rim in rims)
