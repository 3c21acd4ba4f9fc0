"""The glossary: every term in few plain words, explained on a page that uses it and on no other."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.documents import InputRefused
from carknocker.page.model import (
    Blanks,
    Box,
    Boxes,
    Bullets,
    Drawing,
    Item,
    Leaf,
    Paragraph,
    Rows,
    Section,
    Table,
    Tree,
    texts_of,
)
from carknocker.wording.glossary import read_terms, terms, terms_in


def names(texts):
    return [term.term for term in terms_in(texts) if not term.always]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Flange thicker than 7/8 in", ["flange"]),
        ("FLANGES", ["flange"]),
        ("reflanged", []),
        ("a wheelset", ["wheelset"]),
        ("the bolster, cracked", ["bolster"]),
        ("journal centers", ["journal"]),
        ("nothing of the trade", []),
    ],
)
def test_a_term_is_found_as_a_whole_word(text, found):
    assert names([text]) == found


def test_some_words_are_explained_on_every_page():
    assert [term.term for term in terms_in([])] == [term.term for term in terms() if term.always]


@pytest.mark.parametrize("term", terms(), ids=lambda term: term.term)
def test_a_definition_is_short_and_does_not_define_by_itself(term):
    assert len(term.said) < 180
    assert term.said[0].isupper()
    assert term.said.endswith(".")
    first = re.sub(r"\W+", " ", term.said).casefold()
    assert not first.startswith(f"a {term.term.casefold()} ")


def test_no_term_is_written_twice_or_in_two_ways():
    forms = [form.casefold() for term in terms() for form in term.forms]
    assert len(forms) == len(set(forms))


def test_the_terms_are_in_the_order_of_the_alphabet_on_a_page():
    found = [term.term.casefold() for term in terms_in(form for term in terms() for form in term.forms)]
    assert found == sorted(found)
    assert len(found) == len(terms())


def test_texts_of_every_kind_of_block_are_looked_at():
    blocks = (
        Paragraph("1"), Rows((("2", "3"),)), Bullets(("4",)), Box("5", ("6",)), Boxes((("7", "8"),)),
        Blanks((("9", "10"),)), Tree((Leaf("11", ("12",), (Leaf("13"),)),)), Table("14", ("15",), (("16",),)),
        Drawing("x", "17", "18", "<svg/>"), Item("19", (Bullets(("20",)),)),
    )  # fmt: skip
    found = set(texts_of([Section("0", blocks)]))
    assert found == {str(number) for number in range(21)}


@pytest.mark.parametrize("text", ["flange: {}", "flange: {said: x, sad: y}", "flange: {sad: x}"])
def test_a_bad_glossary_is_refused(text):
    with pytest.raises(InputRefused):
        read_terms(text, "terms.yaml")


@given(st.lists(st.text(max_size=30)))
def test_any_text_can_be_looked_through(texts):
    assert all(
        any(form.casefold() in "\n".join(texts).casefold() for form in one.forms) or one.always
        for one in terms_in(texts)
    )
