"""Published and computed figures of curves and clearance, and the geometry against shapely.

Tags: P published, and read · S read in a secondary source · C computed from the stated formula · M from memory.
"""

from fractions import Fraction
from math import atan2, cos, hypot, pi, sin, sqrt

import pytest
from shapely import LineString, Point, Polygon
from shapely.affinity import rotate, translate

from carknocker.quantities import read_quantity
from carknocker.workings.clearance import PLATE_RADIUS, PLATES, Outline, allowed_width
from carknocker.workings.coupler_swing import CoupledCar, coupler_swing
from carknocker.workings.curves import (
    radius_of_degree,
    swing_in,
    swing_in_approximate,
    swing_out,
    swing_out_approximate,
)


def inches(text: str) -> Fraction:
    return read_quantity(text, "length").amount


@pytest.mark.parametrize(("radius", "degree"), [("350 ft", "16° 26'"), ("410 ft", "14°"), ("717 ft", "8°")])
def test_published_degrees_of_radii(radius: str, degree: str) -> None:
    # practice, curves: published to the minute, the round ones to the degree within a minute [P]
    published = read_quantity(degree, "degree of curve").amount
    flatter, sharper = (radius_of_degree(published + minute).amount for minute in (Fraction(-1, 60), Fraction(1, 60)))
    assert sharper.high <= inches(radius) <= flatter.low


def test_clearance_plates_are_based_on_thirteen_degrees() -> None:
    # 441 ft 8-3/8 in = 13° [P]: the published radius and the chord definition agree within 1/4 in
    assert inches("441 ft 8-3/8 in") == PLATE_RADIUS
    assert abs(radius_of_degree(Fraction(13)).amount.middle - PLATE_RADIUS) < Fraction(1, 4)


@pytest.mark.parametrize("degree", [1, 2, 4, 6, 8, 10])
def test_a_62_foot_chord_has_an_inch_per_degree(degree: int) -> None:
    # practice: about one inch per degree [P]; "about" is here within 2 %
    found = swing_in(radius_of_degree(Fraction(degree)).amount, inches("62 ft")).amount  # the chord's middle ordinate
    assert float(found.middle) == pytest.approx(degree, rel=0.02)


@pytest.mark.transcription
@pytest.mark.parametrize(
    ("radius", "swing", "overhang"),
    [("4°", "3.71", "3.83"), ("10°", "9.26", "9.46"), ("13°", "12.04", "12.22"), ("250 ft", "21.32", "21.18")],
)
def test_worked_swing_of_an_85_foot_car(radius: str, swing: str, overhang: str) -> None:
    # practice, curves: 85 ft car, 59 ft 6 in centers, 10 ft wide [C]
    if "°" in radius:
        curve = radius_of_degree(read_quantity(radius, "degree of curve").amount).amount
    else:
        curve = radius_of_degree(Fraction(1)).amount.of(inches(radius))
    centers, length, width = inches("59 ft 6 in"), inches("85 ft"), inches("10 ft")
    # the page rounds to a hundredth of an inch, one of them (9.465) down
    assert float(swing_in(curve, centers).amount.middle) == pytest.approx(float(swing), abs=0.0051)
    assert float(swing_out(curve, centers, length, width).amount.middle) == pytest.approx(float(overhang), abs=0.0051)


@pytest.mark.transcription
@pytest.mark.parametrize(
    ("plate", "height"),
    [("plate B", "15 ft 1 in"), ("plate C", "15 ft 6 in"), ("plate E", "15 ft 9 in"), ("plate F", "17 ft")],
)
def test_clearance_plates(plate: str, height: str) -> None:
    # practice: AAR plates, all 10 ft 8 in wide [S]
    assert (PLATES[plate].width, PLATES[plate].height) == (inches("10 ft 8 in"), inches(height))


@pytest.mark.parametrize("radius", [250.0, 441.7, 717.0, 1432.7])
@pytest.mark.parametrize(
    ("centers", "length", "wheelbase"), [(59.5, 85.0, 0.0), (59.5, 85.0, 11.0), (41.25, 55.0, 8.0)]
)
def test_swing_agrees_with_a_drawn_car(radius: float, centers: float, length: float, wheelbase: float) -> None:
    # independent reference: the car drawn as a rectangle on its truck centers, measured by shapely
    width = 10.0
    on_circle = sqrt(radius**2 - (wheelbase / 2) ** 2)  # where the middle of a truck runs
    half = centers / 2
    trucks = LineString([(-half, sqrt(on_circle**2 - half**2)), (half, sqrt(on_circle**2 - half**2))])
    middle = trucks.interpolate(0.5, normalized=True)
    body = Polygon(
        [(-length / 2, -width / 2), (length / 2, -width / 2), (length / 2, width / 2), (-length / 2, width / 2)]
    )
    body = translate(body, middle.x, middle.y)
    center = Point(0, 0)
    drawn_in = (radius - width / 2) - center.distance(body)
    drawn_out = center.hausdorff_distance(body) - (radius + width / 2)
    args = Fraction(str(radius)) * 12, Fraction(str(centers)) * 12
    found_in = swing_in(*args, Fraction(str(wheelbase)) * 12).amount.middle
    found_out = swing_out(*args, Fraction(str(length)) * 12, Fraction(120), Fraction(str(wheelbase)) * 12).amount.middle
    assert float(found_in) == pytest.approx(drawn_in * 12, abs=1e-6)
    assert float(found_out) == pytest.approx(drawn_out * 12, abs=1e-6)


@pytest.mark.transcription
def test_the_rule_of_thumb_is_near_and_below() -> None:
    # practice: M ≈ L²/8R (+ b²/8R) [C]
    exact = swing_in(Fraction(3000), Fraction(714), Fraction(132)).amount
    near = swing_in_approximate(Fraction(3000), Fraction(714), Fraction(132)).amount
    assert near.high < exact.low
    assert float(near.middle) == pytest.approx(float(exact.middle), rel=0.01)


@pytest.mark.transcription
def test_the_rule_of_thumb_for_the_end_is_near() -> None:
    # the same parabola at the end of the car: E ≈ (C² - L² - b²)/8R [C]; 85 ft car of practice on 10°: 9.46 in
    curve = radius_of_degree(Fraction(10)).amount.middle
    centers, length = inches("59 ft 6 in"), inches("85 ft")
    found = float(swing_out_approximate(curve, centers, length).amount.middle)
    assert found == pytest.approx(9.46, rel=0.03)
    wheelbase = swing_out_approximate(curve, centers, length, Fraction(132)).amount.middle
    assert float(wheelbase) == pytest.approx(found - 132**2 / (8 * float(curve)))


def test_longer_truck_centers_narrow_the_plate() -> None:
    # practice: longer truck centers narrow the allowed width on the 13° curve [S]; drawn by shapely
    plate, base = inches("10 ft 8 in"), inches("41 ft")
    car = Outline(inches("59 ft 6 in"), inches("85 ft"), inches("10 ft"))
    radius = float(PLATE_RADIUS)

    def chord_swing(centers: float) -> float:
        line = LineString(
            [(-centers / 2, sqrt(radius**2 - centers**2 / 4)), (centers / 2, sqrt(radius**2 - centers**2 / 4))]
        )
        return radius - Point(0, 0).distance(line)

    middle = radius - chord_swing(float(car.centers))
    outer = (
        Point(0, 0).distance(Point(float(car.length) / 2, middle + float(car.width) / 2))
        - radius
        - float(car.width) / 2
    )
    excess = max(chord_swing(float(car.centers)), outer) - chord_swing(float(base))
    assert float(allowed_width(plate, base, car).amount.middle) == pytest.approx(float(plate) - 2 * excess)
    short = Outline(base, base, inches("10 ft"))
    assert allowed_width(plate, base, short).amount.low == plate


def test_coupler_swing_agrees_with_two_drawn_cars() -> None:
    # independent reference: both cars placed on the circle by shapely, the second turned until the pins are a bar apart
    radius = 3000.0
    one = CoupledCar("long", Fraction(714), Fraction(1020), Fraction(40))
    two = CoupledCar("short", Fraction(480), Fraction(660), Fraction(30))

    def pins(car: CoupledCar) -> tuple[Point, Point]:
        height = sqrt(radius**2 - float(car.centers) ** 2 / 4)
        return Point(-float(car.pin), height), Point(float(car.pin), height)

    bar = float(one.coupler + two.coupler)
    pin = pins(one)[1]
    low, high = 0.0, pi / 2
    for _ in range(200):
        turn = (low + high) / 2
        other = rotate(pins(two)[0], -turn, origin=(0, 0), use_radians=True)
        ahead = atan2(other.x, other.y) > atan2(pin.x, pin.y)
        low, high = (low, turn) if ahead and pin.distance(other) > bar else (turn, high)
    other = rotate(pins(two)[0], -low, origin=(0, 0), use_radians=True)
    assert hypot(other.x - pin.x, other.y - pin.y) == pytest.approx(bar, abs=1e-6)
    drawn = float(one.coupler) * (pin.y - other.y) / bar
    assert float(coupler_swing(Fraction(3000), one, two).amount.middle) == pytest.approx(drawn, abs=1e-5)


@pytest.mark.transcription
def test_equal_cars_share_the_angle() -> None:
    # two equal cars: their center lines meet the bar at the same angle on both sides [C]
    car = CoupledCar("coach", Fraction(714), Fraction(1020), Fraction(36))
    height = sqrt(4000.0**2 - 357.0**2)
    angle = atan2(float(car.pin), height)
    # the bar subtends what is left between the pins: each side swings by that angle and half of the bar's own
    rho = hypot(float(car.pin), height)
    half = 36 / rho
    expected = 36 * sin(angle + atan2(half, sqrt(1 - half**2)))
    assert float(coupler_swing(Fraction(4000), car, car).amount.middle) == pytest.approx(expected)
    assert cos(angle) < 1
