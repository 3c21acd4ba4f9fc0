"""Each drawing stands where it belongs; none is lost, whatever it is called."""

from datetime import date

import pytest

from carknocker.cli.inputs import Place, cases_folder, read_both
from carknocker.judgement.answer import check
from carknocker.page.drawings.gallery import drawings
from carknocker.page.model import Drawing, Paragraph, Section
from carknocker.questions.check.drawing_places import place_drawings, place_of
from carknocker.rulebook import load_library, rulesets_folders


def drawing(name):
    return Drawing(name, f"title of {name}", f"what {name} shows", "<svg></svg>")


def outline(sections):
    return [(one.heading, [getattr(block, "name", "text") for block in one.blocks]) for one in sections]


MOVE = ("move", Section("The move", (Paragraph("m"),)))
BLOCKERS = ("blockers", Section("Blockers", (Paragraph("b"),)))
LAPSES = ("lapses", Section("Lapses", (Paragraph("l"),)))
MARGINS = ("margins", Section("Criteria", (Paragraph("c"),), folded=True))


def test_without_drawings_the_sections_stay_as_they_are():
    assert place_drawings((MOVE, ("blockers", None), LAPSES), ()) == (MOVE[1], LAPSES[1])


def test_the_blockers_come_before_the_picture_of_the_car():
    found = place_drawings((MOVE, BLOCKERS, LAPSES), (drawing("trucks-above"), drawing("car-side")))
    assert outline(found)[1:3] == [
        ("Blockers", ["text"]),
        ("The car, with what was found", ["trucks-above", "car-side"]),
    ]


def test_a_car_without_blockers_has_its_picture_all_the_same():
    found = place_drawings((MOVE, ("blockers", None)), (drawing("trucks-above"),))
    assert outline(found)[1] == ("The car, with what was found", ["trucks-above"])


def test_a_drawing_comes_first_in_its_section():
    assert outline(place_drawings((MOVE, LAPSES), (drawing("timeline"),)))[1] == ("Lapses", ["timeline", "text"])


def test_no_drawing_is_folded_away():
    found = place_drawings((MOVE, MARGINS), (drawing("margins"),))
    assert outline(found)[1:] == [("Margins", ["margins"]), ("Criteria", ["text"])]
    assert [one.folded for one in found] == [False, False, True]


@pytest.mark.parametrize("name", ["something-new", "timeline", "margins", "clearance"])
def test_a_drawing_without_its_section_is_shown(name):
    found = place_drawings((MOVE,), (drawing(name),))
    assert outline(found) == [("The move", ["text"]), ("Drawings", [name])]


def test_every_drawing_that_is_made_has_its_place():
    base = cases_folder()
    car, move = read_both(Place(base / "wren-hollow" / "before", base), None)
    answer = check(car, move, load_library(rulesets_folders()), date(2026, 10, 8))
    made = [one.name for one in drawings(answer)]
    assert made
    assert [name for name in made if not place_of(name)] == []
