"""Laws that the formulas must keep: limits, symmetry, rising and falling, and no difference between units."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.quantities import read_quantity
from carknocker.workings import OutOfRange
from carknocker.workings.brakes import cylinder_force, hand_brake_holding, share_operative
from carknocker.workings.clearance import Outline, allowed_width
from carknocker.workings.coupler_swing import CoupledCar, coupler_swing
from carknocker.workings.curves import (
    radius_of_degree,
    swing_in,
    swing_in_approximate,
    swing_out,
    swing_out_approximate,
    tightest_leg,
)
from carknocker.workings.heat import across_axle
from carknocker.workings.journals import utilisation
from carknocker.workings.loads import axle_load, weight_per_foot, wheel_load
from carknocker.workings.middle_axle import (
    EqualizedTruck,
    equalized_clearance,
    equalized_loads,
    step_effect,
    unequalized_loads,
)
from carknocker.workings.wheels import diameter_from_circumference, diameter_from_tape, diameter_of_tapes

lengths = st.fractions(min_value=1, max_value=1200, max_denominator=64)
weights = st.fractions(min_value=1, max_value=400_000, max_denominator=1)
radii = st.fractions(min_value=1500, max_value=100_000, max_denominator=16)
degrees = st.fractions(min_value=Fraction(1, 60), max_value=30, max_denominator=60)
centers = st.fractions(min_value=300, max_value=800, max_denominator=8)
steps = st.fractions(min_value=Fraction(-3, 4), max_value=Fraction(3, 4), max_denominator=64)
CLOSE = Fraction(1, 10**40)


@given(centers, lengths)
def test_straight_track_gives_no_swing(between: Fraction, width: Fraction) -> None:
    car = CoupledCar("coach", between, between + 300, Fraction(36))
    for found in (
        swing_in(None, between),
        swing_in_approximate(None, between),
        swing_out(None, between, between + 300, width),
        swing_out_approximate(None, between, between + 300),
        coupler_swing(None, car, car),
    ):
        assert (found.amount.low, found.amount.high) == (0, 0)


@given(centers)
def test_swing_goes_to_nothing_as_the_curve_straightens(between: Fraction) -> None:
    far = Fraction(10**9)
    car = CoupledCar("coach", between, between + 300, Fraction(36))
    assert 0 < swing_in(far, between).amount.low < Fraction(1, 1000)
    assert abs(swing_out(far, between, between + 300, Fraction(120)).amount.middle) < Fraction(1, 1000)
    assert abs(coupler_swing(far, car, car).amount.middle) < Fraction(1, 1000)


@given(radii, radii, centers)
def test_a_sharper_curve_swings_more(one: Fraction, other: Fraction, between: Fraction) -> None:
    if one < other:
        length, width = between + 300, Fraction(120)
        assert swing_in(one, between).amount.low > swing_in(other, between).amount.high
        assert swing_out(one, between, length, width).amount.low > swing_out(other, between, length, width).amount.high


@given(radii, centers, centers)
def test_longer_centers_and_wheelbase_swing_in_more(radius: Fraction, one: Fraction, other: Fraction) -> None:
    if one < other:
        assert swing_in(radius, one).amount.high < swing_in(radius, other).amount.low
        assert swing_in(radius, one).amount.high < swing_in(radius, one, Fraction(132)).amount.low
        plate, base = Fraction(128), Fraction(300)
        narrow = allowed_width(plate, base, Outline(other, other, Fraction(120))).amount
        assert narrow.low <= allowed_width(plate, base, Outline(one, one, Fraction(120))).amount.high <= plate


@given(radii, centers)
def test_the_rule_of_thumb_stays_below_the_exact_swing(radius: Fraction, between: Fraction) -> None:
    assert swing_in_approximate(radius, between).amount.high < swing_in(radius, between).amount.low


@given(st.fractions(min_value=6000, max_value=100_000, max_denominator=16), centers)
def test_the_rules_of_thumb_come_near_as_the_curve_straightens(radius: Fraction, between: Fraction) -> None:
    length, width = between + 300, Fraction(120)
    for exact, about in (
        (swing_in(radius, between), swing_in_approximate(radius, between)),
        (swing_out(radius, between, length, width), swing_out_approximate(radius, between, length)),
    ):
        assert abs(exact.amount.middle - about.amount.middle) < Fraction(3, 100) * abs(exact.amount.middle)


@given(radii, centers)
def test_equal_cars_swing_their_couplers_alike(radius: Fraction, between: Fraction) -> None:
    car = CoupledCar("coach", between, between + 200, Fraction(36))
    other = CoupledCar("other coach", between, between + 200, Fraction(36))
    assert coupler_swing(radius, car, other).amount == coupler_swing(radius, other, car).amount
    assert coupler_swing(radius, car, other).amount.low > 0


@given(st.fractions(min_value=0, max_value=400, max_denominator=2), lengths)
def test_diameter_rises_with_tape_and_base(tapes: Fraction, base: Fraction) -> None:
    smaller, larger = diameter_from_tape(base, tapes).amount, diameter_from_tape(base, tapes + 1).amount
    assert smaller.high < larger.low
    assert larger.high - larger.low < CLOSE
    one = diameter_of_tapes(Fraction(1)).amount
    assert abs((larger - smaller).middle - one.middle) < CLOSE


@given(degrees)
def test_a_radius_is_known_to_far_less_than_anyone_measures(degree: Fraction) -> None:
    radius = radius_of_degree(degree).amount
    assert radius.high - radius.low < CLOSE


@given(lengths)
def test_diameter_and_tapes_agree_with_the_circumference(size: Fraction) -> None:
    one, larger = (diameter_from_circumference(length).amount for length in (size, size + 1))
    assert one.high - one.low < CLOSE
    assert abs((larger - one).middle - diameter_of_tapes(Fraction(8)).amount.middle) < CLOSE  # 8 tapes: 1 in


@given(weights, st.integers(1, 8))
def test_equal_axles_carry_equal_loads_that_add_up(weight: Fraction, axles: int) -> None:
    assert axle_load(weight, axles).amount.low * axles == weight
    assert wheel_load(weight, axles).amount.low * 2 * axles == weight


@given(weights, st.fractions(min_value=1, max_value=100_000, max_denominator=1))
def test_equal_wheels_share_an_unequalized_truck_alike(load: Fraction, stiffness: Fraction) -> None:
    none = Fraction(0)
    found = unequalized_loads(load, [(Fraction(x), stiffness, none) for x in (-66, 0, 66)])
    assert set(found.loads) == {load / 3}


@given(weights, steps)
def test_loads_of_a_truck_add_up_whatever_the_step(load: Fraction, step: Fraction) -> None:
    truck = EqualizedTruck(Fraction(66), Fraction(22))
    assert sum(equalized_loads(truck, load).loads) == load
    soft = Fraction(1000)
    if load > 3000:
        loads, used = step_effect(False, step, load=load, span=Fraction(66), stiffness=soft)
        assert sum(loads.loads) == load
        assert used is None
        assert loads.loads[0] == loads.loads[2] == load / 3 + soft * step / 6
    even, clearance = step_effect(True, step, load=load, span=Fraction(66), seat=Fraction(22))
    assert even.loads == (load / 3, load / 3, load / 3)
    assert clearance is not None
    assert clearance.middle.amount.low - clearance.end.amount.low == step / 2


@given(steps)
def test_no_step_uses_no_clearance_and_a_larger_one_more(step: Fraction) -> None:
    truck = EqualizedTruck(Fraction(66), Fraction(22))
    nothing = equalized_clearance(truck, Fraction(0))
    assert (nothing.end.amount.low, nothing.middle.amount.low) == (0, 0)
    if step > 0:
        assert equalized_clearance(truck, step).end.amount.low < 0 < equalized_clearance(truck, step).middle.amount.low


@given(weights, weights)
def test_utilisation_rises_with_load_and_speed(one: Fraction, other: Fraction) -> None:
    slow, fast = Fraction(80), Fraction(90)
    if one < other:
        first = utilisation(one, "D", slow, "passenger").amount.low
        assert first < utilisation(other, "D", slow, "passenger").amount.low
        assert first < utilisation(one, "D", fast, "passenger").amount.low


@given(weights, lengths)
def test_weight_per_foot_is_the_same_in_other_units(weight: Fraction, length: Fraction) -> None:
    kilograms = read_quantity("1 kg", "weight").amount
    metres = read_quantity("1 m", "length").amount
    per_foot = weight_per_foot(weight, length).amount.low
    metric = (weight / kilograms) / (length / metres)  # kg per metre
    assert per_foot == metric * kilograms / metres * 12


@pytest.mark.parametrize(("imperial", "metric"), [("10 in", "254 mm"), ("5 ft", "1.524 m"), ("1 1/4 in", "31.75 mm")])
def test_figures_do_not_depend_on_the_unit_written(imperial: str, metric: str) -> None:
    one, other = (read_quantity(text, "length").amount for text in (imperial, metric))
    assert cylinder_force(one, Fraction(50)).amount == cylinder_force(other, Fraction(50)).amount
    assert diameter_from_circumference(one).line == diameter_from_circumference(other).line


@given(lengths, st.fractions(min_value=0, max_value=110, max_denominator=1), st.integers(1, 8))
def test_cylinder_force_grows_as_the_square(size: Fraction, pressure: Fraction, count: int) -> None:
    one, double = cylinder_force(size, pressure).amount, cylinder_force(2 * size, pressure).amount
    assert abs(double.middle - 4 * one.middle) < CLOSE
    assert abs(cylinder_force(size, pressure, count).amount.middle - count * one.middle) < CLOSE


@given(st.integers(0, 12), st.integers(1, 12))
def test_operative_share_lies_between_nothing_and_all(working: int, whole: int) -> None:
    if working <= whole:
        assert 0 <= share_operative(working, whole, "control valves").amount.low <= 1
    else:
        with pytest.raises(OutOfRange):
            share_operative(working, whole, "axles")


@given(weights, st.fractions(min_value=0, max_value=Fraction(1, 5), max_denominator=1000))
def test_a_steeper_grade_wants_more_holding(weight: Fraction, grade: Fraction) -> None:
    found = hand_brake_holding(weight, Fraction(1, 10), weight, grade)
    assert (found.retarding.amount.low >= found.needed.amount.high) == (grade <= Fraction(1, 10))


def test_heat_across_the_axle_is_the_same_from_either_side() -> None:
    assert across_axle(Fraction(80), Fraction(120)).amount == across_axle(Fraction(120), Fraction(80)).amount


def test_the_tightest_leg_is_named() -> None:
    found = tightest_leg([("leg 1", Fraction(8)), ("leg 2", Fraction(13)), ("leg 3", Fraction(13))])
    assert (found.name, found.degree) == ("leg 2", 13)
    assert "13°: leg 2" in found.line
