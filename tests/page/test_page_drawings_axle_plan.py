"""The axle plan: every wheel's reading where the wheel is, L over R, axle 1 at the B end."""

import xml.etree.ElementTree as ET

import pytest
from drawing_samples import NAMES, SVG, asked, demo, indexed, measured, texts, tree, words

from carknocker.page.drawings.axle_plan import axle_plans
from carknocker.page.model import Drawing

BEFORE = "wren-hollow/before"


def plans(name: str = BEFORE) -> dict[str, Drawing]:
    return {one.name: one for one in axle_plans(indexed(demo(name)))}


def placed(drawing: Drawing, text: str) -> list[tuple[float, float]]:
    found = [one for one in tree(drawing).iter(f"{SVG}text") if one.text == text]
    return [(float(one.get("x", 0)), float(one.get("y", 0))) for one in found]


def at(drawing: Drawing, text: str) -> tuple[float, float]:
    (found,) = placed(drawing, text)
    return found


def frames(drawing: Drawing, kind: str) -> list[ET.Element]:
    return [one for one in tree(drawing).iter(f"{SVG}rect") if one.get("class") == kind]


def holds(box: ET.Element, x: float, y: float) -> bool:
    left, top = float(box.get("x", 0)), float(box.get("y", 0))
    return left <= x <= left + float(box.get("width", 0)) and top <= y <= top + float(box.get("height", 0))


def test_the_b_end_is_on_the_left_and_l_is_up() -> None:
    """Seen from beyond the B end, facing the car, R is right (AAR interchange rules, rule 14): with the B end on the
    left of a plan, R is down."""
    plan = plans()["axle-plan-b"]
    columns = [at(plan, label)[0] for label in ("L1", "L2", "L3")]
    assert columns == sorted(columns)
    assert [at(plan, label)[0] for label in ("R1", "R2", "R3")] == columns
    assert at(plan, "L1")[1] < at(plan, "axle 1")[1] < at(plan, "R1")[1]
    assert at(plan, "B end")[0] < columns[2]
    assert "A end" not in words(plan)
    assert "A end" in words(plans()["axle-plan-a"])


def test_both_trucks_have_a_plan_with_the_serials_of_their_wheelsets() -> None:
    found = plans()
    assert [text for text in words(found["axle-plan-b"]) if text.startswith("W-")] == ["W-31", "W-32", "W-33"]
    assert [text for text in words(found["axle-plan-a"]) if text.startswith("W-")] == ["W-34", "W-35", "W-36"]
    assert len([one for one in words(plans("larkspur/passenger")["axle-plan-a"]) if one.startswith("K-")]) == 2


def test_a_reading_stands_in_the_column_and_on_the_side_of_its_wheel() -> None:
    plan = plans()["axle-plan-a"]
    x, y = at(plan, "7/8 or less")
    assert x == at(plan, "R5")[0]
    assert y > at(plan, "R5")[1]
    rims = placed(plan, "1-11/16")  # R5 alone
    assert rims == [(x, rims[0][1])]
    assert rims[0][1] > y
    left = {place for place in placed(plan, "1") if place[0] == at(plan, "L5")[0]}  # flange of L5: 1 in
    assert [place[1] < at(plan, "axle 5")[1] for place in left] == [True]


def test_the_flange_that_is_refused_has_a_heavy_frame_and_the_word() -> None:
    plan = plans()["axle-plan-a"]
    x, y = at(plan, "7/8 or less")
    around = [one for one in frames(plan, "against") if one.get("stroke-width") == "2" and holds(one, x, y)]
    assert len(around) == 1
    assert any(holds(around[0], *place) for place in placed(plan, "breached"))
    assert len(placed(plan, "breached")) == 1


def test_back_to_back_stands_on_the_axle() -> None:
    plan = plans()["axle-plan-b"]
    assert at(plan, "53-1/8")[0] == at(plan, "axle 2")[0]
    assert at(plan, "L2")[1] < at(plan, "53-1/8")[1] < at(plan, "R2")[1]


@pytest.mark.parametrize("name", NAMES)
def test_what_is_not_shown_stands_in_a_dashed_frame(name: str) -> None:
    for plan in plans(name).values():
        dashed = [one for one in tree(plan).iter(f"{SVG}rect") if one.get("stroke-dasharray") == "4 3"]
        for place in placed(plan, "not shown"):
            assert any(holds(one, *place) for one in dashed), place


@pytest.mark.parametrize("name", NAMES)
def test_each_wheel_has_as_many_readings_as_rows(name: str) -> None:
    for plan in plans(name).values():
        labels = [text for text in words(plan) if text in ("flange thick", "flange high", "rim", "hollow", "flat spot")]
        assert len(labels) == 10
        for wheel in [text for text in words(plan) if text[:1] in "LR" and text[1:].isdigit()]:
            assert f"Wheel {wheel}: flange thick" in plan.described


def test_every_wheel_is_told_in_words_too() -> None:
    told = plans()["axle-plan-a"].described
    assert (
        "Wheel R5: flange thick 7/8 or less breached, flange high 1-1/4, rim 1-11/16, hollow 1/8, flat spot 0" in told
    )
    assert "Wheel L6: flange thick 1-1/8, flange high 1-1/8, rim 1-5/8" in told
    assert "axle 5: W-35, back to back 53-1/4, " in told


def test_diameters_are_written_where_they_are_known() -> None:
    found = {one.name: one for one in axle_plans(indexed(measured()))}
    assert placed(found["axle-plan-a"], "33") == sorted(placed(found["axle-plan-a"], "33"), key=lambda place: place[1])
    assert len(placed(found["axle-plan-a"], "33")) == 2  # L5 and R5
    assert "33-17/32" in words(found["axle-plan-b"])


def test_a_wheelset_that_stands_the_other_way_round_is_drawn_as_it_stands() -> None:
    """The wheel that was R5, with a rim of 1-11/16 in, is L5 once its wheelset is put back end for end."""
    car, move, day = texts(BEFORE)
    job = "{id: J-1, on: 2026-09-26, did: wheelset renewed, at: 5, off: W-35, fitted: W-35, end_for_end: yes, by: HM}"
    turned = car.replace("\nwork:\n", f"\nwork:\n  - {job}\n", 1)
    assert job in turned
    found = {one.name: one for one in axle_plans(indexed(asked(turned, move, day)))}
    plan = found["axle-plan-a"]
    assert at(plan, "1-11/16")[1] < at(plan, "axle 5")[1] < at(plans()["axle-plan-a"], "1-11/16")[1]


def test_numbered_from_the_a_end_the_highest_axle_is_nearest_the_b_end() -> None:
    car, move, day = texts("larkspur/passenger")
    car = car.replace("numbering_scheme: from the B end", "numbering_scheme: from the A end")
    plan = next(one for one in axle_plans(indexed(asked(car, move, day))) if one.name == "axle-plan-a")
    assert at(plan, "L4")[0] < at(plan, "L3")[0]


def test_a_box_that_is_cracked_is_told_on_its_side() -> None:
    car, move, day = texts(BEFORE)
    whole = "        all: {cracked: no, in_place: yes}\n"
    each = "".join(f"        {place}: {{cracked: no}}\n" for place in ("L1", "R1", "R2", "L3", "R3"))
    cracked = car.replace(whole, f"        all: {{in_place: yes}}\n        L2: {{cracked: yes}}\n{each}", 1)
    assert cracked != car
    plan = next(one for one in axle_plans(indexed(asked(cracked, move, day))) if one.name == "axle-plan-b")
    told = [sentence for sentence in plan.described.split(". ") if "Plain box not cracked breached" in sentence]
    assert [sentence.split(":")[0] for sentence in told] == ["Wheel L2"]


def test_a_tape_size_has_a_row_only_where_one_is_known() -> None:
    found = {one.name: one for one in axle_plans(indexed(measured()))}
    assert words(found["axle-plan-b"]).count("tape size") == 2
    assert "137 tapes" in words(found["axle-plan-b"])
    assert "tape size" not in words(found["axle-plan-a"])
