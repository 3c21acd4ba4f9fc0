"""With every word that the vocabulary offers and does not call bad, some car can be ready by the law and by trade
practice; where none can, the reason stands here."""

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from carknocker.record import read_move_text
from carknocker.record.values import Word
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.clauses import AllOf, AnyOf, ByTable, Clause, Comparison, CountOf, EachOf, Fixed, Unanswered
from carknocker.rulebook.model import Criterion
from carknocker.vocabulary import load_vocabulary

CASES = Path(__file__).parents[2] / "cases"
HOSTS_OWN = ("kestrel-and-northern", "marrow-creek-and-eastern", "brackwater-and-inland")
TRAINS = ("passenger", "freight", "excursion")

NO_CAR = {
    ("bearing", "class", "cartridge plain"): "the law names boxes, pads and brasses, which such a bearing has not",
    ("car", "private_car", "no"): "the rules for a railroad's passenger car are not at hand (49 CFR 238.5)",
    ("move", "destination_is_the_purpose", "yes"): "then it is no excursion (49 CFR 238.5)",
    ("train", "other_passenger_service", "yes"): "then it is no excursion (49 CFR 238.3(c)(3))",
}
"""Words with which a required criterion of some train can never be met, each with the reason."""

_FAILS, _UNKNOWN, _HOLDS = 0, 1, 2


@cache
def criteria(case: str) -> tuple[Criterion, ...]:
    move = read_move_text((CASES / case / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    rulebook = load_library(rulesets_folders()).rulebooks(move).at_out
    return tuple(
        one for one in rulebook.criteria if one.ruleset not in HOSTS_OWN and one.effect in ("refuse", "restrict")
    )  # fmt: skip


class Said:
    """One word of one attribute, in one kind of train; all else may be as it likes (`free`)."""

    def __init__(self, kind: str, name: str, word: str, train: str) -> None:
        self.words = {(kind, name): word}
        self.words.setdefault(("move", "train"), train)

    def truth(self, clause: Clause, free: int) -> int:
        match clause:
            case Comparison():
                return self._compared(clause, free)
            case AllOf(clauses):
                return min(self.truth(one, free) for one in clauses)
            case AnyOf(clauses):
                return max(self.truth(one, free) for one in clauses)
            case EachOf():
                return self.truth(clause.must, free)
            case Unanswered():
                return _UNKNOWN
            case CountOf():
                return free

    def _compared(self, one: Comparison, free: int) -> int:
        if isinstance(one.limit, ByTable):
            asked = one.limit.path.value_attribute
            word = self.words.get((asked.kind, asked.name))
            listed = word is None or word in one.limit.rows or one.limit.otherwise is not None
            return free if listed else _UNKNOWN
        word = self.words.get((one.path.value_attribute.kind, one.path.value_attribute.name))
        if word is None or not isinstance(one.limit, Fixed):
            return free
        if one.word == "shown":
            return _HOLDS
        if word in one.left_open:
            return _UNKNOWN
        among = any(isinstance(value, Word) and value.text == word for value in one.limit.values)
        match one.word:
            case "is" | "one_of":
                return _HOLDS if among else _FAILS
            case "is_not" | "none_of":
                return _FAILS if among else _HOLDS
        return free

    def can_be_met(self, criterion: Criterion) -> bool:
        applies = criterion.when is None or self.truth(criterion.when, _FAILS) > _FAILS
        excepted = criterion.unless is not None and self.truth(criterion.unless, _HOLDS) == _HOLDS
        return not applies or excepted or self.truth(criterion.must, _HOLDS) == _HOLDS


def never(case: str) -> Iterator[tuple[str, str, str]]:
    for kind in load_vocabulary().kinds.values():
        for attribute in kind.attributes.values():
            for word in attribute.words:
                said = [Said(kind.name, attribute.name, word, train) for train in TRAINS]
                if word not in attribute.bad and any(not one.can_be_met(c) for one in said for c in criteria(case)):
                    yield kind.name, attribute.name, word


@pytest.mark.parametrize("case", ["larkspur/freight", "two-nations/north"])
def test_with_every_word_some_car_can_be_ready(case: str) -> None:
    assert set(never(case)) <= set(NO_CAR)


def test_each_reason_is_needed() -> None:
    assert set(never("larkspur/freight")) == set(NO_CAR)


def test_what_is_surely_refused_is_told() -> None:
    """The look at the rules finds a truck that nothing holds, which is bad news and refused."""
    said = Said("truck", "held_to_body_by", "none", "passenger")
    assert [one.id for one in criteria("larkspur/freight") if not said.can_be_met(one)] == [
        "us-federal/truck-held-to-body"
    ]
