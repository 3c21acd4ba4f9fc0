"""The picture beside each fault of Wren Hollow: wheel R5, the plain bearings of truck B, the inspection that runs out
on 2026-11-14, the single-car test void since 2026-09-24, the service portion that is on the shelf."""

import xml.etree.ElementTree as ET

import pytest
from drawing_samples import NAMES, SVG, demo, indexed, text_boxes, tree, words

from carknocker.page.drawings.fault_numbers import FaultNumbers
from carknocker.page.drawings.fault_pictures import fault_pictures
from carknocker.page.model import Drawing

BEFORE = "wren-hollow/before"
ACCENT = "#a3180f"


def pictures(name: str = BEFORE) -> dict[str, Drawing]:
    """The pictures of a demo car, by the words under them."""
    answer = demo(name)
    made = fault_pictures(indexed(answer), FaultNumbers.as_they_come(answer.judgement.refusals))
    return {drawing.described: drawing for drawing in made.values()}


def filled(drawing: Drawing, tag: str) -> list[ET.Element]:
    return [one for one in tree(drawing).iter(f"{SVG}{tag}") if one.get("fill") == ACCENT]


def test_each_fault_has_its_picture() -> None:
    assert set(pictures()) == {
        "The car from its side with axle 5 marked.",
        "The car from its side with axles 1–3 marked.",
        "Annual mechanical inspection: good to 2026-11-14; the move is 2026-11-06 to 2026-11-22.",
        "Single-car brake test: the brake system: void since 2026-09-24; the move is 2026-11-06 to 2026-11-22.",
        "service portion: 0 aboard, 1 on the shelf; 1 must be aboard.",
    }
    assert not pictures("wren-hollow/after")


def test_the_axle_of_the_wheel_is_marked_and_no_other() -> None:
    drawing = pictures()["The car from its side with axle 5 marked."]
    circles = list(tree(drawing).iter(f"{SVG}circle"))
    assert [one.get("fill") == ACCENT for one in circles] == [False, False, False, False, True, False]
    assert words(drawing) == ["B", "A", "axle 5"]


def test_boxes_are_marked_where_the_bearings_are_at_fault() -> None:
    drawing = pictures()["The car from its side with axles 1–3 marked."]
    assert not filled(drawing, "circle")
    assert len(filled(drawing, "rect")) == 3


def test_a_strip_of_dates_hatches_what_the_move_lacks() -> None:
    drawing = next(one for words, one in pictures().items() if words.startswith("Annual"))
    assert {"move", "2026-11-14", "8 days short of the return"} <= set(words(drawing))
    assert [one for one in tree(drawing).iter(f"{SVG}path") if one.get("stroke") == ACCENT]


def test_a_spare_is_counted() -> None:
    drawing = next(one for words, one in pictures().items() if words.startswith("service"))
    assert words(drawing) == ["0", "aboard", "1", "on the shelf", "service portion"]


@pytest.mark.parametrize("name", NAMES)
def test_they_are_as_wide_as_their_place_and_no_text_leaves_them(name: str) -> None:
    for drawing in pictures(name).values():
        assert drawing.width == 46
        boxes = text_boxes(drawing)
        for number, (text, left, top, right, bottom) in enumerate(boxes):
            assert left >= 0, text
            assert right <= 46, text
            assert 0 <= top < bottom <= drawing.height, text
            for other, left2, top2, right2, bottom2 in boxes[number + 1 :]:
                assert right <= left2 or right2 <= left or bottom <= top2 or bottom2 <= top, (text, other)
