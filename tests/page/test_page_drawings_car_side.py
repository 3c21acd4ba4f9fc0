"""The car from the side, against typed lengths of the demo car: 82 ft 3 in over couplers (987 in), truck centers 57 ft
(684 in), 14 ft 3 in high (171 in), axles 63 in apart, weights of 86,000 and 85,400 lb. On a sheet 152 mm stand for the
length, since 13 mm at each end are for the couplers' heights."""

import re
import xml.etree.ElementTree as ET

import pytest
from drawing_samples import SVG, asked, demo, indexed, measured, texts, tree, untaped, words

from carknocker.judgement.answer import CheckAnswer
from carknocker.page.drawings.canvas import PHONE, SHEET
from carknocker.page.drawings.car_side import car_side
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.text_width import SMALL, text_width
from carknocker.page.model import Drawing

BEFORE = "wren-hollow/before"
SCALE = 152 / 987
HUNDREDTHS = 0.02


def drawn(answer: CheckAnswer, wide: float = SHEET) -> Drawing:
    return car_side(indexed(answer), FaultNumbers.as_they_come(answer.judgement.refusals), wide)


def number(element: ET.Element, name: str) -> float:
    return float(element.get(name, "nan"))


def wheels(drawing: Drawing) -> list[ET.Element]:
    """The circles that are no number of a fault, from left to right."""
    return [one for one in tree(drawing).iter(f"{SVG}circle") if one.get("stroke-width")]


def rail(drawing: Drawing) -> float:
    return next(number(one, "y1") for one in tree(drawing).iter(f"{SVG}line") if one.get("stroke-width") == "0.45")


def without(line: str) -> CheckAnswer:
    car, move, day = texts(BEFORE)
    assert line in car
    return asked(car.replace(line, ""), move, day)


def test_lengths_are_to_scale() -> None:
    drawing = drawn(demo(BEFORE))
    upright = [one for one in tree(drawing).iter(f"{SVG}line") if number(one, "x1") == number(one, "x2")]
    faces = [one for one in upright if one.get("stroke-width") == "0.1" and number(one, "y1") == 7]
    assert [number(one, "x1") for one in faces] == [13, 165]
    high = next(one for one in upright if number(one, "y2") == rail(drawing) and number(one, "y1") < 14)
    assert number(high, "y2") - number(high, "y1") == pytest.approx(171 * SCALE, abs=HUNDREDTHS)
    middle = wheels(drawing)
    assert number(middle[4], "cx") - number(middle[1], "cx") == pytest.approx(684 * SCALE, abs=HUNDREDTHS)
    apart = [number(middle[n + 1], "cx") - number(middle[n], "cx") for n in (0, 1, 3, 4)]
    assert apart == [pytest.approx(63 * SCALE, abs=HUNDREDTHS)] * 4


def test_wheels_are_as_large_as_taped() -> None:
    """R1 is 33-1/2 in, R4 33-1/8 in in the demo car of which more was measured; each stands on the rail."""
    drawing = drawn(measured())
    found = wheels(drawing)
    assert number(found[0], "r") == pytest.approx(33.5 / 2 * SCALE, abs=HUNDREDTHS)
    assert number(found[3], "r") == pytest.approx(33.125 / 2 * SCALE, abs=HUNDREDTHS)
    assert [number(one, "cy") + number(one, "r") for one in found] == [pytest.approx(rail(drawing), abs=HUNDREDTHS)] * 6


def test_figures_stand_where_they_are() -> None:
    found = words(drawn(demo(BEFORE)))
    assert {
        "82 ft 3 in over couplers", "57 ft truck centers", "14 ft 3 in", "to roof ventilator 4", "33-5/8", "33-3/8",
        "truck B: 86,000 lb", "truck A: 85,400 lb", "lowest: brake rod, truck B, 5-1/4 in over rail",
    } <= set(found)  # fmt: skip


def test_a_phone_is_told_the_same_figures() -> None:
    found = " ".join(words(drawn(demo(BEFORE), PHONE)))
    for figure in ("82 ft 3 in", "57 ft", "14 ft 3 in", "roof ventilator 4", "33-5/8 in", "33-3/8 in", "86,000 lb",
                   "85,400 lb", "5-1/4 in"):  # fmt: skip
        assert figure in found, figure


def test_faults_are_numbered_at_their_part() -> None:
    """Wheel R5 and the plain bearings of truck B."""
    answer = demo(BEFORE)
    wheel, bearings = (
        tuple(
            one.identity
            for one in answer.judgement.refusals
            if one.finding is not None and one.finding.part.kind == kind
        )
        for kind in ("wheel", "bearing")
    )
    numbers = FaultNumbers({**dict.fromkeys(wheel, 7), **dict.fromkeys(bearings, 8)})
    drawing = car_side(indexed(answer), numbers)
    found = words(drawing)
    assert found[found.index("wheel R5") - 1] == "7"
    assert found[found.index("bearings L1–L3, R1–R3") - 1] == "8"
    ringed = [number(one, "cx") for one in wheels(drawing) if one.get("stroke") == "#a3180f"]
    assert ringed == [number(wheels(drawing)[4], "cx")]
    filled = [one for one in tree(drawing).iter(f"{SVG}rect") if one.get("fill") == "#a3180f"]
    assert [number(one, "x") + number(one, "width") / 2 for one in filled] == [
        pytest.approx(number(one, "cx"), abs=HUNDREDTHS) for one in wheels(drawing)[:3]
    ]


def test_a_car_without_faults_has_no_accent() -> None:
    drawing = drawn(demo("wren-hollow/after"))
    assert "#a3180f" not in drawing.svg


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("  length_over_couplers: 82 ft 3 in\n", "over couplers: not measured"),
        ("  truck_centers: 57 ft 0 in\n", "truck centers: not measured"),
        ("  height_over_rail: 14 ft 3 in\n", "height: not measured"),
        ("        weight_on_truck_A: 85,400 lb\n", "truck A: not measured"),
    ],
)
def test_a_figure_that_nobody_measured_is_told_in_its_place(line: str, told: str) -> None:
    assert told in words(drawn(without(line)))
    assert told not in words(drawn(demo(BEFORE)))


def test_without_a_length_it_is_not_to_scale_and_says_so() -> None:
    notes = " ".join(words(drawn(without("  length_over_couplers: 82 ft 3 in\n"))))
    assert "Not to scale" in notes
    assert "scale 1 :" not in notes
    assert "scale 1 : 165" in " ".join(words(drawn(demo(BEFORE))))


def test_wheels_that_nobody_taped_have_a_plain_line() -> None:
    assert {one.get("stroke-width") for one in wheels(drawn(untaped()))} == {"0.18", "0.5"}
    assert {one.get("stroke-width") for one in wheels(drawn(demo(BEFORE)))} == {"0.3", "0.5"}


def test_it_is_told_in_three_sentences_with_the_figures() -> None:
    told = drawn(demo(BEFORE)).described
    assert told == (
        "The car from its R side, B end at the left: over couplers 82 ft 3 in, truck centers 57 ft, height 14 ft 3 in, "
        "lowest part 5-1/4 in over rail. Couplers: B 33-5/8 in, A 33-3/8 in. Weight: truck B 86,000 lb, truck A "
        "85,400 lb."
    )
    assert re.search("not measured.*not measured", drawn(demo("nothing-measured")).described)


def test_a_caboose_has_a_cupola_and_its_platforms() -> None:
    car, move, day = texts(BEFORE)
    car = car.replace("car_kind: parlor car", "car_kind: caboose").replace("wide vestibule", "open platform")
    caboose = drawn(asked(car, move, day))
    widest = [
        one for one in tree(caboose).iter(f"{SVG}rect") if number(one, "width") == pytest.approx(120 * SCALE, abs=0.02)
    ]
    assert len(widest) == 1
    assert number(widest[0], "height") == pytest.approx(30 * SCALE, abs=HUNDREDTHS)


@pytest.mark.parametrize("truck", ["B", "A"])
def test_the_words_about_the_lowest_part_and_their_leader_leave_the_height_alone(truck: str) -> None:
    car, move, day = texts("wren-hollow/before")
    drawing = drawn(asked(car.replace("brake rod, truck B", f"brake rod, truck {truck}"), move, day))
    lines = [one for one in tree(drawing).iter(f"{SVG}line")]
    uprights = [
        one for one in lines
        if number(one, "x1") == number(one, "x2") and number(one, "y2") - number(one, "y1") > 20
        and abs(number(one, "y2") - rail(drawing)) < 0.1
    ]  # fmt: skip
    (upright,) = uprights
    x = number(upright, "x1")
    (words_,) = (one for one in tree(drawing).iter(f"{SVG}text") if (one.text or "").startswith("lowest:"))
    begin = number(words_, "x")
    end = begin + text_width(words_.text or "", SMALL, bold=False)
    assert x < begin - 1 or x > end + 1
    leaders = [
        sorted((number(one, "x1"), number(one, "x2"))) for one in lines
        if number(one, "y1") != number(one, "y2") and number(one, "x1") != number(one, "x2")
    ]  # fmt: skip
    assert number(words_, "y") < rail(drawing)  # beside the part, not in a note below
    assert leaders
    assert not [one for one in leaders if one[0] <= x <= one[1]]
