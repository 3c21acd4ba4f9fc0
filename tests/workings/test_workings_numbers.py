"""Enclosures: the true number always lies between the two ends, and they are close."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.workings import OutOfRange
from carknocker.workings.enclosure import PI, Enclosure, cosine_of_degrees, root, sine_of_degrees
from carknocker.workings.formula import number, result

fractions = st.fractions(min_value=-1000, max_value=1000, max_denominator=1024)
positive = st.fractions(min_value=Fraction(1, 1024), max_value=1000, max_denominator=1024)
degrees = st.fractions(min_value=0, max_value=90, max_denominator=60)
CLOSE = Fraction(1, 10**40)


def test_pi_lies_between_archimedes_and_a_hundred_decimals() -> None:
    assert Fraction(223, 71) < PI.low < PI.high < Fraction(22, 7)

    # Machin: π = 16 arctan(1/5) - 4 arctan(1/239), alternating series cut on either side
    def arctan(inverse: int, terms: int) -> Fraction:
        series = (Fraction((-1) ** n, (2 * n + 1) * inverse ** (2 * n + 1)) for n in range(terms))
        return sum(series, Fraction(0))

    below = 16 * arctan(5, 50) - 4 * arctan(239, 51)
    above = 16 * arctan(5, 51) - 4 * arctan(239, 50)
    assert PI.low <= below <= above <= PI.high


@given(fractions, fractions)
def test_arithmetic_encloses(a: Fraction, b: Fraction) -> None:
    one, other = Enclosure.of(a), Enclosure.of(b)
    for found, true in ((one + other, a + b), (one - other, a - b), (one * other, a * b)):
        assert found.low <= true <= found.high
    if b:
        quotient = one / other
        assert quotient.low <= a / b <= quotient.high
        assert quotient.high - quotient.low < CLOSE


def test_division_by_what_may_be_zero_is_refused() -> None:
    with pytest.raises(OutOfRange):
        Enclosure.of(1) / Enclosure(Fraction(-1), Fraction(1))
    with pytest.raises(OutOfRange):
        root(Fraction(-1))


@given(positive)
def test_roots_enclose(a: Fraction) -> None:
    found = root(a)
    assert found.low**2 <= a <= found.high**2
    assert found.high - found.low < CLOSE
    assert root(a * a) == Enclosure(a, a)


@given(degrees)
def test_sine_and_cosine_enclose(angle: Fraction) -> None:
    sine, cosine = sine_of_degrees(angle), cosine_of_degrees(angle)
    assert sine.high - sine.low < CLOSE
    assert float(sine.middle) == pytest.approx(math.sin(math.radians(angle)), abs=1e-14)
    whole = sine * sine + cosine * cosine
    assert whole.low <= 1 <= whole.high
    with pytest.raises(OutOfRange):
        sine_of_degrees(angle + 91)


@given(degrees, degrees)
def test_the_sine_rises(one: Fraction, other: Fraction) -> None:
    if one < other:
        assert sine_of_degrees(one).low < sine_of_degrees(other).high


def test_a_verdict_at_the_boundary_is_not_decided_by_rounding() -> None:
    just = result("length", PI * 100, "")  # 314.159… in, written 314.159 in
    assert not just.exact
    assert just.amount.low > Fraction("314.159265358979323846")
    assert just.amount.under(Fraction("314.159265358979323847"))
    assert result("length", Fraction(7, 8), "x").line == "x = 7/8 in"


@pytest.mark.parametrize(
    ("amount", "text"),
    [("0", "0"), ("1234.5", "1,234.5"), ("-0.00004", "0"), ("-1.25", "-1.25"), ("2.00005", "2.0001"), ("0.99999", "1")],
)
def test_numbers_in_worked_lines(amount: str, text: str) -> None:
    assert number(Fraction(amount)) == text
