"""Remedies as they apply to a finding, and reasons that only what is not on record gives."""

from collections.abc import Iterable

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.comparisons import getter
from carknocker.judgement.facts import (
    Fact,
    FindingFact,
    StateFact,
)
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.part_view import PartView
from carknocker.judgement.truth import NEAR, UNKNOWN
from carknocker.record.value_words import value_words
from carknocker.rulebook.clauses import Clause, Comparison
from carknocker.rulebook.model import Remedy
from carknocker.wording.limits import clause_words


def remedy_condition(remedy: Remedy, finding: Finding, index: JudgementIndex) -> bool | None:
    """Whether the remedy can work on this part. None if nothing shows whether its condition holds."""
    if remedy.condition is None:
        return True
    truth = clause_test(remedy.condition)(index.view(finding))
    return None if truth == UNKNOWN else truth >= NEAR


def remedy_words(remedy: Remedy, finding: Finding, index: JudgementIndex) -> str:
    """A remedy with its condition: whether it holds on this part, or is still to be shown."""
    note = f" ({remedy.note})" if remedy.note else ""
    if remedy.condition is None:
        return f"{remedy.work}{note}"
    words = clause_words(remedy.condition)
    seen = _seen_of(remedy.condition, finding, index)
    match remedy_condition(remedy, finding, index):
        case False:
            return f"{remedy.work}: no help here; needs {words}{f', here {seen}' if seen else ''}{note}"
        case True:
            return f"{remedy.work}: possible; needs {words}{f', here {seen}' if seen else ''}{note}"
        case _:
            return f"{remedy.work}, if {words}; not shown yet{note}"


def _seen_of(clause: Clause, finding: Finding, index: JudgementIndex) -> str:
    """The value that a condition looks at, if the condition is one comparison and its value is shown."""
    if not isinstance(clause, Comparison):
        return ""
    held = getter(clause.path)(index.view(finding))
    return "" if held is None else value_words(held.value)


UNLESS_SHOWN = "unless the record shows otherwise"
"""What is said of a restriction that comes only from what is not on record."""


def only_undecided(reasons: Iterable[Fact], index: JudgementIndex) -> bool:
    """Whether all of these reasons come from what is not on record, so that a word of the record may take them away."""
    found = tuple(reasons)
    return bool(found) and all(_is_undecided(fact, index) for fact in found)


def _is_undecided(fact: Fact, index: JudgementIndex) -> bool:
    if isinstance(fact, FindingFact):
        finding = index.findings.get((fact.criterion, fact.part))
        return finding is not None and finding.verdict == "not shown"
    if not isinstance(fact, StateFact):
        return False
    clause, situation = clause_of_state(fact, index), index.situation
    if clause is None:
        return False
    sight = PartView(situation, fact.part, situation.values_of(fact.part), situation.move.out)
    return clause_test(clause)(sight) == UNKNOWN


def clause_of_state(fact: StateFact, index: JudgementIndex) -> Clause | None:
    """The clause that a state is found by; None where it is found of every such part."""
    found = index.consequences.get(fact.consequence)
    return None if found is None or fact.cause_number >= len(found.causes) else found.causes[fact.cause_number].when
