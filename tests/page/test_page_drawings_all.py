"""What every drawing keeps to: well-formed, labelled, escaped, of no colour, no text over another, always alike."""

import re

import pytest
from drawing_samples import HOSTILE, NAMES, SVG, demo, hostile, lifted, measured, planned, text_boxes, tree, words

from carknocker.page.drawings.gallery import drawings, drawn_into
from carknocker.page.model import Drawing, Page, Section
from carknocker.questions.lift.drawing import lift_drawing
from carknocker.questions.plan.drawing import schedule_drawing

SETS = [*NAMES, "measured", "hostile", "lift", "plan"]
SMALLEST_TEXT = 11.5
PAGE_ON_A_PHONE = 390 - 2 * 16


def of_set(name: str) -> tuple[Drawing, ...]:
    """The drawings of a set, each followed by the one for a phone if it has one."""
    made = made_of(name)
    return tuple(one for drawing in made for one in (drawing, drawing.narrow) if one is not None)


def in_millimeters(drawing: Drawing) -> bool:
    return tree(drawing).get("font-size") is None


def made_of(name: str) -> tuple[Drawing, ...]:
    match name:
        case "measured":
            return drawings(measured())
        case "hostile":
            return drawings(hostile())
        case "lift":
            found = (lift_drawing(lifted("B")), lift_drawing(lifted("A")))
            return tuple(one for one in found if one is not None)
        case "plan":
            schedule = schedule_drawing(planned())
            return () if schedule is None else (schedule,)
        case _:
            return drawings(demo(name))


@pytest.mark.parametrize("name", SETS)
def test_each_set_has_drawings(name: str) -> None:
    assert of_set(name)


@pytest.mark.parametrize("name", SETS)
def test_they_are_one_labelled_image_each(name: str) -> None:
    for drawing in of_set(name):
        root = tree(drawing)
        assert root.tag == f"{SVG}svg"
        assert root.get("role") == "img"
        if in_millimeters(drawing):
            assert root.get("aria-label") == drawing.described
            continue
        first, second = root[0], root[1]
        assert (first.tag, first.text) == (f"{SVG}title", drawing.title)
        assert (second.tag, second.text) == (f"{SVG}desc", drawing.described)
        assert root.get("aria-labelledby") == f"{first.get('id')} {second.get('id')}"


@pytest.mark.parametrize("name", [name for name in SETS if name != "lift"])
def test_names_and_ids_are_unique_on_a_page(name: str) -> None:
    found = made_of(name)
    names = [one.name for one in found]
    assert len(set(names)) == len(names)
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", one) for one in names)
    ids = [element.get("id") for one in found for element in tree(one).iter() if element.get("id")]
    assert len(set(ids)) == len(ids)


@pytest.mark.parametrize("name", SETS)
def test_hatching_that_is_used_is_there(name: str) -> None:
    for drawing in of_set(name):
        used = set(re.findall(r"url\(#([^)]+)\)", drawing.svg))
        assert used <= {element.get("id") for element in tree(drawing).iter()}


@pytest.mark.parametrize("name", SETS)
def test_ink_is_the_pages_own_and_nothing_is_loaded(name: str) -> None:
    for drawing in of_set(name):
        for element in tree(drawing).iter():
            for attribute in ("fill", "stroke"):
                value = element.get(attribute, "none")
                assert value in ("none", "currentColor", "#a3180f", "#fff") or value.startswith(f"url(#{drawing.name}-")
            assert element.tag.removeprefix(SVG) in {
                "svg", "title", "desc", "defs", "pattern", "path", "rect", "line", "circle", "text",
            }  # fmt: skip
        assert "http" not in drawing.svg.replace('xmlns="http://www.w3.org/2000/svg"', "")


@pytest.mark.parametrize("name", SETS)
def test_no_text_lies_over_another(name: str) -> None:
    for drawing in of_set(name):
        boxes = text_boxes(drawing)
        for number, (text, left, top, right, bottom) in enumerate(boxes):
            for other, left2, top2, right2, bottom2 in boxes[number + 1 :]:
                apart = right <= left2 or right2 <= left or bottom <= top2 or bottom2 <= top
                assert apart, (drawing.name, text, other)


@pytest.mark.parametrize("name", SETS)
def test_every_text_stays_on_the_sheet(name: str) -> None:
    for drawing in of_set(name):
        x, y, wide, high = map(float, tree(drawing).get("viewBox", "").split())
        for text, left, top, right, bottom in text_boxes(drawing):
            assert left >= x, (drawing.name, text)
            assert top >= y, (drawing.name, text)
            assert right <= x + wide, (drawing.name, text)
            assert bottom <= y + high, (drawing.name, text)


@pytest.mark.parametrize("name", SETS)
def test_text_is_read_on_a_phone(name: str) -> None:
    for drawing in of_set(name):
        root = tree(drawing)
        assert root.get("width") == "100%"
        if in_millimeters(drawing):
            sizes = [float(one.get("font-size", 0)) for one in root.iter(f"{SVG}text")]
            assert min(sizes) >= 7 * 25.4 / 72 - 0.01
            if drawing.width <= 80:
                assert min(sizes) * PAGE_ON_A_PHONE / drawing.width >= 11
            else:
                assert drawing.narrow is not None or drawing.width <= 87
            continue
        per_unit = PAGE_ON_A_PHONE / float(root.get("viewBox", "").split()[2])
        sizes = [float(one.get("font-size", root.get("font-size", 0))) for one in root.iter(f"{SVG}text")]
        assert min(sizes) >= SMALLEST_TEXT
        assert min(sizes) * per_unit >= 11


@pytest.mark.parametrize("name", SETS)
def test_they_are_small(name: str) -> None:
    assert all(len(drawing.svg.encode()) < 60_000 for drawing in of_set(name))


@pytest.mark.parametrize("name", SETS)
def test_they_are_alike_each_time(name: str) -> None:
    assert of_set(name) == of_set(name)


def test_hostile_names_are_text() -> None:
    found = {drawing.name: drawing for drawing in drawings(hostile())}
    assert any(HOSTILE[:8] in text for text in words(found["clearance"]))
    assert "W<31>&" in words(found["trucks-above"])
    assert any(HOSTILE[:8] in text for text in words(found["car-side"]))
    assert not [drawing.name for drawing in found.values() if "<script" in drawing.svg]


@pytest.mark.parametrize("name", ["hostile", "measured", "plan"])
def test_a_drawing_has_no_ids_that_another_on_the_page_could_have(name: str) -> None:
    for drawing in of_set(name):
        assert not [element.get("id") for element in tree(drawing).iter() if element.get("id")]
        assert "url(#" not in drawing.svg


def test_a_drawing_is_put_into_a_page() -> None:
    page = Page("Page", "", "plain", (Section("One", ()), Section("Two", ())))
    drawing = of_set("plan")[0]
    assert [one.heading for one in drawn_into(page, drawing, 1, "Drawn").sections] == ["One", "Drawn", "Two"]
    assert drawn_into(page, None, 1, "Drawn") == page


def test_what_is_not_known_is_not_drawn() -> None:
    names = {drawing.name for drawing in drawings(demo("nothing-measured"))}
    assert names == {"car-side", "trucks-above"}


def test_with_all_measured_all_is_drawn() -> None:
    assert [drawing.name for drawing in drawings(measured())] == [
        "car-side", "trucks-above", "margins", "timeline", "clearance",
    ]  # fmt: skip
