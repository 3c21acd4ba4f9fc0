"""Which words are bad news: read from the data, and refused where they make no sense."""

import pytest

from carknocker.documents import InputRefused
from carknocker.vocabulary import load_vocabulary, vocabulary_texts
from carknocker.vocabulary.reader import read_vocabulary

KINDS = load_vocabulary().kinds


@pytest.mark.parametrize(
    ("kind", "attribute", "bad"),
    [
        ("wheel", "overheated", ("yes",)),
        ("rear marker", "marker_fitted", ("no",)),
        ("reservoir", "secure", ("no",)),
        ("coupler", "knuckle_condition", ("cracked", "broken")),
        ("axle", "welded", ("yes",)),
        ("coupler", "tight_lock", ()),
        ("wheel", "flange_thickness", ()),
    ],
)
def test_the_words_that_are_bad_news(kind: str, attribute: str, bad: tuple[str, ...]) -> None:
    assert KINDS[kind].attributes[attribute].bad == bad


def test_a_word_that_tells_damage_is_bad_wherever_it_can_be_said() -> None:
    damage = {"cracked", "broken", "missing", "bent"}
    silent = [
        (kind.name, one.name) for kind in KINDS.values() for one in kind.attributes.values()
        if damage & set(one.one_of) - set(one.bad)
    ]  # fmt: skip
    assert silent == []


def test_damage_does_not_heal_wherever_it_can_be_said() -> None:
    """A word that tells damage, where another says sound, is one that only work takes away."""
    damage = {"cracked", "broken", "missing", "bent"}
    heals = [
        (kind.name, one.name) for kind in KINDS.values() for one in kind.attributes.values()
        if damage & set(one.one_of) and "sound" in one.one_of and not one.defect
    ]  # fmt: skip
    assert heals == []
    for kind, name in (("axle", "overheated_journal"), ("bearing", "external_damage"), ("spring", "coil_broken")):
        assert KINDS[kind].attributes[name].defect


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ("{whel: {overheated: {good: no}}}", "the kind `whel`"),
        ("{wheel: {overheatd: {good: no}}}", "`overheatd`, which the kind `wheel` lacks"),
        ("{wheel: {overheated: {good: maybe}}}", "which of the two is good `maybe`"),
        ("{wheel: {overheated: {bad: [yes]}}}", "`overheated` is a yes or no"),
        ("{coupler: {knuckle_condition: {good: yes}}}", "`knuckle_condition` is a choice"),
        ("{coupler: {knuckle_condition: {bad: [craked]}}}", "`craked`"),
        ("{wheel: {flange_thickness: {bad: [thin]}}}", "`thin`"),
    ],
)
def test_what_makes_no_sense_is_refused(entry: str, words: str) -> None:
    texts = {**vocabulary_texts(), "bad_news.yaml": f"bad_news: {entry}\n"}
    with pytest.raises(InputRefused) as refused:
        read_vocabulary(texts)
    assert words in " ".join(problem.found for problem in refused.value.problems)
