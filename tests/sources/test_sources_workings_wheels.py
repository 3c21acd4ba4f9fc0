"""Published and computed figures of wheels, turning, wear and trucks, typed from the trade's pages.

Tags: P published, and read · S read in a secondary source · C computed from the stated formula · CP common practice, no
source · M from memory.
"""

from fractions import Fraction

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.stats import linregress
from scipy.stats import t as student

from carknocker.workings.formula import Result
from carknocker.workings.middle_axle import EqualizedTruck, center_drop, equalized_loads, unequalized_loads
from carknocker.workings.turning import Matching, WornWheel, rims_of_axle_after_turning, turning_plan
from carknocker.workings.wear import RimReading, coverage_factor, miles_left, wear_rate
from carknocker.workings.wheels import diameter_from_circumference, diameter_from_tape, diameter_of_tapes


def rounded(result: Result, places: int) -> str:
    low, high = (f"{float(end):.{places}f}" for end in (result.amount.low, result.amount.high))
    assert low == high
    return low


def exact(result: Result) -> Fraction:
    assert result.exact
    return result.amount.low


def test_one_and_two_tapes_in_diameter() -> None:
    # practice, wheel tape: 1/8 in of circumference = 0.03979 in of diameter [C]
    assert rounded(diameter_of_tapes(Fraction(1)), 5) == "0.03979"
    # TM 55-2210-224-34 p. 3-264: two tapes, 1/4 in of circumference, 0.080 in of diameter [P]
    assert rounded(diameter_of_tapes(Fraction(2)), 3) == "0.080"


@pytest.mark.transcription
@pytest.mark.parametrize(("diameter", "circumference"), [(33, "103.673"), (36, "113.097"), (38, "119.381")])
def test_nominal_circumferences(diameter: int, circumference: str) -> None:
    # practice, wheel tape: nominal circumference [C]
    assert rounded(diameter_from_circumference(Fraction(circumference)), 3) == f"{diameter}.000"


@pytest.mark.transcription
def test_a_cut_of_half_an_inch() -> None:
    # practice, wheel arithmetic: diameter -1.000 in, 25.13 tapes [C]
    wheel = WornWheel("left", "B", "1", Fraction(36), Fraction(2), Fraction(1, 2))
    turned = turning_plan([wheel], Matching(axle=Fraction(0)), Fraction(1)).wheels[0].diameter
    assert turned is not None
    assert (turned.low, turned.high) == (35, 35)
    assert rounded(diameter_of_tapes(Fraction("25.13")), 3) == "1.000"


def test_rim_after_turning_of_an_axle() -> None:
    # railroadgage.com, drawing 3: sides 25/16 and 24/16, fingers 8/16 and 3/16 → 17/16 and 16/16 [P]
    rims = rims_of_axle_after_turning((Fraction(25, 16), Fraction(24, 16)), (Fraction(8, 16), Fraction(3, 16)))
    assert [exact(rim) for rim in rims] == [Fraction(17, 16), Fraction(16, 16)]
    assert min(exact(rim) for rim in rims) == 1
    # the mate taken by itself would give 21/16, which is wrong [P]
    assert exact(rims[1]) != Fraction(24, 16) - Fraction(3, 16) == Fraction(21, 16)


def test_the_turning_plan_agrees_with_the_published_example() -> None:
    # the same two wheels [P], of one size before turning and matched exactly after it
    wheels = (
        WornWheel("left", "B", "1", Fraction(36), Fraction(25, 16), Fraction(8, 16)),
        WornWheel("right", "B", "1", Fraction(36), Fraction(24, 16), Fraction(3, 16)),
    )
    plan = turning_plan(wheels, Matching(axle=Fraction(0)), Fraction(1))
    assert [wheel.rim.low for wheel in plan.wheels] == [Fraction(17, 16), Fraction(16, 16)]
    assert [wheel.governs for wheel in plan.wheels] == ["left", "left"]
    assert plan.works


def test_turning_plan_takes_least_as_an_integer_program_does() -> None:
    # independent reference: scipy.optimize.milp, the least sum of cuts under the same limits; a whole number for each
    # axle says whether it goes on the lathe, where mates come off alike
    sizes = [(36.0, 0.10), (35.9, 0.25), (35.5, 0.0), (35.6, 0.1), (36.2, 0.0), (36.15, 0.0), (35.0, 0.0), (35.07, 0.0)]
    axle, truck, car = 0.08, 0.5, 1.0
    wheels = [
        WornWheel(
            f"{number}", "BA"[number // 4], f"{number // 2}", Fraction(str(size)), Fraction(2), Fraction(str(finger))
        )
        for number, (size, finger) in enumerate(sizes)
    ]
    plan = turning_plan(wheels, Matching(Fraction("0.08"), Fraction("0.5"), Fraction(1)), Fraction(1))
    count, axles = len(sizes), len(sizes) // 2
    rows, limits = [], []
    for i in range(count):
        turned = np.zeros(count + axles)
        turned[i], turned[count + i // 2] = 1.0, -10.0  # no cut without the lathe
        rows.append(turned)
        limits.append(0.0)
        for j in range(count):
            if i != j:
                row = np.zeros(count + axles)
                row[i], row[j] = -2.0, 2.0  # (Dᵢ - 2cᵢ) - (Dⱼ - 2cⱼ) ≤ limit
                if i // 2 == j // 2:
                    row[count + i // 2] = axle
                rows.append(row)
                limit = axle if i // 2 == j // 2 else truck if i // 4 == j // 4 else car
                limits.append(limit - sizes[i][0] + sizes[j][0])
    found = milp(
        np.concatenate([np.ones(count), np.zeros(axles)]),
        constraints=LinearConstraint(np.array(rows), -np.inf, np.array(limits)),
        integrality=np.concatenate([np.zeros(count), np.ones(axles)]),
        bounds=Bounds([*(finger for _, finger in sizes), *[0.0] * axles], [*[10.0] * count, *[1.0] * axles]),
    )
    assert found.success
    cuts = [float(wheel.cut.middle) for wheel in plan.wheels]
    assert cuts == pytest.approx(list(found.x[:count]), abs=1e-9)
    assert cuts[6:] == [0, 0]  # 0.07 in apart, within the limit, and left as they are


@pytest.mark.transcription
def test_diameter_from_a_tape_and_its_base() -> None:
    # tape base 103.673 in is a 33 in wheel [C]; eight sizes are one inch of circumference
    assert rounded(diameter_from_tape(Fraction("103.673"), Fraction(0)), 3) == "33.000"
    same = diameter_from_tape(Fraction(100), Fraction(8)), diameter_from_circumference(Fraction(101))
    assert same[0].amount == same[1].amount


@pytest.mark.transcription
def test_wheel_centers_drop_by_half() -> None:
    # practice, three-axle trucks: 3/4 in smaller → 3/8 in lower [C]
    assert exact(center_drop(Fraction(3, 4))) == Fraction(3, 8)


def test_unequalized_loads_agree_with_linear_algebra() -> None:
    # independent reference: numpy solves the same balance; the larger middle wheel takes load from the ends [M]
    stiffness, places, heights, load = (9000.0, 11000.0, 8000.0), (-66.0, 0.0, 66.0), (0.0, 0.25, 0.0), 60_000.0
    matrix = np.array(
        [
            [sum(stiffness), sum(k * x for k, x in zip(stiffness, places, strict=True))],
            [
                sum(k * x for k, x in zip(stiffness, places, strict=True)),
                sum(k * x * x for k, x in zip(stiffness, places, strict=True)),
            ],
        ]
    )
    right = np.array(
        [
            load - sum(k * h for k, h in zip(stiffness, heights, strict=True)),
            -sum(k * h * x for k, h, x in zip(stiffness, heights, places, strict=True)),
        ]
    )
    sink, tilt = np.linalg.solve(matrix, right)
    expected = [k * (sink + tilt * x + h) for k, x, h in zip(stiffness, places, heights, strict=True)]
    axles = [(Fraction(x), Fraction(k), Fraction(h)) for x, k, h in zip(places, stiffness, heights, strict=True)]
    assert [float(one) for one in unequalized_loads(Fraction(60_000), axles).loads] == pytest.approx(expected)
    level = unequalized_loads(Fraction(60_000), [(x, k, Fraction(0)) for x, k, _ in axles]).loads
    assert unequalized_loads(Fraction(60_000), axles).loads[1] > level[1]


@pytest.mark.transcription
def test_equalized_levers_balance() -> None:
    # the lever arms share the load whatever the sizes [M]; an arm of a third of the span shares it evenly [C]
    assert equalized_loads(EqualizedTruck(Fraction(66), Fraction(22)), Fraction(60_000)).loads == (
        20_000,
        20_000,
        20_000,
    )


def test_wear_rate_agrees_with_regression() -> None:
    # w = (rim₁ - rim₂)/(miles₂ - miles₁), miles left (rim - limit)/w [C]
    two = wear_rate(
        [
            RimReading(Fraction(0), Fraction(2), Fraction(1, 16)),
            RimReading(Fraction(20_000), Fraction(15, 8), Fraction(1, 16)),
        ]
    )
    assert two.rate == Fraction(1, 8) / 20_000
    assert miles_left(Fraction(15, 8), Fraction(1), two).miles == 140_000
    # independent reference: scipy.stats.linregress
    miles, rims = (0, 9_000, 21_000, 40_000, 52_000), (2.0, 1.9375, 1.9375, 1.8125, 1.75)
    several = wear_rate(
        [RimReading(Fraction(m), Fraction(r), Fraction(1, 16)) for m, r in zip(miles, rims, strict=True)]
    )
    assert float(-several.rate) == pytest.approx(linregress(miles, rims).slope)


@pytest.mark.parametrize("degrees", [*range(2, 21), 25, 30, 35, 40, 45, 50])
def test_the_coverage_factor_is_student_s_t(degrees: int) -> None:
    """JCGM 100:2008 (GUM), table G.2, 95 %, which has two decimals; independent reference: scipy.stats.t."""
    assert float(coverage_factor(degrees)) == pytest.approx(student.ppf(0.975, degrees), abs=0.005)


def test_four_readings_have_two_degrees_of_freedom() -> None:
    """JCGM 100:2008, table G.2: 4.30."""
    assert coverage_factor(2) == Fraction(43, 10)
    rims = (Fraction(2), Fraction(29, 16), Fraction(2), Fraction(27, 16))
    rate = wear_rate([RimReading(Fraction(n * 9_000), rim, Fraction(1, 64)) for n, rim in enumerate(rims)])
    stderr = linregress([n * 9_000 for n in range(4)], [float(rim) for rim in rims]).stderr
    assert rate.uncertainty is not None
    assert float(rate.uncertainty.middle) == pytest.approx(4.30 * stderr)


@pytest.mark.transcription
@pytest.mark.parametrize("count", [2, 3])
def test_under_four_readings_nothing_says_how_far_the_rate_may_be_off(count: int) -> None:
    rate = wear_rate([RimReading(Fraction(n * 9_000), 2 - Fraction(n, 8), Fraction(1, 64)) for n in range(count)])
    assert rate.uncertainty is None
    assert not rate.shown
    assert f"too few readings to say by how much it may be off: {count}, of at least 4" in rate.line
    left = miles_left(Fraction(3, 2), Fraction(1), rate)
    assert (left.miles, left.least, left.most) == (36_000, None, None)


def test_the_scatter_of_the_readings_bounds_the_wear_rate_as_regression_does() -> None:
    # independent reference: the standard error of the slope by scipy.stats.linregress, times Student's t for 95 % and
    # three degrees of freedom by scipy.stats.t, where the readings scatter by more than their gauge resolves
    miles, rims = (0, 9_000, 21_000, 40_000, 52_000), (2.0, 1.8125, 2.0, 1.6875, 1.8125)
    rate = wear_rate([RimReading(Fraction(m), Fraction(r), Fraction(1, 64)) for m, r in zip(miles, rims, strict=True)])
    assert float(rate.uncertainty.middle) == pytest.approx(
        student.ppf(0.975, 3) * linregress(miles, rims).stderr, rel=1e-3
    )
    # readings on one line: the gauges alone, u = d/√12 each
    spaced = (0, 10_000, 20_000, 30_000)
    line = wear_rate([RimReading(Fraction(m), 2 - Fraction(m, 100_000), Fraction(1, 16)) for m in spaced])
    by_gauge = 2 * (1 / 16 / np.sqrt(12)) / np.sqrt(5 * 10_000.0**2)
    assert line.uncertainty is not None
    assert float(line.uncertainty.middle) == pytest.approx(by_gauge)
