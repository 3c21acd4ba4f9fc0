"""Asks a ruleset what it says about one value of one part: the way in for the checks against its sources."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from carknocker.documents import Node, ProblemList, read_document
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.examples import judge_example
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.example_reader import read_example
from carknocker.rulebook.model import Criterion, Edition, Requires
from carknocker.rulebook.reading_context import Context, Subject, VocabularyLookup
from carknocker.vocabulary import load_vocabulary

NO_TEXT = "no text applies"
_WORST_FIRST = ("breached", "not shown", "void", "lapses", "borderline", "for the day", "met")
_ROW = re.compile(
    r"(?P<section>.+) \((?P<edition>\d{4})\) \| (?P<train>.+) \| (?P<kind>.+) \| (?P<facts>.+) \| (?P<verdict>.+)"
)
_TRAIN = re.compile(r"(?P<kind>passenger|freight|excursion)(?: by part (?P<part>\d+))?")


@dataclass(frozen=True, slots=True)
class Row:
    """One check: what a section of an edition says about a kind of part of which `facts` are known."""

    section: str
    edition: str
    kind: str
    facts: str
    verdict: str

    def __str__(self) -> str:
        return f"{self.section}: {self.facts}"


def table(text: str) -> list[Row]:
    """The rows of a table. A line that ends with a comma goes on in the next; one with `#` in front is a remark.

    The train is `passenger`, `freight`, `excursion`, one of these `by part 215` where the host has agreed that text
    for the wheels, or `any train`.
    """
    lines = [line.strip() for line in text.splitlines()]
    joined = "\n".join(line for line in lines if line and not line.startswith("#")).replace(",\n", ", ")
    return [_row(line) for line in joined.splitlines()]


def _row(line: str) -> Row:
    found = _ROW.fullmatch(line)
    assert found is not None, line
    facts = found["facts"]
    train = _TRAIN.fullmatch(found["train"])
    assert train is not None or found["train"] == "any train", line
    if train is not None:
        facts += f", move.train: {train['kind']}"
        if train["part"]:
            facts += f", move.wheel_text: 49 CFR {train['part']}, car.designed_to_carry: the public"
    return Row(found["section"], found["edition"], found["kind"], facts, found["verdict"])


def reading_of(
    kind: str, facts: str, edition: str, ruleset: str = "us-federal", effects: tuple[str, ...] = ("refuse",)
) -> str:
    """The worst verdict of the refusing criteria that ask for the first of the facts, on a part with all of them.

    facts: as an example of an edition writes them. The result is NO_TEXT if no such criterion applies to the part.
    """
    node = _read(facts)
    attribute = node.keys()[0]
    asked = [each for each in _asking(kind, attribute, _edition(edition, ruleset)) if each.effect in effects]
    assert asked, f"no criterion of {edition} asks a {kind} for {attribute}"
    problems = ProblemList()
    example = read_example(node, Subject((kind,)), Context(problems, VocabularyLookup(load_vocabulary())))
    problems.refuse_if_any()
    assert example is not None
    verdicts = {judge_example(criterion, example) for criterion in asked}
    return next((verdict for verdict in _WORST_FIRST if verdict in verdicts), NO_TEXT)


def duty_words(consequence: str, edition: str) -> str:
    """What a consequence requires, in the words of the edition."""
    found = next(one for one in _edition(edition, "us-federal").consequences if one.name == consequence)
    return " ".join(given.words for given in found.yields if isinstance(given, Requires))


@cache
def _edition(name: str, ruleset: str) -> Edition:
    return load_library(rulesets_folders(), only=frozenset({ruleset})).edition(ruleset, name)


def _read(facts: str) -> Node:
    problems = ProblemList()
    node = read_document(f"{{{facts}, is: met}}", "facts of a check", problems)
    problems.refuse_if_any()
    assert node is not None
    return node


def _asking(kind: str, attribute: str, edition: Edition) -> Iterator[Criterion]:
    for criterion in edition.criteria:
        asked = {str(comparison.path) for comparison in comparisons_in(criterion.must, parts_inside=False)}
        if criterion.of == kind and attribute in asked:
            yield criterion
