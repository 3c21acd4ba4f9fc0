"""Facts of the chain in words, and remedies as they apply to a finding."""

from collections.abc import Iterable

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.comparisons import getter
from carknocker.judgement.explanation import NothingOnRecord, Undecided, UnknownValue, undecided_in
from carknocker.judgement.facts import (
    DutyFact,
    EntryFact,
    Fact,
    FindingFact,
    LeaveFact,
    PassedTestFact,
    RelievedFact,
    RestrictedFact,
    SeenFact,
    StateFact,
    StoppedFact,
    UnfitFact,
    VoidFact,
)
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.part_view import PartView
from carknocker.judgement.truth import NEAR, UNKNOWN
from carknocker.record.value_words import value_words
from carknocker.rulebook.clauses import Clause, Comparison
from carknocker.rulebook.model import Remedy
from carknocker.wording.evidence import work_words
from carknocker.wording.limits import clause_words, limit_words, path_words, requirement_words
from carknocker.wording.parts import label_of
from carknocker.wording.verdicts import unknown_words


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


def _state_words(fact: StateFact, label: str, index: JudgementIndex) -> str:
    """The state of a part in words; of one that can't be decided, what is not on record."""
    clause = _clause_of(fact, index)
    if clause is None:
        return f"asked of every such part ({label})"
    words, situation = clause_words(clause), index.situation
    sight = PartView(situation, fact.part, situation.values_of(fact.part), situation.move.out)
    if clause_test(clause)(sight) != UNKNOWN:
        return f"{_shown_words(clause, sight) or words} ({label})"
    unknown = undecided_in(clause, sight)
    missing = "; ".join(dict.fromkeys(map(_missing_words, unknown)))
    if not missing:
        return f"{label}: the record does not say whether this holds: {words}"
    if isinstance(clause, Comparison) and clause.word != "shown":
        may_be = f"other than {limit_words(clause.limit)}" if clause.word == "none_of" else requirement_words(clause)
        return f"{label}: {missing}, so it may be {may_be}"
    may_be = "this may apply" if isinstance(clause, Comparison) else f"this may hold: {words}"
    return f"{label}: {missing}, so {may_be}"


def _shown_words(clause: Clause, sight: PartView) -> str:
    """What the record says where a state is one of several words: `type of control valve: UC`; empty for any other."""
    if not isinstance(clause, Comparison) or clause.word not in ("is", "one_of"):
        return ""
    held = getter(clause.path)(sight)
    return "" if held is None else f"{path_words(clause.path)}: {value_words(held.value)}"


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
    clause, situation = _clause_of(fact, index), index.situation
    if clause is None:
        return False
    sight = PartView(situation, fact.part, situation.values_of(fact.part), situation.move.out)
    return clause_test(clause)(sight) == UNKNOWN


def _clause_of(fact: StateFact, index: JudgementIndex) -> Clause | None:
    """The clause that a state is found by; None where it is found of every such part."""
    found = index.consequences.get(fact.consequence)
    return None if found is None or fact.cause_number >= len(found.causes) else found.causes[fact.cause_number].when


def _missing_words(unknown: UnknownValue) -> str:
    """`truck frame not on record`, `place in the train anywhere`; of a value that is there and settles nothing, why."""
    if isinstance(unknown.why, Undecided):
        return f"{path_words(unknown.path)} {value_words(unknown.why.value)}"
    if isinstance(unknown.why, NothingOnRecord) and not unknown.why.read:
        return f"{path_words(unknown.path)} not on record"
    return unknown_words(unknown)


def fact_words(fact: Fact, index: JudgementIndex) -> str:
    """A fact of the chain in words."""
    judgement = index.judgement

    def part(key: str) -> str:
        found = judgement.parts.get(key)
        return key if found is None else label_of(found)

    match fact:
        case FindingFact(criterion, key):
            finding = index.findings.get((criterion, key))
            verdict = "" if finding is None else finding.verdict
            return f"{part(key)}: {index.title(criterion)}" + (f" ({verdict})" if verdict else "")
        case SeenFact(criterion, _, place):
            return f"{part(place)}: “{index.title(criterion)}” not met"
        case EntryFact(identifier):
            entry = index.work.get(identifier)
            return identifier if entry is None else work_words(entry)
        case StateFact(part=key):
            return _state_words(fact, part(key), index)
        case PassedTestFact(evidence):
            return f"test {evidence}"
        case LeaveFact(identifier):
            return f"written permission {identifier}"
        case UnfitFact(key):
            return f"{part(key)} is unfit"
        case DutyFact(consequence=consequence, part=key):
            return f"{part(key)}: {index.title(consequence)}"
        case RestrictedFact(words=words):
            return words
        case VoidFact(evidence):
            return f"void: {evidence}"
        case RelievedFact(criterion, key):
            return f"{part(key)}: relieved of “{index.title(criterion)}”"
        case StoppedFact(consequence, key):
            return f"{part(key)}: “{index.title(consequence)}” does not follow"
        case _:
            return " ".join(fact.name)
