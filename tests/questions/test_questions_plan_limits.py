"""What a plan asks of a reading that several rules limit: the strictest limit on each side, once."""

from fractions import Fraction

import pytest

from carknocker.documents import Location
from carknocker.quantities import Quantity
from carknocker.record.values import Figure
from carknocker.rulebook.clauses import AttributePath, Comparison, Fixed, WordName
from carknocker.vocabulary import load_vocabulary
from carknocker.whatif.work.rows import strictest
from carknocker.wording.limits import requirement_words


def limit(word: WordName, inches: str) -> Comparison:
    path = AttributePath("", load_vocabulary().kinds["wheel"].attributes["flange_height"])
    value = Figure(Quantity.of("length", Fraction(inches), "in"))
    return Comparison(path, word, Fixed((value,)), Location("edition.yaml", 1, 1))


@pytest.mark.parametrize(
    ("limits", "said"),
    [
        ([("at_least", "31.5"), ("at_most", "34.5"), ("at_least", "32")], ["at least 32 in", "at most 34-1/2 in"]),
        ([("at_least", "32"), ("at_least", "31.5")], ["at least 32 in"]),
        ([("under", "2.5"), ("under", "2")], ["under 2 in"]),
        ([("under", "2"), ("at_most", "2")], ["under 2 in"]),  # at one figure the word that excludes it
        ([("at_most", "2"), ("under", "2")], ["under 2 in"]),
        ([("at_least", "1"), ("over", "1")], ["over 1 in"]),
        ([("under", "2"), ("at_most", "1.9375")], ["at most 1-15/16 in"]),
    ],
)
def test_of_several_limits_the_strictest_on_each_side_is_told(
    limits: list[tuple[WordName, str]], said: list[str]
) -> None:
    assert [requirement_words(one) for one in strictest([limit(*one) for one in limits])] == said
