"""Every factor of a unit against an independent library of units, each unit spelt for that library by hand."""

from fractions import Fraction

import pint
import pytest

from carknocker.quantities import DIMENSIONS

BASES = {
    "length": "inch", "weight": "pound", "pressure": "psi", "pressure per minute": "psi / minute",
    "temperature": "degF",
    "temperature difference": "delta_degF", "speed": "mile / hour", "distance": "mile", "ratio": "dimensionless",
    "degree of curve": "degree", "volume": "US_liquid_gallon", "resistance": "ohm", "minutes": "minute",
    "duration": "hour",
}  # fmt: skip
SPELT = {
    "length": {"in": "inch", "ft": "foot", "yd": "yard", "mm": "millimeter", "cm": "centimeter", "m": "meter"},
    "weight": {"lb": "pound", "oz": "ounce", "tons": "short_ton", "kg": "kilogram", "tonnes": "metric_ton"},
    "pressure": {"psi": "psi", "kPa": "kilopascal", "bar": "bar"},
    "pressure per minute": {"psi/min": "psi / minute", "kPa/min": "kilopascal / minute", "bar/min": "bar / minute"},
    "temperature difference": {"°F": "delta_degF", "°C": "delta_degC", "K": "kelvin"},
    "speed": {"mph": "mile / hour", "km/h": "kilometer / hour"},
    "distance": {"mi": "mile", "km": "kilometer", "ft": "foot"},
    "ratio": {"%": "percent"},
    "degree of curve": {"°": "degree", "'": "arcminute"},
    "volume": {"gal": "US_liquid_gallon", "qt": "US_liquid_quart", "pt": "US_pint", "L": "liter"},
    "resistance": {"ohm": "ohm", "kilohm": "kiloohm", "megohm": "megaohm"},
    "minutes": {"min": "minute", "s": "second"},
    "duration": {"h": "hour", "min": "minute", "day": "day"},
}
NO_UNIT_ELSEWHERE = {"tapes"}
ROWS = [(dimension, unit, other) for dimension, units in SPELT.items() for unit, other in units.items()]


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize(("dimension", "unit", "other"), ROWS)
def test_a_factor(registry: pint.UnitRegistry, dimension: str, unit: str, other: str) -> None:
    theirs = registry.Quantity(Fraction(1), other).to(BASES[dimension]).magnitude
    ours = DIMENSIONS[dimension].units[unit]
    assert float(ours) == pytest.approx(float(theirs), rel=1e-12)
    if not dimension.startswith("degree"):
        assert abs(Fraction(ours) - Fraction(theirs)) <= Fraction(ours) / 10**12


@pytest.mark.parametrize("celsius", [-40, 0, 37, 100])
def test_a_temperature_in_celsius(registry: pint.UnitRegistry, celsius: int) -> None:
    kind = DIMENSIONS["temperature"]
    ours = celsius * kind.units["°C"] + kind.offsets["°C"]
    assert float(registry.Quantity(float(celsius), "degC").to("degF").magnitude) == pytest.approx(float(ours))


@pytest.mark.transcription
def test_no_factor_goes_unchecked() -> None:
    assert set(DIMENSIONS) == {*SPELT, "temperature", *NO_UNIT_ELSEWHERE}
    for dimension, units in SPELT.items():
        checked = {DIMENSIONS[dimension].units[unit] for unit in units}
        assert set(DIMENSIONS[dimension].units.values()) == checked, dimension
    assert set(DIMENSIONS["temperature"].units.values()) == {1, Fraction(9, 5)}
    assert set(DIMENSIONS["temperature"].offsets.values()) == {32}
