"""The trucks from above: every wheel's reading where the wheel is, L over R, the B end at the left, mirrored about the
axle."""

import xml.etree.ElementTree as ET

import pytest
from drawing_samples import NAMES, SVG, asked, demo, indexed, measured, texts, tree, words

from carknocker.judgement.answer import CheckAnswer
from carknocker.page.drawings.canvas import PHONE, SHEET
from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.trucks_above import trucks_above
from carknocker.page.model import Drawing

BEFORE = "wren-hollow/before"
ACCENT = "#a3180f"


def drawn(answer: CheckAnswer, wide: float = SHEET) -> Drawing:
    drawing = trucks_above(indexed(answer), FaultNumbers.as_they_come(answer.judgement.refusals), wide)
    assert drawing is not None
    return drawing


def changed(name: str, *pairs: tuple[str, str]) -> CheckAnswer:
    car, move, day = texts(name)
    for old, new in pairs:
        assert old in car
        car = car.replace(old, new)
    return asked(car, move, day)


def placed(drawing: Drawing, text: str) -> list[tuple[float, float]]:
    found = [one for one in tree(drawing).iter(f"{SVG}text") if one.text == text]
    return [(float(one.get("x", 0)), float(one.get("y", 0))) for one in found]


def at(drawing: Drawing, text: str) -> tuple[float, float]:
    (found,) = placed(drawing, text)
    return found


def frames(drawing: Drawing) -> list[ET.Element]:
    """The frames of faults."""
    rects = tree(drawing).iter(f"{SVG}rect")
    return [one for one in rects if one.get("stroke") == ACCENT and one.get("stroke-width") == "0.5"]


def holds(box: ET.Element, x: float, y: float) -> bool:
    left, top = float(box.get("x", 0)), float(box.get("y", 0))
    return left <= x <= left + float(box.get("width", 0)) and top <= y <= top + float(box.get("height", 0))


def sentence(drawing: Drawing) -> str:
    return " ".join(words(drawing))


def test_the_b_end_is_at_the_left_and_l_is_up() -> None:
    """Seen from beyond the B end, facing the car, R is right (AAR interchange rules, rule 14): with the B end on the
    left of a plan, R is down."""
    drawing = drawn(demo(BEFORE))
    columns = [at(drawing, f"L{number}")[0] for number in range(1, 7)]
    assert columns == sorted(columns)
    assert [at(drawing, f"R{number}")[0] for number in range(1, 7)] == columns
    assert at(drawing, "truck B")[0] < columns[0] < columns[2] < at(drawing, "truck A")[0] < columns[3]
    assert at(drawing, "L1")[1] < at(drawing, "53-1/8")[1] < at(drawing, "R1")[1]
    assert [one for one in words(drawing) if one.startswith("W-")] == [f"W-{number}" for number in range(31, 37)]


def test_a_mate_is_as_far_from_the_axle() -> None:
    """The rows of readings, from the bearing inward to the flange and out again."""
    drawing = drawn(demo(BEFORE))
    labels = ["bearing", "diameter", "rim thickness", "flange height", "flange thickness"]
    upper = [placed(drawing, label)[0][1] for label in labels]
    lower = [placed(drawing, label)[1][1] for label in labels]
    assert upper == sorted(upper)
    assert lower == sorted(lower, reverse=True)


def test_a_reading_stands_in_the_column_and_on_the_side_of_its_wheel() -> None:
    drawing = drawn(demo(BEFORE))
    rims = placed(drawing, "1-11/16")  # R5 alone
    assert [x for x, _ in rims] == [at(drawing, "axle 5")[0]]
    assert rims[0][1] > at(drawing, "R5")[1]
    flange = [place for place in placed(drawing, "1") if place[0] == at(drawing, "axle 5")[0]]  # L5: 1 in
    assert [y < at(drawing, "L5")[1] for _, y in flange] == [True]


def test_the_fault_is_framed_with_its_number_and_its_wheel_alone_is_hatched() -> None:
    drawing = drawn(demo(BEFORE))
    (place,) = placed(drawing, "7/8 or less")
    around = [one for one in frames(drawing) if holds(one, *place)]
    assert len(around) == 1
    numbers = [one for one in tree(drawing).iter(f"{SVG}text") if one.get("class") == "paper" and holds(
        around[0], float(one.get("x", 0)), float(one.get("y", 0)))]  # fmt: skip
    assert [one.text for one in numbers] == ["2"]
    assert len(frames(drawing)) == 1 + 6  # the flange, and the plain bearings of truck B
    hatched = [one for one in tree(drawing).iter(f"{SVG}path") if one.get("stroke") == ACCENT]
    assert len(hatched) == 1
    assert drawn(demo("larkspur/freight")).svg.count(ACCENT) == 0


def test_the_strictest_limit_stands_once_at_the_left() -> None:
    drawing = drawn(demo(BEFORE))
    assert len(placed(drawing, "over 7/8")) == 2  # of the L side and of the R side
    assert len(placed(drawing, "at most 1-7/16")) == 2
    assert len(placed(drawing, "at least 53")) == 1


def test_what_is_alike_is_said_once() -> None:
    """Every wheel is hollow 1/8 in, and none has a flat spot, in the demo car; in the other car all flanges are
    1-1/8 in thick."""
    told = sentence(drawn(demo(BEFORE)))
    assert "On every wheel: tread hollow 1/8 in (must be under 1/4), no flat spot, no shelled spot" in told
    assert not placed(drawn(demo(BEFORE)), "tread hollow")
    assert "flange thickness 1-1/8 in (must be over 7/8)" in sentence(drawn(demo("larkspur/freight")))


def test_one_reading_that_differs_brings_the_row_back() -> None:
    sheet = (
        "\n  - on: 2026-09-20\n    by: RE\n    gauge: G-2\n    access: walking round\n    readings:\n      wheels:\n"
    )
    answer = changed(BEFORE, ("\nlog:", f"{sheet}        L4: {{tread_hollow: 3/16 in}}\n\nlog:"))
    drawing = drawn(answer)
    assert len(placed(drawing, "tread hollow")) == 2
    assert placed(drawing, "3/16")[0][0] == at(drawing, "axle 4")[0]


def test_nothing_is_drawn_for_what_nobody_measured() -> None:
    drawing = drawn(demo("nothing-measured"))
    assert "Not measured: " in sentence(drawing)
    assert "not measured" not in words(drawing)
    assert not placed(drawing, "rim thickness")
    assert "dasharray" not in drawing.svg


def test_advice_that_nobody_measured_is_a_count() -> None:
    told = [one for one in words(drawn(demo(BEFORE))) if one.startswith("38 advised readings not measured.")]
    assert len(told) == 1


def test_of_a_row_with_readings_a_missing_one_says_so() -> None:
    """R6 is left unmeasured there; the others have a diameter."""
    drawing = drawn(measured())
    missing = placed(drawing, "not measured")
    assert [x for x, _ in missing] == [at(drawing, "axle 6")[0]]
    assert missing[0][1] > at(drawing, "R6")[1]


def test_diameters_and_their_differences_are_figures() -> None:
    drawing = drawn(measured())
    assert len(placed(drawing, "33")) == 2  # L5 and R5
    assert "33-17/32" in words(drawing)
    assert (
        "Truck B: middle axle 3 tapes or 0.119 in smaller than the end axles, largest wheel 0.119 in larger than the "
        "smallest."
    ) in sentence(drawing)
    assert "mates ≤ 2 tapes" in words(drawing)


@pytest.mark.parametrize("wide", [SHEET, PHONE])
@pytest.mark.parametrize("name", NAMES)
def test_every_wheel_has_its_place(name: str, wide: float) -> None:
    drawing = drawn(demo(name), wide)
    wheels = [one.position for one in demo(name).judgement.situation.standing.by_kind["axle position"] if one.fitted]
    for letter in "LR":
        assert [one for one in words(drawing) if one[:1] == letter and one[1:].isdigit()] == [
            f"{letter}{position}" for position in sorted(wheels, key=int)
        ]


def test_on_a_phone_the_trucks_stand_below_each_other() -> None:
    drawing = drawn(demo(BEFORE), PHONE)
    assert at(drawing, "truck B")[0] == at(drawing, "truck A")[0]
    assert at(drawing, "R1")[1] < at(drawing, "truck A")[1]


def test_a_wheelset_that_stands_the_other_way_round_is_drawn_as_it_stands() -> None:
    """The wheel that was R5, with a rim of 1-11/16 in, is L5 once its wheelset is put back end for end."""
    job = "{id: J-1, on: 2026-09-26, did: wheelset renewed, at: 5, off: W-35, fitted: W-35, end_for_end: yes, by: HM}"
    drawing = drawn(changed(BEFORE, ("\nwork:\n", f"\nwork:\n  - {job}\n")))
    assert at(drawing, "1-11/16")[1] < at(drawing, "L5")[1] < at(drawn(demo(BEFORE)), "1-11/16")[1]


def test_numbered_from_the_a_end_the_highest_axle_is_nearest_the_b_end() -> None:
    drawing = drawn(changed("larkspur/passenger", ("scheme: from the B end", "scheme: from the A end")))
    assert at(drawing, "L4")[0] < at(drawing, "L3")[0]


def test_a_fault_without_a_row_stands_on_its_side() -> None:
    each = "".join(f"        {place}: {{cracked: no}}\n" for place in ("L1", "R1", "R2", "L3", "R3"))
    answer = changed(BEFORE, ("        all: {cracked: no, in_place: yes}\n",
                              f"        all: {{in_place: yes}}\n        L2: {{cracked: yes}}\n{each}"))  # fmt: skip
    drawing = drawn(answer)
    (place,) = placed(drawing, "cracked or")
    assert place[1] < at(drawing, "L2")[1]
    assert abs(place[0] - at(drawing, "axle 2")[0]) < 5
    assert any(holds(one, *place) for one in frames(drawing))


def test_it_is_told_in_words_with_the_faults() -> None:
    told = drawn(demo(BEFORE)).described
    assert "fault 2, flange thickness 7/8 or less, at R5" in told
    assert "bearing plain, at L1, L2, L3, R1, R2, R3" in told
    assert "no fault at a wheel" in drawn(demo("larkspur/freight")).described


def test_two_faults_of_one_reading_are_both_drawn() -> None:
    """The flange of R2, 1-1/2 in high, is at the limit of one rule and past that of another."""
    answer = demo("two-nations/south")
    wheels = [
        one for one in answer.judgement.refusals if one.finding is not None and one.finding.part.label == "wheel R2"
    ]
    drawing = drawn(answer)
    numbers = {FaultNumbers.as_they_come(answer.judgement.refusals).by_refusal[one.identity] for one in wheels}
    assert len(numbers) == 2
    shown = [one.text for one in tree(drawing).iter(f"{SVG}text") if one.get("class") == "paper"]
    assert {str(number) for number in numbers} <= set(shown)
