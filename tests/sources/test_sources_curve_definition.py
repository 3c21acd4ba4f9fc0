"""The degree of a curve against its published definition and published pairs.

Chord definition: the degree is the angle at the center over a chord of 100 ft, R = 50 ft / sin(D/2). For 1° it gives
5,729.65 ft (a figure printed in every American railroad surveying handbook); 717 ft is 8°, 410 ft is 14°.
"""

from fractions import Fraction
from math import hypot, radians, sin

import pytest
from shapely import Point
from shapely.affinity import rotate

from carknocker.quantities import QuantityError, read_curve, write_quantity
from carknocker.quantities.curve import degree_of_radius


@pytest.mark.parametrize(
    ("text", "degree"),
    [
        ("radius 5,729.65 ft", "1°"),
        ("717 ft", "8°"),
        ("radius 410 ft", "14°"),
        ("R = 573.69 ft", "10°"),
        ("459.28 ft radius", "12° 30'"),
        ("radius 174.86 m", "10°"),
        ("10° 30'", "10° 30'"),
        ("12 deg", "12°"),
    ],
)
def test_published_pairs_of_radius_and_degree(text: str, degree: str) -> None:
    """Within half a minute of the published pair; never flatter than the radius says."""
    found = read_curve(text).amount
    published = read_curve(degree).amount
    assert abs(found - published) <= Fraction(1, 60)


@pytest.mark.parametrize("feet", [100, 250, 410, 574, 717, 955, 1433, 5730])
def test_the_chord_of_that_angle_is_100_feet(feet: int) -> None:
    """Drawn: two points of the circle, as far apart as the angle says, lie 100 ft apart, or up to 1 part in 5,000 more,
    since the degree is rounded to the sharper side."""
    degree = float(degree_of_radius(Fraction(feet)))
    one = Point(feet, 0)
    other = rotate(one, degree, origin=(0, 0))
    chord = hypot(one.x - other.x, one.y - other.y)
    assert 100 - 1e-9 <= chord <= 100 * (1 + 1 / 500)
    assert 50 / sin(radians(degree / 2)) <= feet + 1e-9


@pytest.mark.transcription
def test_a_curve_of_less_than_50_feet_is_none() -> None:
    with pytest.raises(QuantityError, match="radius of 49"):
        read_curve("radius 49 ft")
    assert read_curve("radius 50 ft").amount == 180


@pytest.mark.transcription
@pytest.mark.parametrize("text", ["717", "radius", "10° ft", "ten degrees", "radius -5 ft"])
def test_what_is_neither_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        read_curve(text)


@pytest.mark.transcription
def test_it_is_written_back_as_its_degree() -> None:
    assert write_quantity(read_curve("radius 573.69 ft")) == "10°"
    assert write_quantity(read_curve("radius 717 ft")) == "7° 59.9'"
