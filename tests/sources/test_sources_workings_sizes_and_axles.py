"""Published differences of wheel size, the numbers of axles, the life of sealed grease, and what a class of axle takes.

Tags: P published, and read · S read in a secondary source · C computed from the stated formula.
"""

from fractions import Fraction

import pytest
from federal_reading import reading_of
from random_worlds import base_parts
from workings_world import value_of, world, yielded

from carknocker.record.values import Word
from carknocker.workings import Worked
from carknocker.workings.brakes import RatioBasis, braking_ratio, cylinder_force, shoe_force
from carknocker.workings.turning import Matching, WornWheel, turning_plan
from carknocker.workings.wheels import diameter_of_tapes


def test_published_differences_in_tapes_and_in_diameter() -> None:
    # TM 55-2210-224-34 p. 3-264: between axles, up to 3/4 in in diameter [P]; that is 18.85 tapes [C]
    between = diameter_of_tapes(Fraction("18.85")).amount
    assert f"{float(between.low):.3f}" == f"{float(between.high):.3f}" == "0.750"
    # TM 55-203, boring mill practice: round within half a tape size after turning [P]; 0.0199 in of diameter [C]
    assert f"{float(diameter_of_tapes(Fraction(1, 2)).amount.middle):.4f}" == "0.0199"
    # 49 CFR 230.112(a), steam locomotive, same axle: 3/32 in in diameter [P], more than the two tapes of 49 CFR
    # 229.73(a) [P]
    assert diameter_of_tapes(Fraction(2)).amount.under(Fraction(3, 32))


def test_mates_are_turned_to_one_circumference() -> None:
    # TR0655, matching wheels and axles: mates have the same circumference [P]
    wheels = [
        WornWheel("left", "B", "1", Fraction(36), Fraction(2), Fraction(1, 16)),
        WornWheel("right", "B", "1", Fraction("35.97"), Fraction(2), Fraction(0)),
    ]
    plan = turning_plan(wheels, Matching(axle=diameter_of_tapes(Fraction(2)).amount.low), Fraction(1))
    assert plan.wheels[0].diameter == plan.wheels[1].diameter


@pytest.mark.transcription
def test_six_axles_are_numbered_from_the_b_end() -> None:
    # AAR interchange rules, rule 14: numbered from the B end [P]; truck B holds axles 1-3 (middle 2), truck A holds
    # axles 4-6 (middle 5) [C]
    trucks = {part.position: part.container for part in base_parts(6) if part.kind == "axle position"}
    assert trucks == {"1": "truck B", "2": "truck B", "3": "truck B", "4": "truck A", "5": "truck A", "6": "truck A"}
    car = world({"truck B": {"truck_kind": "three-axle"}, "truck A": {"truck_kind": "three-axle"}}, axles=6)
    middle = []
    for number in range(1, 7):
        found = car.work_out(f"axle position {number}", "middle_of_three")
        assert isinstance(found, Worked)
        if found.value == Word("yes"):
            middle.append(number)
    assert middle == [2, 5]


@pytest.mark.transcription
def test_passenger_braking_ratio_at_60_psi() -> None:
    # American Engineer: passenger, historical, 90 % of weight at 60 psi cylinder pressure, nominal [S]
    basis = RatioBasis("nominal", Fraction(60), "light")
    force = shoe_force(cylinder_force(Fraction(14), Fraction(60)).amount, Fraction(9)).amount  # 83,126 lb
    assert braking_ratio(force, Fraction(92_363), basis).amount.high <= Fraction(90, 100)
    assert braking_ratio(force, Fraction(92_361), basis).amount.low > Fraction(90, 100)
    # freight, 1956: 50-75 % of empty weight at 50 psi [S]
    freight = RatioBasis("nominal", Fraction(50), "light")
    for force_in_lb, holds in ((24_999, False), (25_000, True)):
        ratio = braking_ratio(Fraction(force_in_lb), Fraction(50_000), freight)
        assert (ratio.amount.low >= Fraction(50, 100)) == holds


@pytest.mark.transcription
@pytest.mark.parametrize(("miles", "verdict"), [("500000 mi", "met"), ("500001 mi", "breached")])
def test_a_host_that_takes_the_life_of_sealed_grease_as_its_limit(miles: str, verdict: str) -> None:
    # AAR M-942: sealed grease lasts at least 500,000 miles [P]; the invented host takes no more than that
    facts = f"reconditioned_on: {{aged: 1 year, miles_ago: {miles}}}, class: grease-lubricated roller"
    assert reading_of("bearing", facts, "7", "kestrel-and-northern") == verdict


@pytest.mark.parametrize(("speed", "takes"), [("85 mph", 34_000), ("86 mph", 32_000), ("100 mph", 32_000)])
def test_axle_d_of_the_record_at_its_speed(speed: str, takes: int) -> None:
    # TR0655 p. 29: axle D, passenger: 34,000 lb at not over 85 mph; 32,000 lb at 86 to 100 mph [P]
    readings = {"car": {"weight_on_truck_B": "66,000 lb"}, "wheelset W-1": {"axle_class": "D"}}
    car = world(readings, train_facts={"speed": value_of("train", "speed", speed)})
    assert yielded(car.work_out("wheelset W-1", "journal_utilisation")) == Fraction(33_000, takes)
