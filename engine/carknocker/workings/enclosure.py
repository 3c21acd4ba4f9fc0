"""Numbers that no fraction gives exactly (π, roots, sines), each enclosed between two exact fractions.

Every operation rounds outward at 2⁻²⁰⁰, so that the true value always lies between `low` and `high`. With figures of
the size that a car has, the two differ by less than 1e-40: a verdict on a boundary is decided by the figure and never
by rounding.
"""

from fractions import Fraction
from math import isqrt

import msgspec

from carknocker.workings.model import OutOfRange

_SCALE = 1 << 200
_SERIES_TERMS = 30  # (π/2)⁶¹/61! is less than 1e-70
_DIGITS = "3.141592653589793238462643383279502884197169399375105820974944"  # π, cut after 60 decimals


def _down(value: Fraction) -> Fraction:
    return value if value.denominator < _SCALE else Fraction(value.numerator * _SCALE // value.denominator, _SCALE)


def _up(value: Fraction) -> Fraction:
    return -_down(-value)


class Enclosure(msgspec.Struct, frozen=True):
    """A real number between `low` and `high`, both included."""

    low: Fraction
    high: Fraction

    @classmethod
    def of(cls, value: "Enclosure | Fraction | int") -> "Enclosure":
        """The number itself as an enclosure of no width; an enclosure stays what it is."""
        if isinstance(value, Enclosure):
            return value
        exact = value if isinstance(value, Fraction) else Fraction(value)
        return cls(exact, exact)

    @property
    def middle(self) -> Fraction:
        """The point halfway, for writing the number."""
        return self.low if self.low is self.high else (self.low + self.high) / 2

    def __add__(self, other: "Enclosure | Fraction | int") -> "Enclosure":
        right = Enclosure.of(other)
        return _rounded(self.low + right.low, self.high + right.high)

    def __sub__(self, other: "Enclosure | Fraction | int") -> "Enclosure":
        right = Enclosure.of(other)
        return _rounded(self.low - right.high, self.high - right.low)

    def __mul__(self, other: "Enclosure | Fraction | int") -> "Enclosure":
        right = Enclosure.of(other)
        ends = (self.low * right.low, self.low * right.high, self.high * right.low, self.high * right.high)
        return _rounded(min(ends), max(ends))

    def __truediv__(self, other: "Enclosure | Fraction | int") -> "Enclosure":
        """Raises OutOfRange where the divisor may be zero."""
        right = Enclosure.of(other)
        if right.low <= 0 <= right.high:
            raise OutOfRange("a division by zero")
        return self * Enclosure(1 / right.high, 1 / right.low)

    def under(self, limit: Fraction | int) -> bool:
        """Whether the number surely lies under the limit."""
        return self.high < limit


Number = Enclosure | Fraction | int


def _rounded(low: Fraction, high: Fraction) -> Enclosure:
    return Enclosure(_down(low), _up(high))


def _pi() -> Enclosure:
    low = Fraction(_DIGITS)
    return Enclosure(low, low + Fraction(1, 10**60))


PI = _pi()
"""π between its decimals cut and raised at the 60th place."""


def root(value: Number) -> Enclosure:
    """The square root. Exact where it is a fraction. Raises OutOfRange below zero."""
    number = Enclosure.of(value)
    if number.low < 0:
        raise OutOfRange("a square root of a number below zero")
    return Enclosure(_root_below(number.low), _root_above(number.high))


def _root_below(value: Fraction) -> Fraction:
    exact = _exact_root(value)
    if exact is not None:
        return exact
    return Fraction(isqrt(value.numerator * _SCALE * _SCALE // value.denominator), _SCALE)


def _root_above(value: Fraction) -> Fraction:
    exact = _exact_root(value)
    if exact is not None:
        return exact
    return Fraction(isqrt(value.numerator * _SCALE * _SCALE // value.denominator) + 1, _SCALE)


def _exact_root(value: Fraction) -> Fraction | None:
    over, under = isqrt(value.numerator), isqrt(value.denominator)
    if over * over == value.numerator and under * under == value.denominator:
        return Fraction(over, under)
    return None


def sine_of_degrees(degrees: Fraction) -> Enclosure:
    """The sine of an angle from 0° to 90°. Raises OutOfRange outside it.

    Taylor's series alternates with falling terms there, so that the sum after an even number of terms lies below the
    sine, by less than the next term.
    """
    if not 0 <= degrees <= 90:
        raise OutOfRange("a sine is worked out for angles from 0° to 90°")
    angle = PI * degrees / 180
    low, high = _sine(angle.low), _sine(angle.high)
    return Enclosure(max(low.low, Fraction(0)), min(high.high, Fraction(1)))


def _sine(angle: Fraction) -> Enclosure:
    """In whole numbers of 1/_SCALE, the lower end rounded down and the upper end up at every step."""
    low, high = angle.numerator * _SCALE // angle.denominator, -(-angle.numerator * _SCALE // angle.denominator)
    square_low, square_high = low * low // _SCALE, -(-high * high // _SCALE)
    term_low, term_high, total_low, total_high = low, high, 0, 0
    for step in range(_SERIES_TERMS):
        if step % 2 == 0:
            total_low, total_high = total_low + term_low, total_high + term_high
        else:
            total_low, total_high = total_low - term_high, total_high - term_low
        divisor = (2 * step + 2) * (2 * step + 3) * _SCALE
        term_low, term_high = term_low * square_low // divisor, -(-term_high * square_high // divisor)
    return Enclosure(Fraction(total_low, _SCALE), Fraction(total_high + term_high, _SCALE))


def cosine_of_degrees(degrees: Fraction) -> Enclosure:
    """The cosine of an angle from 0° to 90°. Raises OutOfRange outside it."""
    return sine_of_degrees(90 - degrees)
