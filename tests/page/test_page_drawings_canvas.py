"""The sheet itself: what is written is text, what is measured is not exceeded, marks follow the verdict."""

import xml.etree.ElementTree as ET

import pytest
from drawing_samples import SVG, asked, indexed, texts
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from carknocker.documents.visible_text import one_line
from carknocker.judgement.model import Finding
from carknocker.page.drawings.canvas import PHONE, Canvas
from carknocker.page.drawings.marks import NO_MARK, OPEN, Mark, mark_of, worst_mark
from carknocker.page.drawings.text_width import SMALL, shortened, text_width, wrapped_lines

ANYTHING = st.text(max_size=60)


@given(ANYTHING, ANYTHING, ANYTHING)
def test_whatever_is_written_comes_out_as_that_text(words: str, title: str, described: str) -> None:
    canvas = Canvas("any", PHONE)
    canvas.text(1, 2, words)
    root = ET.fromstring(canvas.finish(10, title, described).svg)
    assert [one.text or "" for one in root.iter(f"{SVG}text")] == [one_line(words)]
    assert root.get("aria-label") == one_line(described)
    assert len(list(root.iter())) == 2


@given(ANYTHING, st.floats(9, 80), st.integers(1, 4))
def test_lines_are_no_wider_than_their_room(words: str, room: float, most: int) -> None:
    lines = wrapped_lines(words, room, SMALL, most=most)
    assert len(lines) <= most
    assert all(text_width(line, SMALL) <= room for line in lines)
    assert text_width(shortened(words, room, SMALL), SMALL) <= room


@given(st.lists(st.sampled_from(["flange", "of", "wheel", "R5", "and", "axle"]), min_size=1, max_size=9))
def test_no_word_is_lost_where_there_is_room(words: list[str]) -> None:
    assert " ".join(wrapped_lines(" ".join(words), 27, most=9)) == " ".join(words)


def test_a_figure_is_not_parted_from_its_unit() -> None:
    assert wrapped_lines("This car: 10 ft 1 in wide, 14 ft 3 in high", 38) == [
        "This car: 10 ft 1 in wide,",
        "14 ft 3 in high",
    ]


def test_a_long_word_is_broken_after_its_hyphen() -> None:
    assert wrapped_lines("grease-lubricated roller", 14, SMALL) == ["grease-", "lubricated", "roller"]


def test_bold_is_wider() -> None:
    assert text_width("breached", bold=True) > text_width("breached")


def test_hatching_is_made_of_single_lines() -> None:
    canvas = Canvas("bare", PHONE)
    canvas.box(0, 0, 5, 5, fill="tint")
    canvas.hatched(0, 0, 5, 5)
    svg = canvas.finish(9, "", "").svg
    assert "pattern" not in svg
    assert svg.count("<path") == 1


def finding(verdict: str) -> Finding:
    found = next(one for one in indexed(asked(*texts("wren-hollow/before"))).judgement.findings if one.unmet)
    return Finding(replace(found.criterion, effect="refuse"), found.part, verdict, None, unmet=True)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("verdict", "mark"),
    [
        ("breached", Mark("breached", "against")),
        ("void", Mark("void", "against")),
        ("lapses", Mark("lapses", "against")),
        ("not shown", OPEN),
        ("borderline", Mark("near the limit", "near")),
    ],
)
def test_each_verdict_has_its_word_and_line(verdict: str, mark: Mark) -> None:
    assert mark_of(finding(verdict)) == mark


def test_what_only_restricts_or_advises_says_so() -> None:
    one = finding("breached")
    one.criterion = replace(one.criterion, effect="advise")
    assert mark_of(one) == Mark("breached, advice", "aside")
    one.criterion = replace(one.criterion, effect="restrict")
    assert mark_of(one) == Mark("breached, restricts", "aside")


def test_what_is_relieved_has_no_mark() -> None:
    one = finding("breached")
    one.relieved = True
    assert mark_of(one) == NO_MARK


def test_what_stands_against_the_move_matters_most() -> None:
    against = Mark("breached", "against")
    assert worst_mark([OPEN, NO_MARK, against]) == against
    assert worst_mark([NO_MARK, OPEN]) == OPEN
    assert worst_mark([]) == NO_MARK
