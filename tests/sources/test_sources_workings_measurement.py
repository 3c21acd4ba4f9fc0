"""Figures of measurement and decision, and conversion factors against pint.

Tags: P published, and read · C computed from the stated formula.
"""

from datetime import date
from fractions import Fraction

import pint
import pytest

from carknocker.quantities import DIMENSIONS, read_period, read_quantity
from carknocker.workings.braking import leakage
from carknocker.workings.diameter import diameter_of_tapes
from carknocker.workings.heat import above_ambient
from carknocker.workings.lift_statics import CRITICAL_FROM, share_of_rating
from carknocker.workings.loads import weight_per_foot
from carknocker.workings.measurement import acceptance_limit, decide, standard_uncertainty

UNITS = pint.UnitRegistry()


def test_uncertainty_of_a_tape_and_of_a_sixteenth() -> None:
    # practice, measurement: u = d/√12; a tape's 1/8 in of circumference → 0.0115 in in diameter [C]
    tape = standard_uncertainty(diameter_of_tapes(Fraction(1)).amount.low).amount
    assert f"{float(tape.low):.4f}" == "0.0115"
    # a 1/16 in gauge → 0.0180 in [C]
    assert f"{float(standard_uncertainty(Fraction(1, 16)).amount.high):.4f}" == "0.0180"


def test_guard_band_example() -> None:
    # ILAC-G8:09/2019 inputs [P]: limit 4.00, U 1.60, reading 3.20; ratio 2.50, simple rule passes, guarded limit 2.40,
    # so a conditional pass [C]
    limit, uncertainty, reading = Fraction(4), Fraction("1.60"), Fraction("3.20")
    assert limit / uncertainty == Fraction("2.50")
    assert acceptance_limit(limit, "greatest", uncertainty).low == Fraction("2.40")
    assert decide(reading, limit, "greatest", 0).decision == "passes"
    assert decide(reading, limit, "greatest", uncertainty).decision == "borderline"


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
    fall = leakage(Fraction(110), Fraction(104), Fraction(3)).amount.low
    assert float(fall) == pytest.approx(
        (UNITS.Quantity(6, "psi") / UNITS.Quantity(3, "minute")).to("psi/minute").magnitude
    )
    load = weight_per_foot(Fraction(171_400), Fraction(987)).amount.low
    per_foot = UNITS.Quantity(171_400, "pound") / UNITS.Quantity(987, "inch")
    assert float(load) == pytest.approx(per_foot.to("pound/foot").magnitude)


def test_a_critical_lift_begins_at_three_quarters_of_the_rating() -> None:
    # practice, lifting: above 75–85 % of the crane's rating a lift is treated as critical [S]; the lower is taken
    assert Fraction(75, 100) == CRITICAL_FROM
    at = share_of_rating(Fraction(75_000), Fraction(100_000), "crane").amount
    assert not at.over(CRITICAL_FROM)
    assert share_of_rating(Fraction(75_001), Fraction(100_000), "crane").amount.over(CRITICAL_FROM)


def test_trucks_out_by_years_or_miles() -> None:
    # practice, time items: last trucks-out 2020-06-01 at 50,000 miles → due 2026-06-01 or 250,000 miles [C], from every
    # 200,000 miles or 6 years [S]
    assert read_period("6 years").after(date(2020, 6, 1)) == date(2026, 6, 1)
    interval, at = (read_quantity(text, "distance") for text in ("200,000 miles", "50,000 miles"))
    assert at.plus(interval) == read_quantity("250,000 miles", "distance")
