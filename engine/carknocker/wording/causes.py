"""Facts of the chain in words: what something follows from, said as the fault where it is one."""

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
from carknocker.judgement.truth import UNKNOWN
from carknocker.record.part_keys import kind_of_key
from carknocker.record.value_words import value_words
from carknocker.rulebook.clauses import Clause, Comparison
from carknocker.wording.evidence import reading_words, work_words
from carknocker.wording.facts import clause_of_state
from carknocker.wording.faults import fault_of_findings
from carknocker.wording.limits import clause_words, limit_words, path_words, requirement_words
from carknocker.wording.parts import attribute_words, label_of, part_by_key
from carknocker.wording.verdicts import unknown_words


def _state_words(fact: StateFact, label: str, index: JudgementIndex) -> str:
    """The state of a part in words; of one that can't be decided, what is not on record."""
    clause = clause_of_state(fact, index)
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
            return _finding_words(criterion, key, part(key), index)
        case SeenFact():
            return _seen_words(fact, index)
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


def _finding_words(criterion: str, key: str, label: str, index: JudgementIndex) -> str:
    """A finding as its fault; one that is met, or not there any longer, by its title."""
    finding = index.findings.get((criterion, key))
    if finding is not None and finding.unmet:
        return _wrong(finding, index)
    return f"{label}: {index.title(criterion)}" + ("" if finding is None else f" ({finding.verdict})")


def _wrong(finding: Finding, index: JudgementIndex) -> str:
    """What is wrong, within a sentence; what it must be stands with the fault itself."""
    fault = fault_of_findings([finding], index)
    return f"{fault.subject}: {fault.said}"


def _seen_words(fact: SeenFact, index: JudgementIndex) -> str:
    """What was once read beyond a limit: the fault, where it still stands; else the reading, and where the part was."""
    evidence = index.evidence.get(fact.evidence)
    if evidence is None:
        return f"{part_by_key(index.judgement.parts, fact.part)}: once not so: {index.title(fact.criterion)}"
    finding = index.findings.get((fact.criterion, evidence.part))
    if finding is not None and finding.unmet and finding.evidence == evidence:
        return _wrong(finding, index)
    read = index.judgement.parts.get(evidence.part)
    kind = kind_of_key(evidence.part) if read is None else read.kind
    return (
        f"{part_by_key(index.judgement.parts, fact.part)}: {attribute_words(kind, evidence.attribute)} "
        f"{reading_words(evidence)}, past its limit"
    )
