"""Drawings to scale: places on the sheet against typed lengths of the demo car, 82 ft 3 in over couplers (987 in),
truck centers 57 ft (684 in), 14 ft 3 in high (171 in), 10 ft 1 in wide (121 in)."""

import re
import xml.etree.ElementTree as ET
from math import sin

import pytest
from drawing_samples import SVG, asked, demo, indexed, lifted, measured, texts, tree, words

from carknocker.judgement.answer import CheckAnswer
from carknocker.page.drawings.clearance import ACROSS, OnCurve, clearance
from carknocker.page.model import Drawing
from carknocker.questions.lift.drawing import lift_drawing

BEFORE = "wren-hollow/before"
HUNDREDTHS = 0.01
"""Coordinates are written to a hundredth of a millimeter; a difference of two is that far off at the most."""


def drawn(make: object, answer: CheckAnswer) -> Drawing:
    drawing = make(indexed(answer))  # type: ignore[operator]
    assert isinstance(drawing, Drawing)
    return drawing


def number(element: ET.Element, name: str) -> float:
    return float(element.get(name, "nan"))


def all_of(drawing: Drawing, tag: str) -> list[ET.Element]:
    return tree(drawing).findall(SVG + tag)  # what lies inside the hatching is no part of the drawing


def points(path: ET.Element) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"[ML] (\S+) (\S+)", path.get("d", ""))]


def hatchings(drawing: Drawing) -> list[ET.Element]:
    """The paths that are made of single lines."""
    return [one for one in all_of(drawing, "path") if one.get("d", "").count("M ") > 1]


def test_a_curve_is_drawn_with_its_own_geometry() -> None:
    """12° 30': R = 50 ft/sin 6° 15' = 5511 in. Wheelbase 132 in. M is nearly (684² + 132²)/8R = 11.0 in."""
    drawing = drawn(clearance, measured())
    car = next(one for one in all_of(drawing, "rect") if one.get("fill-opacity"))
    assert number(car, "width") == pytest.approx(75, abs=HUNDREDTHS)
    assert number(car, "height") == pytest.approx(121 * ACROSS * 75 / 987, abs=HUNDREDTHS)
    paths = [points(one) for one in all_of(drawing, "path") if len(points(one)) == 25]
    assert len(paths) == 3
    track = paths[0]
    own = number(car, "y") + number(car, "height") / 2
    radius = 600 / sin(6.25 * 3.14159265 / 180)
    assert own - track[12][1] == pytest.approx((684**2 + 132**2) / 8 / radius * ACROSS * 75 / 987, abs=0.05)
    assert track[0][1] > own  # the ends lie outside of the track's line
    assert "Curve of 12° 30': leg 2, Port Averill to Saltmarsh Quay" in " ".join(words(drawing))


def test_trucks_stand_on_the_track() -> None:
    drawing = drawn(clearance, demo(BEFORE))
    trucks = all_of(drawing, "circle")
    assert number(trucks[1], "cx") - number(trucks[0], "cx") == pytest.approx(684 * 75 / 987, abs=2 * HUNDREDTHS)
    car = OnCurve(5511.0, 684, 987, 121)
    assert car.track(342) == pytest.approx(0, abs=1e-9)
    assert car.track(0) > 0 > car.track(493.5)


def test_what_a_plate_leaves_is_hatched_where_it_is_known() -> None:
    with_figures, without = drawn(clearance, measured()), drawn(clearance, demo(BEFORE))
    assert "Limit (plate B): 10 ft 8 in wide, 15 ft 1 in high." in without.described
    assert "Width left for a car as long as this: not known." in without.described
    assert "is left for this car." in with_figures.described
    assert len(hatchings(with_figures)) == 4  # either side, the key, and the fault: this car is wider than what is left
    assert hatchings(without) == []


def test_on_straight_track_there_is_no_curve_to_draw() -> None:
    car, move, day = texts(BEFORE)
    straight = re.sub(r"sharpest_curve: .*", "sharpest_curve: 0°", move)
    assert clearance(indexed(asked(car, straight, day))) is None


def test_a_lift_is_drawn_to_one_scale() -> None:
    """The truck is 42 in high and clears 30 in by 3 in: the end rises by 15 in at the truck center, 684 in from the far
    truck; 151 in beyond it the standing end dips by 15 × 151/684 = 3.31 in. 173 mm of a sheet for 684 + 151 + 42 in."""
    drawing = lift_drawing(lifted("B"))
    assert drawing is not None
    assert drawing.width == 178
    assert drawing.narrow is not None
    assert drawing.narrow.width == 80
    before, after = (points(one) for one in all_of(drawing, "path")[:2])
    scale = 173 / (684 + 151 + 42)
    assert before[1][1] - after[1][1] == pytest.approx(15 * scale, abs=2 * HUNDREDTHS)
    assert after[0][1] - before[0][1] == pytest.approx(15 * 151 / 684 * scale, abs=2 * HUNDREDTHS)
    assert before[0][0] - before[1][0] == pytest.approx((684 + 151) * scale, abs=2 * HUNDREDTHS)
    assert "Rise at the point of lifting: 15 in." in drawing.described
    assert "30 in before, 45 in lifted" in drawing.described


def test_the_b_end_is_on_the_left_whichever_end_is_lifted() -> None:
    for end, left in (("B", True), ("A", False)):
        drawing = lift_drawing(lifted(end))  # type: ignore[arg-type]
        assert drawing is not None
        labels = {one.text: number(one, "x") for one in all_of(drawing, "text")}
        assert labels["truck B"] < labels["truck A"]
        rising = points(all_of(drawing, "path")[1])
        assert (rising[1][0] < rising[0][0]) == left
