"""`rules check`: what can be told wrong of the rules without a car, and every example of every criterion, run."""

from collections.abc import Iterable
from pathlib import Path

import msgspec

from carknocker.documents import InputRefused, Location, Problem
from carknocker.judgement.examples import judge_example
from carknocker.questions.check_rules.words import example_words
from carknocker.rulebook import EditionHead, Library, load_library
from carknocker.rulebook.check import check_library
from carknocker.rulebook.model import Criterion, Verdict


class ExampleMismatch(msgspec.Struct, frozen=True):
    """An example whose verdict is another than it says. number: which of the criterion's, from 1."""

    where: Location
    criterion: str
    number: int
    expected: Verdict
    got: Verdict
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
    problems = check_library(library)
    counts: list[EditionCount] = []
    mismatches: list[ExampleMismatch] = []
    for heads in library.heads.values():
        for head in heads:
            count, found = _run(head, library)
            mismatches.extend(found)
            counts.extend(count)
    return RulesReport(tuple(counts), problems, tuple(sorted(mismatches, key=lambda one: one.where)))


def _run(head: EditionHead, library: Library) -> tuple[list[EditionCount], list[ExampleMismatch]]:
    """Runs the examples of one edition; one that can't be read has its problems in the report already."""
    try:
        edition = library.edition(head.ruleset, head.name)
    except InputRefused:
        return [], []
    own = [criterion for criterion in edition.criteria if criterion.edition == edition.name]
    consequences = sum(consequence.edition == edition.name for consequence in edition.consequences)
    mismatches = [mismatch for criterion in own for mismatch in mismatches_of(criterion)]
    examples = sum(len(criterion.examples) for criterion in own)
    count = EditionCount(edition.ruleset, edition.name, len(own), consequences, examples, len(mismatches))
    return [count], mismatches


def mismatches_of(criterion: Criterion) -> list[ExampleMismatch]:
    """The examples of a criterion that are judged otherwise than they say."""
    found = []
    for number, example in enumerate(criterion.examples, start=1):
        got = judge_example(criterion, example)
        if got != example.verdict:
            words = example_words(example)
            found.append(ExampleMismatch(example.where, criterion.id, number, example.verdict, got, words))
    return found
