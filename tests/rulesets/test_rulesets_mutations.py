"""The examples of the editions catch a wrong number: each limit moved by the smallest step, each boundary flipped.

A figure moves by what the trade's tools resolve (1/64 in, 1 psi, 1 lb …), an interval by a day, a count by one.
"""

import pytest
from rule_mutants import mutants

from carknocker.judgement.examples import judge_example
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.model import Criterion

LIBRARY = load_library(rulesets_folders(), with_examples=True)
EDITIONS = [(ruleset, head.name) for ruleset, heads in LIBRARY.heads.items() for head in heads]


def _own(ruleset: str, edition: str) -> list[Criterion]:
    """The criteria that an edition writes itself, not those it takes over from the one it amends."""
    return [each for each in LIBRARY.edition(ruleset, edition).criteria if each.edition == edition]


@pytest.mark.parametrize(("ruleset", "edition"), EDITIONS)
def test_examples_say_what_the_criterion_says(ruleset: str, edition: str) -> None:
    wrong = [
        f"{criterion.id}: {example.where} says {example.verdict}"
        for criterion in _own(ruleset, edition)
        for example in criterion.examples
        if judge_example(criterion, example) != example.verdict
    ]
    assert wrong == []


@pytest.mark.parametrize(("ruleset", "edition"), EDITIONS)
def test_every_wrong_number_is_caught_by_an_example(ruleset: str, edition: str) -> None:
    survivors = [
        f"{criterion.id} at {criterion.where}: {mutant.said}"
        for criterion in _own(ruleset, edition)
        for mutant in mutants(criterion)
        if all(judge_example(mutant.criterion, example) == example.verdict for example in criterion.examples)
    ]
    assert survivors == []


def test_there_are_many_numbers_to_get_wrong() -> None:
    made = sum(len(list(mutants(each))) for ruleset, edition in EDITIONS for each in _own(ruleset, edition))
    assert made > 500
