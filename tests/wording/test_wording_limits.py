"""Limits in words and with signs: either way says whether exactly the limit passes."""

from fractions import Fraction
from typing import Any

import pytest

from carknocker.documents import Location
from carknocker.quantities import Quantity
from carknocker.record.value_words import value_words
from carknocker.record.values import Bound, Count, Figure, Word
from carknocker.rulebook.clauses import AllOf, AnyOf, AttributePath, Comparison, CountOf, Fixed, FromPart
from carknocker.vocabulary import load_vocabulary
from carknocker.wording.limits import clause_words, requirement_words

WHERE = Location("rules.yaml", 1, 1)


def asked(kind: str, attribute: str, word: Any, value: Figure | Count) -> Comparison:
    path = AttributePath("", load_vocabulary().kinds[kind].attributes[attribute])
    return Comparison(path, word, Fixed((value,)), WHERE)


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


def test_at_most_zero_of_a_difference_is_not_larger():
    step = asked("truck", "middle_axle_step_in_diameter", "at_most", inches(0))
    words = "middle axle against the end axles, by diameter: not larger"
    assert (requirement_words(step), requirement_words(step, signs=True)) == ("not larger", "not larger")
    assert clause_words(step) == words
    assert requirement_words(asked("truck", "middle_axle_step_in_diameter", "at_most", inches(1))) == "at most 1 in"


def test_a_difference_in_tapes_says_which_is_smaller():
    said = {n: value_words(Figure(Quantity.of("tapes", n))) for n in (-2, -1, 0, 1)}
    assert said == {-2: "2 tapes smaller", -1: "1 tape smaller", 0: "0 tapes", 1: "1 tape"}


def test_a_number_of_things_stands_behind_a_colon_and_one_of_others_is_as_many_as_those():
    """`control valves that work their brake at least the control valves` takes a second reading."""
    kinds = load_vocabulary().kinds["brake system"].attributes
    path = AttributePath("", kinds["control_valves_operative"])
    one = Comparison(path, "at_least", Fixed((Count(1),)), WHERE)
    all_of_them = Comparison(path, "at_least", FromPart(AttributePath("", kinds["control_valves"])), WHERE)
    assert clause_words(one) == "control valves that work their brake: at least 1"
    both = AllOf((one, all_of_them))
    assert clause_words(both) == (
        "control valves that work their brake: at least 1 and as many as the control valves on the car"
    )
    assert clause_words(both, signs=True) == (
        "control valves that work their brake: ≥ 1, ≥ the control valves on the car"
    )


def test_two_limits_of_one_figure_are_joined_by_and():
    low, high = (asked("coupler", "coupler_height", word, inches(n)) for word, n in (("at_least", 32), ("at_most", 34)))
    assert clause_words(AllOf((low, high))) == "coupler height: at least 32 in and at most 34 in"
    assert clause_words(AllOf((low, high)), signs=True) == "coupler height: ≥ 32 in, ≤ 34 in"


def test_a_difference_below_zero_has_its_word_and_a_figure_that_goes_down_its_sign():
    """A wheel 1 tape smaller is 1/8 in/pi smaller in diameter, 0.0398 in (a tape is 1/8 in of circumference)."""
    low, high = (Quantity.of("length", Fraction(-398, 10_000) + n * Fraction(1, 10**9), "in") for n in (0, 1))
    assert value_words(Bound(low, False, high, False), "smaller") == "0.040 in smaller"
    assert value_words(inches(-1), "smaller") == "1 in smaller"
    assert value_words(inches(1), "smaller") == "1 in"
    assert value_words(inches(-1)) == "-1 in"  # a body that sags 1 in
    signed = [one for kind in load_vocabulary().kinds.values() for one in kind.attributes.values() if one.signed]
    assert [one.name for one in signed if not one.below_zero] == ["body_camber"]  # up or down, and no difference


def word_is(kind: str, attribute: str, *words: str, owner: str = "") -> Comparison:
    path = AttributePath(owner, load_vocabulary().kinds[kind].attributes[attribute])
    word: Any = "is" if len(words) == 1 else "one_of"
    return Comparison(path, word, Fixed(tuple(map(Word, words))), WHERE)


def test_alternatives_have_brackets_only_where_one_could_read_past_them():
    direct = word_is("brake system", "release_mode", "direct", "either")
    train = word_is("train", "release_mode", "graduated", owner="train")
    assert clause_words(AnyOf((direct, train))) == (
        "release mode: direct or either, or release mode of the train: graduated"
    )
    assert clause_words(AnyOf((AllOf((direct, train)), direct))) == (
        "(release mode: direct or either; release mode of the train: graduated) or (release mode: direct or either)"
    )
    assert clause_words(AllOf((AnyOf((direct, train)), word_is("brake system", "cut_out", "no")))) == (
        "(release mode: direct or either, or release mode of the train: graduated); brake cut out: no"
    )
    either = CountOf("brake system", AnyOf((direct, train)), "at_least", 1, WHERE)
    assert clause_words(either) == (
        "a brake system with (release mode: direct or either, or release mode of the train: graduated)"
    )


@pytest.mark.parametrize(
    ("kind", "attribute", "said"),
    [("train", "minimum_shoe_thickness", "at least the least shoe thickness that the railroad sets"),
     ("side bearing", "makers_clearance", "at least the maker's clearance limit")],
)  # fmt: skip
def test_a_limit_that_is_on_record_is_named_without_its_owner(kind, attribute, said):
    limit = load_vocabulary().kinds[kind].attributes[attribute]
    path = AttributePath("", load_vocabulary().kinds["brake shoe"].attributes["thickness"])
    owner = "train" if kind == "train" else ""
    comparison = Comparison(path, "at_least", FromPart(AttributePath(owner, limit)), WHERE)
    assert requirement_words(comparison) == said


def test_a_count_with_a_yes_says_only_what_is_so():
    cut_out, working = (word_is("brake system", "cut_out", word) for word in ("yes", "no"))
    assert clause_words(CountOf("brake system", cut_out, "at_least", 1, WHERE)) == "a brake system with brake cut out"
    assert (
        clause_words(CountOf("brake system", working, "at_least", 1, WHERE)) == "a brake system with brake cut out: no"
    )
