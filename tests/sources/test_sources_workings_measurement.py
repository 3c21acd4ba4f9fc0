"""Figures of measurement and decision, and conversion factors against pint.

Tags: P published, and read · C computed from the stated formula.
"""

from datetime import date
from fractions import Fraction
from math import sqrt

import pint
import pytest

from carknocker.judgement.figures import against
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.truth import HOLDS, NEAR
from carknocker.quantities import DIMENSIONS, Quantity, read_period, read_quantity
from carknocker.record.values import Figure
from carknocker.workings.heat import above_ambient
from carknocker.workings.lift_statics import CRITICAL_FROM, share_of_rating
from carknocker.workings.loads import weight_per_foot
from carknocker.workings.wear import RimReading
from carknocker.workings.wheels import diameter_of_tapes

UNITS = pint.UnitRegistry()


@pytest.mark.transcription
def test_uncertainty_of_a_tape_and_of_a_sixteenth() -> None:
    # practice, measurement: u = d/√12; a tape's 1/8 in of circumference → 0.0115 in in diameter [C]
    tape = diameter_of_tapes(Fraction(1)).amount.low
    assert f"{sqrt(RimReading(Fraction(0), Fraction(1), tape).variance):.4f}" == "0.0115"
    # a 1/16 in gauge → 0.0180 in [C]
    assert f"{sqrt(RimReading(Fraction(0), Fraction(1), Fraction(1, 16)).variance):.4f}" == "0.0180"


def test_guard_band_example() -> None:
    # ILAC-G8:09/2019 inputs [P]: limit 4.00, U 1.60, reading 3.20; ratio 2.50, simple rule passes, guarded limit 2.40,
    # so a conditional pass [C]
    def decided(reading: str, uncertainty: str) -> int:
        figures = [Figure(Quantity.of("length", Fraction(text), "in")) for text in (reading, "4.00")]
        left_open = Fraction(uncertainty)
        return against("at_most")(ObservedValue(figures[0], None, lambda: left_open), ObservedValue(figures[1], None))

    assert decided("3.20", "0") == HOLDS
    assert decided("3.20", "1.60") == NEAR
    assert [decided(reading, "1.60") for reading in ("2.40", "2.41")] == [HOLDS, NEAR]


@pytest.mark.parametrize(
    ("dimension", "written", "unit", "base"),
    [
        ("length", "1 ft", "foot", "inch"),
        ("length", "1 mm", "millimeter", "inch"),
        ("length", "1 m", "meter", "inch"),
        ("weight", "1 kg", "kilogram", "pound"),
        ("weight", "1 tonne", "metric_ton", "pound"),
        ("weight", "1 ton", "short_ton", "pound"),
        ("weight", "1 oz", "ounce", "pound"),
        ("pressure", "1 kPa", "kilopascal", "psi"),
        ("pressure", "1 bar", "bar", "psi"),
        ("speed", "1 km/h", "kilometer/hour", "mile/hour"),
        ("distance", "1 km", "kilometer", "mile"),
        ("volume", "1 L", "liter", "US_liquid_gallon"),
        ("volume", "1 qt", "US_liquid_quart", "US_liquid_gallon"),
        ("temperature difference", "1 °C", "delta_degree_Celsius", "delta_degree_Fahrenheit"),
        ("degree of curve", "1'", "arcminute", "degree"),
    ],
)
def test_conversion_factors(dimension: str, written: str, unit: str, base: str) -> None:
    # independent reference: pint
    assert dimension in DIMENSIONS
    assert float(read_quantity(written, dimension).amount) == pytest.approx(UNITS.Quantity(1, unit).to(base).magnitude)


def test_differences_convert_without_the_32() -> None:
    # practice, heat: a difference of 170 °F is 94.4 °C [C]; checked by pint
    difference = above_ambient(Fraction(238), Fraction(68)).amount.low
    assert difference == 170
    assert f"{float(difference * Fraction(5, 9)):.1f}" == "94.4"
    assert UNITS.Quantity(170, "delta_degree_Fahrenheit").to("delta_degree_Celsius").magnitude == pytest.approx(
        94.44, abs=0.01
    )
    warm, cold = (read_quantity(text, "temperature").amount for text in ("60 °C", "20 °C"))
    assert above_ambient(warm, cold).amount.low == 72


def test_rates_and_loads_in_units_agree_with_pint() -> None:
    # independent reference: pint
    fall = read_quantity("2 kPa/min", "pressure per minute").amount
    assert float(fall) == pytest.approx(UNITS.Quantity(2, "kPa/minute").to("psi/minute").magnitude)
    load = weight_per_foot(Fraction(171_400), Fraction(987)).amount.low
    per_foot = UNITS.Quantity(171_400, "pound") / UNITS.Quantity(987, "inch")
    assert float(load) == pytest.approx(per_foot.to("pound/foot").magnitude)


@pytest.mark.transcription
def test_a_critical_lift_begins_at_three_quarters_of_the_rating() -> None:
    # practice, lifting: above 75–85 % of the crane's rating a lift is treated as critical [S]; the lower is taken
    assert Fraction(75, 100) == CRITICAL_FROM
    at = share_of_rating(Fraction(75_000), Fraction(100_000), "crane").amount
    assert not at.high > CRITICAL_FROM
    assert share_of_rating(Fraction(75_001), Fraction(100_000), "crane").amount.low > CRITICAL_FROM


@pytest.mark.transcription
def test_trucks_out_by_years_or_miles() -> None:
    # practice, time items: last trucks-out 2020-06-01 at 50,000 miles → due 2026-06-01 or 250,000 miles [C], from every
    # 200,000 miles or 6 years [S]
    assert read_period("6 years").after(date(2020, 6, 1)) == date(2026, 6, 1)
    interval, at = (read_quantity(text, "distance") for text in ("200,000 miles", "50,000 miles"))
    assert at.plus(interval) == read_quantity("250,000 miles", "distance")
