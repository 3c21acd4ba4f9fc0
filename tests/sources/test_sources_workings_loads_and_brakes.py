"""Published and computed figures of loads, journals, brakes and heat, typed from the trade's pages.

Tags: P published, and read · S read in a secondary source · C computed from the stated formula · CP common practice, no
source · M from memory.
"""

from fractions import Fraction

import pytest

from carknocker.workings.brakes import Lever, RatioBasis, braking_ratio, compound_ratio, cylinder_force, shoe_force
from carknocker.workings.heat import turned_label_calls_for
from carknocker.workings.journals import axle_capacity
from carknocker.workings.loads import axle_load, wheel_load
from carknocker.workings.model import OutOfRange


@pytest.mark.parametrize(("gross", "wheel"), [(263_000, 32_875), (286_000, 35_750), (315_000, 39_375)])
def test_wheel_loads_of_four_axles(gross: int, wheel: int) -> None:
    # practice, weight: four-axle gross → load per wheel [S]
    assert wheel_load(Fraction(gross), 4).amount.low == wheel
    # axle = gross/axles [C]
    assert axle_load(Fraction(gross), 4).amount.low == 2 * wheel


def test_axle_d_in_passenger_service() -> None:
    # TR0655 p. 29: 34,000 lb at ≤ 85 mph; 32,000 lb at 86–100 mph [P]
    assert [axle_capacity("D", Fraction(speed), "passenger").load for speed in (60, 85, 86, 100)] == [
        34_000,
        34_000,
        32_000,
        32_000,
    ]
    with pytest.raises(OutOfRange, match="100 mph"):
        axle_capacity("D", Fraction(101), "passenger")


@pytest.mark.transcription
@pytest.mark.parametrize(
    ("axle_class", "four_axles"),
    [("A", 66_000), ("B", 103_000), ("C", 136_000), ("D", 169_000), ("E", 210_000), ("F", 251_000)],
)
def test_freight_weights_by_journal(axle_class: str, four_axles: int) -> None:
    # practice, journals: four-axle weight on rail by journal, freight, divided by four per axle [S]
    assert axle_capacity(axle_class, Fraction(50), "freight").load == Fraction(four_axles, 4)
    if axle_class != "D":  # freight figures are not for a passenger axle at speed [S]
        with pytest.raises(OutOfRange):
            axle_capacity(axle_class, Fraction(50), "passenger")


@pytest.mark.transcription
@pytest.mark.parametrize(
    ("diameter", "at_50", "at_60"),
    [(8, 2_513, 3_016), (10, 3_927, 4_712), (12, 5_655, 6_786), (14, 7_697, 9_236), (16, 10_053, 12_064)],
)
def test_cylinder_forces(diameter: int, at_50: int, at_60: int) -> None:
    # practice, brakes: cylinder force at 50 and 60 psi [C]
    for pressure, force in ((50, at_50), (60, at_60)):
        found = cylinder_force(Fraction(diameter), Fraction(pressure)).amount
        assert round(found.low) == round(found.high) == force


@pytest.mark.parametrize(("diameter", "published"), [(8, 2_500), (10, 3_900)])
def test_published_rounding_of_cylinder_forces(diameter: int, published: int) -> None:
    # Railway & Locomotive Engineering 1901: 8 in at 50 psi "2,500 lb", 10 in "3,900 lb" [P]
    assert round(cylinder_force(Fraction(diameter), Fraction(50)).amount.low, -2) == published


def test_compound_levers() -> None:
    # an air-brake treatise, p. 101: 4,500 → 1,500 → 6,000 lb a beam; 4 beams, 8 shoes × 3,000 lb = 24,000 lb [S]
    rod = compound_ratio([Lever(Fraction(1), Fraction(3))])
    assert shoe_force(Fraction(4_500), rod.amount.low).amount.low == 1_500
    beam = compound_ratio([Lever(Fraction(1), Fraction(3)), Lever(Fraction(4), Fraction(1))])
    assert shoe_force(Fraction(4_500), beam.amount.low).amount.low == 6_000
    whole = compound_ratio([Lever(Fraction(1), Fraction(3)), Lever(Fraction(4), Fraction(1))], branches=4)
    assert shoe_force(Fraction(4_500), whole.amount.low).amount.low == 24_000 == 8 * 3_000
    # not over 70 % of light weight, so at least 34,286 lb [C]
    basis = RatioBasis("nominal", Fraction(50), "light")
    assert braking_ratio(Fraction(24_000), Fraction(34_286), basis).amount.high <= Fraction(70, 100)
    assert braking_ratio(Fraction(24_000), Fraction(34_285), basis).amount.low > Fraction(70, 100)


@pytest.mark.transcription
def test_a_ratio_says_what_it_is_of() -> None:
    # nominal ratio, freight 60–75 % (1938) of empty weight at 50 psi [S]; passenger 90 % at 60 psi [S]
    freight = RatioBasis("nominal", Fraction(50), "light")
    ratio = braking_ratio(Fraction(36_000), Fraction(50_000), freight)
    assert Fraction(60, 100) <= ratio.amount.low <= ratio.amount.high <= Fraction(75, 100)
    assert ratio.line.endswith("(nominal, 50 psi in the cylinder, light weight)")
    net = braking_ratio(Fraction(36_000), Fraction(50_000), RatioBasis("net", Fraction(50), "gross"))
    assert net.line.endswith("(net, 50 psi in the cylinder, gross weight)")


@pytest.mark.transcription
def test_what_a_turned_label_calls_for() -> None:
    # a turned label keeps the car from moving until a bearing shop has inspected that axle's bearings, whatever the
    # wayside detectors said; dragging brakes are looked at as a cause (common practice, no source) [CP]
    duties = turned_label_calls_for("axle 3")
    assert "Both bearings of axle 3 are inspected by a bearing shop before the next move" in duties[0]
    assert "whatever the wayside detectors said" in duties[0]
    assert "dragged" in duties[1]
