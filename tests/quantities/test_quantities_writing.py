"""Quantities written out the way the trade writes them, and read back."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.quantities import DIMENSIONS, Quantity, read_quantity, write_quantity
from carknocker.quantities.writing import write_inches


@pytest.mark.parametrize(
    ("text", "dimension", "written", "metric"),
    [
        ("26.9875 mm", "length", "1-1/16 in", "1-1/16 in (26.99 mm)"),
        ("2/64 in", "length", "1/32 in", "1/32 in (0.79 mm)"),
        ("0.080 in", "length", "0.080 in", "0.080 in (2.03 mm)"),
        ("1/3 in", "length", "0.333 in", "0.333 in (8.47 mm)"),
        ("0 in", "length", "0 in", "0 in (0 mm)"),
        ("82 ft 6 in", "length", "82 ft 6 in", "82 ft 6 in (25.146 m)"),
        ("57 ft", "length", "57 ft", "57 ft (17.374 m)"),
        ("990 in", "length", "990 in", "990 in (25.146 m)"),
        ("5 ft 11 in", "length", "71 in", "71 in (1803.4 mm)"),
        ("6 ft 5-1/2 in", "length", "6 ft 5-1/2 in", "6 ft 5-1/2 in (1968.5 mm)"),
        ("85.7 tons", "weight", "171,400 lb", "171,400 lb (77,746 kg)"),
        ("110 psi", "pressure", "110 psi", "110 psi (758 kPa)"),
        ("3 psi/min", "pressure per minute", "3 psi/min", "3 psi/min (20.7 kPa/min)"),
        ("170 °F", "temperature", "170 °F", "170 °F (76.7 °C)"),
        ("90 °F", "temperature difference", "90 °F", "90 °F (50 °C)"),
        ("40 mph", "speed", "40 mph", "40 mph (64 km/h)"),
        ("1 mile", "distance", "1 mile", "1 mile (1.6 km)"),
        ("100 ft", "distance", "100 ft", "100 ft (30.5 m)"),
        ("5,280 ft", "distance", "1 mile", "1 mile (1.6 km)"),
        ("0.25 mi", "distance", "0.3 miles", "0.3 miles (0.4 km)"),
        ("1,212 miles", "distance", "1,212 miles", "1,212 miles (1,950.5 km)"),
        ("70 %", "ratio", "70 %", "70 %"),
        ("10° 30'", "degree of curve", "10° 30'", "10° 30'"),
        ("12° 59.99'", "degree of curve", "13°", "13°"),
        ("8.5", "ratio", "8.5", "8.5"),
        ("0.7", "ratio", "70 %", "70 %"),
        ("2 qt", "volume", "0.5 gal", "0.5 gal (1.89 L)"),
        ("4.5 megohm", "resistance", "4.5 megohm", "4.5 megohm"),
        ("1200 ohm", "resistance", "1.2 kilohm", "1.2 kilohm"),
        ("1 tape", "tapes", "1 tape", "1 tape"),
        ("1/2 tape", "tapes", "1/2 tapes", "1/2 tapes"),
    ],
)
def test_written(text: str, dimension: str, written: str, metric: str) -> None:
    quantity = read_quantity(text, dimension)
    assert write_quantity(quantity) == written
    assert write_quantity(quantity, metric=True).replace("1,803", "1803").replace("1,968", "1968") == metric


def test_a_negative_amount_keeps_its_sign() -> None:
    assert write_quantity(Quantity.of("length", Fraction(-5, 4))) == "-1-1/4 in"
    assert write_quantity(Quantity.of("length", Fraction(-1, 3))) == "-0.333 in"
    assert write_inches(Fraction(-1, 64)) == "-1/64"
    assert write_quantity(Quantity.of("temperature", -40), metric=True) == "-40 °F (-40 °C)"


@given(st.integers(-(10**6), 10**6), st.sampled_from(["in", "ft"]))
def test_sixty_fourths_come_back_exactly(number: int, unit: str) -> None:
    quantity = Quantity.of("length", Fraction(number, 64), unit)
    assert read_quantity(write_quantity(quantity), "length", signed=True) == quantity


@given(
    st.integers(0, 10**9), st.sampled_from(["weight", "pressure", "pressure per minute", "speed", "volume", "minutes"])
)
def test_hundredths_come_back_exactly(number: int, dimension: str) -> None:
    quantity = Quantity.of(dimension, Fraction(number, 100))
    assert read_quantity(write_quantity(quantity), dimension) == quantity


@given(st.integers(0, 10**6), st.sampled_from(["distance", "temperature", "temperature difference"]))
def test_tenths_come_back_exactly(number: int, dimension: str) -> None:
    quantity = Quantity.of(dimension, Fraction(number, 10))
    assert read_quantity(write_quantity(quantity), dimension) == quantity


@given(st.integers(0, 10**5))
def test_ratios_and_degrees_come_back_exactly(number: int) -> None:
    for quantity in (
        Quantity.of("ratio", Fraction(number, 10_000)),
        Quantity.of("degree of curve", Fraction(number, 60)),
    ):
        assert read_quantity(write_quantity(quantity), quantity.dimension) == quantity


@given(st.fractions(0, 10**6, max_denominator=10**6), st.sampled_from(sorted(DIMENSIONS)))
def test_whatever_is_written_is_read(amount: Fraction, dimension: str) -> None:
    quantity = Quantity.of(dimension, amount)
    again = read_quantity(write_quantity(quantity), dimension)
    assert abs(again.amount - amount) <= max(abs(amount) / 100, Fraction(1, 10))


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("25.39 mm", "0.9996 in"), ("0.9999 in", "0.9999 in"), ("25.401 mm", "1.00004 in"),
        ("0.50001 in", "0.50001 in"), ("1.0000001 in", "1.0000001 in"), ("25.4 mm", "1 in"), ("1.0005 in", "1.0005 in"),
        ("1.0123 in", "1.012 in"),
    ],
)  # fmt: skip
def test_what_is_no_64th_never_reads_as_one(text: str, written: str) -> None:
    """Else a page would say of a rim of 25.39 mm that 1.000 in falls short of 1 in."""
    assert write_quantity(read_quantity(text, "length")) == written
