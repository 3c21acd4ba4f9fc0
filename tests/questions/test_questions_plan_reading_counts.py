"""`plan` counts the readings of its steps by what is not shown now, and apart what the work makes void."""

import pytest

from carknocker.questions.plan.reading_counts import reading_words
from carknocker.vocabulary import load_vocabulary
from carknocker.whatif.work.rows import Row

ATTRIBUTES = {"a": "flange_thickness", "b": "rim_thickness", "c": "flange_height"}


def row(letter, part="wheel L1"):
    attribute = load_vocabulary().kinds["wheel"].attributes[ATTRIBUTES[letter]]
    return Row(part, attribute, part, "", {}, None)


def pairs(letters, part="wheel L1"):
    return frozenset((part, ATTRIBUTES[letter]) for letter in letters)


@pytest.mark.parametrize(
    ("rows", "now", "void", "said"),
    [
        ("a", "a", "", "take 1 reading not shown now"),
        ("ab", "abc", "", "take 3 readings not shown now"),
        ("ab", "a", "", "take 1 reading not shown now, and what they call for"),
        ("ab", "a", "b", "take 1 reading not shown now; and 1 reading again"),
        ("ab", "", "ab", "take 2 readings again"),
        ("abc", "", "c", "take 3 readings: 2 new, and 1 again"),
        ("ab", "", "", "take 2 readings"),
    ],
)
def test_what_is_not_shown_now_and_what_the_work_makes_void_are_told_apart(rows, now, void, said):
    assert reading_words([row(one) for one in rows], pairs(now), pairs(void)) == said
