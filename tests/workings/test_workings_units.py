"""No figure depends on the unit in which its readings were written: inches or millimeters, pounds or kilograms."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_worlds import NOWHERE
from workings_world import World, value_of, world

from carknocker.record.model import Part
from carknocker.record.values import Bound, Figure
from carknocker.workings import Worked

KILOGRAM, MILLIMETER = Fraction("0.45359237"), Fraction("25.4")
LEGS = [{"miles": "10 mi", "sharpest_curve": "12°", "clearance": "plate B", "clearance_truck_centers": "41 ft"}]
ASKED = [
    ("car", "weight_per_foot"), ("car", "greatest_axle_load"), ("truck B", "wheel_load"), ("truck B", "share_of_gross"),
    ("wheelset W-1", "journal_utilisation"), ("leg 1", "swing_in"), ("leg 1", "swing_out"), ("leg 1", "allowed_width"),
    ("wheel W-1 left", "diameter"), ("wheel W-1 left", "rim_after_turning"),
    ("truck B", "side_bearing_total_clearance"),
]  # fmt: skip


def decimal(amount: Fraction) -> str:
    """An exact decimal of a fraction whose denominator is of twos and fives."""
    digits = amount * 10**20
    assert digits.denominator == 1
    text = f"{int(digits):021d}"
    return f"{text[:-20]}.{text[-20:]}".rstrip("0").rstrip(".")


def in_unit(amount: Fraction, dimension: str, *, metric: bool) -> str:
    if dimension == "weight":
        return f"{decimal(amount * KILOGRAM)} kg" if metric else f"{decimal(amount)} lb"
    return f"{decimal(amount * MILLIMETER)} mm" if metric else f"{decimal(amount)} in"


def car_in(centers: Fraction, overhang: Fraction, rim: Fraction, weight: Fraction, *, metric: bool) -> World:
    def length(amount: Fraction) -> str:
        return in_unit(amount, "length", metric=metric)

    def pounds(amount: Fraction) -> str:
        return in_unit(amount, "weight", metric=metric)

    return world(
        {
            "car": {
                "truck_centers": length(centers),
                "length_over_couplers": length(centers + overhang),
                "extreme_width": length(Fraction(120)),
                "gross_weight": pounds(2 * weight + 500),
                "weight_on_truck_B": pounds(weight + 500),
                "weight_on_truck_A": pounds(weight),
            },
            "truck B": {"axle_spacing": length(Fraction(66))},
            "truck A": {"axle_spacing": length(Fraction(66))},
            "wheelset W-1": {"axle_class": "D"},
            "wheel W-1 left": {
                "measured_circumference": length(Fraction(113)),
                "rim_thickness": length(rim),
                "turning_allowance": length(Fraction(1, 8)),
            },
            "wheel W-1 right": {"turning_allowance": length(Fraction(3, 16))},
            "side bearing BL": {"clearance": length(Fraction(1, 4))},
            "side bearing BR": {"clearance": length(rim)},
        },
        legs=LEGS,
        train_facts={"speed": value_of("train", "speed", "112.65408 km/h" if metric else "70 mph")},
    )


def ends(found: object) -> tuple[Fraction, Fraction]:
    assert isinstance(found, Worked), found
    if isinstance(found.value, Figure):
        return found.value.quantity.amount, found.value.quantity.amount
    assert isinstance(found.value, Bound)
    assert found.value.low is not None
    assert found.value.high is not None
    return found.value.low.amount, found.value.high.amount


@given(
    st.integers(3200, 6000), st.integers(800, 2600), st.integers(16, 24), st.integers(40_000, 66_000),
    st.sampled_from(ASKED),
)  # fmt: skip
def test_metric_readings_give_the_same_figures(
    centers: int, overhang: int, rim: int, weight: int, asked: tuple[str, str]
) -> None:
    sizes = (Fraction(centers, 8), Fraction(overhang, 8), Fraction(rim, 16), Fraction(weight))
    imperial, metric = (ends(car_in(*sizes, metric=one).work_out(*asked)) for one in (False, True))
    assert imperial == metric


@pytest.mark.parametrize("diameter", ["12 in", "304.8 mm", "0.3048 m"])
def test_a_cylinder_is_as_strong_in_any_unit(diameter: str) -> None:
    part = Part("brake cylinder 1", "brake cylinder", "1", "brake cylinder 1", "brake system", True, NOWHERE)
    car = world({"brake cylinder 1": {"diameter": diameter}}, more_parts=[part])
    found = car.work_out("brake cylinder 1", "force_at_50_psi")
    assert isinstance(found, Worked)
    assert found.line.endswith("(12 in)² × 50 psi = 5,654.87 lb")
