"""Outside the range in which its formula holds, every working refuses, in plain words."""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from carknocker.workings import OutOfRange
from carknocker.workings.brakes import (
    Lever,
    RatioBasis,
    braking_ratio,
    compound_ratio,
    cylinder_force,
    hand_brake_holding,
    shoe_force,
)
from carknocker.workings.clearance import Outline, allowed_width
from carknocker.workings.coupler_swing import CoupledCar, coupler_swing
from carknocker.workings.curves import radius_of_degree, swing_in, swing_out, tightest_leg
from carknocker.workings.journals import axle_capacity, utilisation
from carknocker.workings.loads import axle_load, share, weight_per_foot
from carknocker.workings.middle_axle import EqualizedTruck, equalized_loads, step_effect, unequalized_loads
from carknocker.workings.turning import rim_after_cut
from carknocker.workings.wheels import diameter_from_circumference, diameter_from_tape

BASIS = RatioBasis("nominal", Fraction(50), "light")
TEN, NONE, ONE, LOW = Fraction(10), Fraction(0), Fraction(1), Fraction(-1)


@pytest.mark.parametrize(
    "call",
    [
        lambda: diameter_from_circumference(NONE),
        lambda: diameter_from_tape(NONE, ONE),
        lambda: diameter_from_tape(ONE, LOW),
        lambda: rim_after_cut(ONE, TEN),
        lambda: axle_load(TEN, 0),
        lambda: axle_load(LOW, 1),
        lambda: weight_per_foot(TEN, NONE),
        lambda: share(TEN, ONE),
        lambda: share(NONE, NONE),
        lambda: axle_capacity("D", NONE, "passenger"),
        lambda: axle_capacity("special", ONE, "freight"),
        lambda: utilisation(LOW, "D", ONE, "passenger"),
        lambda: cylinder_force(NONE, ONE),
        lambda: cylinder_force(ONE, LOW),
        lambda: compound_ratio([]),
        lambda: compound_ratio([Lever(NONE, ONE)]),
        lambda: shoe_force(ONE, NONE),
        lambda: shoe_force(ONE, ONE, TEN),
        lambda: braking_ratio(ONE, NONE, BASIS),
        lambda: hand_brake_holding(ONE, ONE, ONE, NONE),
        lambda: radius_of_degree(NONE),
        lambda: radius_of_degree(Fraction(61)),
        lambda: swing_in(TEN, Fraction(20)),
        lambda: swing_in(TEN, NONE),
        lambda: swing_out(Fraction(1000), TEN, ONE, ONE),
        lambda: coupler_swing(Fraction(1000), CoupledCar("x", TEN, ONE, TEN), CoupledCar("y", TEN, TEN, ONE)),
        lambda: allowed_width(NONE, TEN, Outline(TEN, TEN, ONE)),
        lambda: tightest_leg([]),
        lambda: EqualizedTruck(ONE, ONE),
        lambda: equalized_loads(EqualizedTruck(TEN, ONE), LOW),
        lambda: unequalized_loads(ONE, []),
        lambda: unequalized_loads(ONE, [(LOW, ONE, NONE), (NONE, ONE, TEN), (ONE, ONE, NONE)]),
        lambda: step_effect(None, ONE, load=TEN, span=TEN),
        lambda: step_effect(True, ONE, load=TEN, span=TEN),
        lambda: step_effect(False, ONE, load=TEN, span=TEN),
    ],
)
def test_outside_its_range_a_working_refuses_in_words(call: Callable[[], Any]) -> None:
    with pytest.raises(OutOfRange) as caught:
        call()
    assert len(str(caught.value).split()) > 3
