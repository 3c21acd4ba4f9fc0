"""The question `words`: what may be written, found by its own name and by what people call it."""

import pytest

from carknocker.judgement.names import NotFound
from carknocker.page.text import text_of
from carknocker.questions.words.ask import every_name, words_of_name
from carknocker.questions.words.page import words_page


def test_a_key_has_its_words_its_place_and_its_other_names() -> None:
    (one,) = words_of_name("bearing.class").keys
    assert one.says == (
        "sealed tapered cartridge, grease-lubricated roller, oil-lubricated roller, plain, cartridge plain"
    )
    assert one.place == "under `bearings:`"
    assert "NFL" in dict(one.words)["sealed tapered cartridge"]


@pytest.mark.parametrize(
    ("asked", "of"),
    [("bogie", "truck"), ("trucks", "truck"), ("hand_brake", "hand brake"), ("SCT", "single-car brake test"),
     ("slid wheels", "slid wheels")],
)  # fmt: skip
def test_a_part_or_an_entry_is_found_by_what_people_call_it(asked: str, of: str) -> None:
    assert words_of_name(asked).of == of


def test_a_test_has_its_facts() -> None:
    keys = {one.key: one.says for one in words_of_name("single-car brake test").keys}
    assert keys["code"] == "manual, automated, four-pressure, passenger"
    assert keys["device_due"] == "a day such as 2026-09-12"


def test_a_key_that_is_worked_out_is_none_to_write() -> None:
    with pytest.raises(NotFound, match="no key `diameter` of wheel; did you mean `measured_diameter`"):
        words_of_name("wheel.diameter")


def test_a_name_that_means_nothing_is_refused() -> None:
    with pytest.raises(NotFound, match="no part, key, test"):
        words_of_name("quux")


def test_without_a_name_all_parts_are_listed() -> None:
    page = text_of(words_page(every_name()), 100)
    assert "`trucks:`" in page
    assert "bogie" in page
