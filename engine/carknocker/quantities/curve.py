"""A curve as its degree or its radius.

The degree is that of the chord definition of American railroad surveying: the angle at the center over a chord of
100 ft, so that R = 50 ft / sin(D/2).
"""

import math
import re
from fractions import Fraction

from carknocker.quantities.quantity import Quantity, QuantityError
from carknocker.quantities.reading import read_quantity
from carknocker.quantities.units import DIMENSIONS

_HALF_CHORD = Fraction(50)
_STEP = 600
"""Of a degree worked out from a radius: tenths of a minute, rounded to the sharper side."""
_ROUNDING = 1e-9
SHARPEST_RADIUS = 50
"""Feet: a circle of this radius has a chord of 100 ft for its diameter, and no curve is sharper."""
_RADIUS = re.compile(
    r"(?:radius|r)\s*(?:of\s+|=\s*|:\s*)?(?P<after>.+)|(?P<before>.+?)\s*(?:radius|r\.)", re.IGNORECASE | re.DOTALL
)
_LENGTH = re.compile(r".*\d\s*(?:ft|foot|feet|m|meters?|metres?|yards?|yd)\.?(?:\s.*)?", re.IGNORECASE | re.DOTALL)


def read_curve(text: str) -> Quantity:
    """The degree of a curve: `10° 30'`, or that of a radius such as `717 ft` or `radius 220 m`. A degree that comes
    from a radius is never flatter than the curve. Raises QuantityError."""
    match = _RADIUS.fullmatch(text.strip())
    if match is None and _LENGTH.fullmatch(text.strip()) is None:
        try:
            return read_quantity(text, "degree of curve")
        except QuantityError as error:
            expected = f"{error.expected}, or a radius such as `radius 574 ft`"
            raise QuantityError(error.found, expected, error.nearest, error.remedy) from None
    length = read_quantity((match["after"] or match["before"]) if match else text, "length")
    return Quantity.of("degree of curve", degree_of_radius(length.amount / 12), "°")


def degree_of_radius(feet: Fraction) -> Fraction:
    """D = 2 arcsin(50 ft / R), degrees, by the chord definition, rounded up to a tenth of a minute: the sharper side,
    so that no rounding makes a curve flatter. Raises QuantityError for a radius under 50 ft."""
    if feet < SHARPEST_RADIUS:
        example = DIMENSIONS["degree of curve"].example
        found, expected = (
            f"a radius of {float(feet):,.1f} ft",
            f"a radius of at least {SHARPEST_RADIUS} ft, or {example}",
        )
        raise QuantityError(found, expected)
    degree = 2 * math.degrees(math.asin(float(_HALF_CHORD / feet)))
    return Fraction(math.ceil(degree * _STEP - _ROUNDING * _STEP), _STEP)
