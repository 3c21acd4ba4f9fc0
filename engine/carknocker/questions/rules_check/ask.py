"""`rules check`: what can be told wrong of the rules without a car, and every example of every rule, run."""

from collections.abc import Iterable, Iterator
from pathlib import Path

import msgspec

from carknocker.documents import InputRefused, Location, Problem
from carknocker.questions.rules_check.worked_examples import follow, followed_words, judged_words
from carknocker.rulebook import EditionHead, Library, load_library
from carknocker.rulebook.check import check_library
from carknocker.rulebook.check.faults import faults_without_words
from carknocker.rulebook.model import Consequence, ConsequenceExample, Criterion, Example
from carknocker.wording.rules import given_words


class ExampleMismatch(msgspec.Struct, frozen=True):
    """An example of which another thing comes than it says. number: which of the rule's, from 1. expected, got: the
    verdict, or what follows, with whatever else the example says of it."""

    where: Location
    rule: str
    number: int
    expected: str
    got: str
    given: str


class EditionCount(msgspec.Struct, frozen=True):
    """What an edition adds of its own: what it takes over from the one it amends is counted there."""

    ruleset: str
    edition: str
    criteria: int
    consequences: int
    examples: int
    mismatches: int


class RulesReport(msgspec.Struct, frozen=True):
    """problems: at their place in the files, paths to the car included. mismatches: examples that say otherwise."""

    editions: tuple[EditionCount, ...]
    problems: tuple[Problem, ...]
    mismatches: tuple[ExampleMismatch, ...]

    @property
    def ok(self) -> bool:
        return not self.problems and not self.mismatches

    @property
    def examples(self) -> int:
        """How many examples were run."""
        return sum(edition.examples for edition in self.editions)


def check_rules(folders: Iterable[Path]) -> RulesReport:
    """Checks every edition in some folders. Rules that are wrong, however wrong, are problems of the report."""
    try:
        library = load_library(folders, with_examples=True)
    except InputRefused as error:
        return RulesReport((), error.problems, ())
    problems = [*check_library(library)]
    counts: list[EditionCount] = []
    mismatches: list[ExampleMismatch] = []
    for heads in library.heads.values():
        for head in heads:
            count, found, lacking = _run(head, library)
            mismatches.extend(found)
            counts.extend(count)
            problems.extend(lacking)
    problems.sort(key=lambda problem: (problem.where, problem.found))
    return RulesReport(tuple(counts), tuple(problems), tuple(sorted(mismatches, key=lambda one: one.where)))


def _run(head: EditionHead, library: Library) -> tuple[list[EditionCount], list[ExampleMismatch], list[Problem]]:
    """Runs the examples of one edition, and looks for the words of its faults. One that can't be read has
    its problems in the report already."""
    try:
        edition = library.edition(head.ruleset, head.name)
    except InputRefused:
        return [], [], []
    own = [criterion for criterion in edition.criteria if criterion.edition == edition.name]
    consequences = [consequence for consequence in edition.consequences if consequence.edition == edition.name]
    rules: list[Criterion | Consequence] = [*own, *consequences]
    mismatches = [mismatch for rule in rules for mismatch in mismatches_of(rule)]
    examples = sum(len(rule.examples) for rule in rules)
    count = EditionCount(edition.ruleset, edition.name, len(own), len(consequences), examples, len(mismatches))
    return [count], mismatches, list(faults_without_words(edition))


def mismatches_of(rule: Criterion | Consequence) -> list[ExampleMismatch]:
    """The examples of a rule of which another thing comes than they say."""
    return [
        ExampleMismatch(example.where, rule.id, number, expected, got, given_words(example))
        for number, (example, expected, got) in enumerate(_run_examples(rule), start=1)
        if got != expected
    ]


def _run_examples(rule: Criterion | Consequence) -> Iterator[tuple[Example | ConsequenceExample, str, str]]:
    """Each example with what it says and what comes of it."""
    if isinstance(rule, Criterion):
        for example in rule.examples:
            yield example, *judged_words(rule, example)
    else:
        for given in rule.examples:
            yield given, *followed_words(given, follow(rule, given))
