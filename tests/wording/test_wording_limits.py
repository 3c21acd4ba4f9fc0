"""Limits in words and with signs: either way says whether exactly the limit passes."""

from typing import Any

import pytest

from carknocker.documents import Location
from carknocker.quantities import Quantity
from carknocker.record.values import Count, Figure
from carknocker.rulebook.clauses import AttributePath, Comparison, Fixed
from carknocker.vocabulary import load_vocabulary
from carknocker.wording.limits import clause_words, requirement_words


def asked(kind: str, attribute: str, word: Any, value: Figure | Count) -> Comparison:
    path = AttributePath("", load_vocabulary().kinds[kind].attributes[attribute])
    return Comparison(path, word, Fixed((value,)), Location("rules.yaml", 1, 1))


def inches(amount: int) -> Figure:
    return Figure(Quantity.of("length", amount, "in"))


@pytest.mark.parametrize(
    ("word", "said", "sign"),
    [("over", "over 1 in", "> 1 in"), ("at_least", "at least 1 in", "≥ 1 in"),
     ("under", "under 1 in", "< 1 in"), ("at_most", "at most 1 in", "≤ 1 in")],
)  # fmt: skip
def test_a_limit_in_a_sentence_and_in_a_table(word, said, sign):
    comparison = asked("wheel", "rim_thickness", word, inches(1))
    assert requirement_words(comparison) == said
    assert requirement_words(comparison, signs=True) == sign
    assert clause_words(comparison) == f"rim thickness {said}"


def test_at_most_zero_is_none_where_there_is_no_less():
    flat = asked("wheel", "flat_spot_length", "at_most", inches(0))
    assert (requirement_words(flat), requirement_words(flat, signs=True)) == ("none", "none")
    assert clause_words(flat) == "longest flat spot: none"
    assert requirement_words(asked("wheel", "flat_spot_length", "under", inches(1))) == "under 1 in"


def test_at_most_zero_of_a_difference_stays_a_figure():
    step = asked("truck", "middle_axle_step_in_diameter", "at_most", inches(0))
    assert requirement_words(step) == "at most 0 in"
