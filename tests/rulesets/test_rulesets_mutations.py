"""The examples of the editions catch a wrong number: each limit moved by the smallest step, each boundary flipped.

A figure moves by what the trade's tools resolve (1/64 in, 1 psi, 1 lb …), an interval by a day, a count by one. That
goes for every number: of what must hold, of what narrows it, of causes, speeds left, intervals on the road, remedies.
"""

import pytest
from rule_mutants import Mutant, mutants

from carknocker.questions.rules_check.ask import mismatches_of
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.model import Consequence, Criterion

LIBRARY = load_library(rulesets_folders(), with_examples=True)
_PLACES = ("remedy ", "renewed every", "restricts ", "every ", "cause: fact.speed", "cause: fact.hours", "when: ")
EDITIONS = [(ruleset, head.name) for ruleset, heads in LIBRARY.heads.items() for head in heads]


def _own(ruleset: str, edition: str) -> list[Criterion | Consequence]:
    """The rules that an edition writes itself, not those it takes over from the one it amends."""
    whole = LIBRARY.edition(ruleset, edition)
    return [each for each in (*whole.criteria, *whole.consequences) if each.edition == edition]


def _mutants() -> list[Mutant]:
    return [mutant for ruleset, edition in EDITIONS for each in _own(ruleset, edition) for mutant in mutants(each)]


@pytest.mark.parametrize(("ruleset", "edition"), EDITIONS)
def test_examples_say_what_the_rule_says(ruleset: str, edition: str) -> None:
    assert [wrong for rule in _own(ruleset, edition) for wrong in mismatches_of(rule)] == []


@pytest.mark.parametrize(("ruleset", "edition"), EDITIONS)
def test_every_wrong_number_is_caught_by_an_example(ruleset: str, edition: str) -> None:
    survivors = [
        f"{rule.id} at {rule.where}: {mutant.said}"
        for rule in _own(ruleset, edition)
        for mutant in mutants(rule)
        if not mismatches_of(mutant.rule)
    ]
    assert survivors == []


def test_there_are_many_numbers_to_get_wrong() -> None:
    made = _mutants()
    assert len(made) > 800
    assert sum(isinstance(mutant.rule, Consequence) for mutant in made) > 40
    for words in _PLACES:
        assert any(mutant.said.startswith(words) for mutant in made), words
