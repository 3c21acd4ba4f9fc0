"""Every example of an installed edition that breaches is said as a fault: filled, and with the limit it goes past."""

import re
from collections.abc import Iterator

import pytest

from carknocker.judgement.examples import OUT, example_finding
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Judgement
from carknocker.record.value_words import value_words
from carknocker.record.values import Figure, Interval
from carknocker.rulebook.check.faults import faults_without_words
from carknocker.rulebook.clauses import AllOf, Comparison, Fixed
from carknocker.rulebook.compose import compose
from carknocker.rulebook.library import load_library, rulesets_folders
from carknocker.rulebook.model import Criterion, Example, Rulebook
from carknocker.wording.faults import FaultLine, fault_of_findings

LIBRARY = load_library(rulesets_folders()).reading_examples()
EDITIONS = [(head.ruleset, head.name) for heads in LIBRARY.heads.values() for head in heads]


def fault(criterion: Criterion, example: Example, rulebook: Rulebook) -> FaultLine | None:
    """The fault of an example; None where it does not breach."""
    finding, sight, move = example_finding(criterion, example)
    if finding.verdict != "breached":
        return None
    situation = sight.situation
    judgement = Judgement(
        car=situation.standing.car, move=move, rulebook=rulebook, as_of=OUT, outcome="not ready", findings=(finding,),
        refusals=(), restrictions=(), duties=(), on_the_way=(), voided=(), reliefs=(), firings=(),
        parts=situation.standing.parts, situation=situation,
    )  # fmt: skip
    return fault_of_findings([finding], JudgementIndex(judgement))


def breaches(ruleset: str, name: str) -> Iterator[tuple[Criterion, Example, FaultLine]]:
    edition = LIBRARY.edition(ruleset, name)
    rulebook = compose([edition])
    for criterion in edition.criteria:
        if criterion.edition == name and (criterion.fault or criterion.effect != "advise"):
            for example in criterion.examples:
                line = fault(criterion, example, rulebook)
                if line is not None:
                    yield criterion, example, line


def figures(criterion: Criterion) -> list[str]:
    """The limits of one attribute in words, where the criterion is about one alone."""
    must = criterion.must
    clauses = must.clauses if isinstance(must, AllOf) else (must,)
    if not all(isinstance(one, Comparison) for one in clauses) or len({str(one.path) for one in clauses}) != 1:
        return []
    limits = [value for one in clauses if isinstance(one.limit, Fixed) for value in one.limit.values]
    return [value_words(value) for value in limits if isinstance(value, Figure | Interval)]


@pytest.mark.parametrize(("ruleset", "name"), EDITIONS)
def test_a_breach_is_said_as_a_fault_with_its_figures(ruleset: str, name: str) -> None:
    seen = 0
    for criterion, example, line in breaches(ruleset, name):
        where = f"{criterion.id}, {example.where}: {line.text}"
        seen += 1
        assert line.subject, where
        assert not re.search(r"[{}]|not so:|not shown|not measured|\(\)|  ", line.text), where
        assert line.said.lower() != criterion.title.lower(), where
        if line.said.startswith("failed, "):  # a test that failed: its age is not what is wrong
            continue
        limits = figures(criterion)
        assert not limits or any(limit in line.text for limit in limits) or line.must == "none", (where, limits)
    assert seen


def test_rules_that_refuse_or_restrict_have_the_words_of_their_fault() -> None:
    for ruleset, name in EDITIONS:
        assert list(faults_without_words(LIBRARY.edition(ruleset, name))) == []
