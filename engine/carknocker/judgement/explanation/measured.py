"""What a finding saw: the value that decided it, in words."""

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.criteria import CompiledComparison, CompiledCriterion
from carknocker.judgement.dates import day_of
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue, has_run_out
from carknocker.judgement.part_view import PartView
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.judgement.wording import path_words, value_words
from carknocker.record.model import Evidence
from carknocker.rulebook.clauses import Comparison, CountOf, EachOf, of_test


def measured_words(one: CompiledCriterion, leaves: list[CompiledComparison], sight: PartView, finding: Finding) -> str:
    """What was measured, of what decided the finding."""
    if finding.verdict == "withdrawn" and finding.evidence is not None:
        return _evidence_words(finding.evidence)
    if not leaves:
        return _inside_words(one, sight)
    leaf = leaves[0]
    held = leaf.get(sight)
    if held is None:
        return "not shown" if finding.evidence is None else _evidence_words(finding.evidence)
    words = _held_words(leaf.comparison, held, sight)
    others = [
        f"{path_words(other.comparison.path)}: {value_words(seen.value)}"
        for other in leaves[1:]
        if other.test(sight) == FAILS and other.comparison.path != leaf.comparison.path
        if (seen := other.get(sight)) is not None
    ]
    return "; ".join([words, *others])


def _held_words(comparison: Comparison, held: ObservedValue, sight: PartView) -> str:
    words = value_words(held.value)
    if comparison.path.attribute.type == "paper" and held.evidence is not None:
        words = _evidence_words(held.evidence)
    span = day_of(held)
    if comparison.word == "within" and span is not None:
        days = (sight.day - span.last).days
        when = f"{span.written}, {abs(days):,} days {'before' if days >= 0 else 'after'} departure"
        words = when if words == span.written else f"{words}, {when}"
    if has_run_out(held, sight.situation.move.back) and held.evidence is not None and of_test(comparison.path):
        return f"{words}, good until {held.evidence.until}"
    return words


def _evidence_words(evidence: Evidence) -> str:
    if evidence.sort == "paper":
        until = f" until {evidence.until.isoformat()}" if evidence.until is not None else ", no last day named"
        return f"on record{until}"
    words = value_words(evidence.value)
    return f"{words}, {evidence.on.isoformat()}" if evidence.on is not None else words


def _inside_words(one: CompiledCriterion, sight: PartView) -> str:
    must = one.criterion.must
    if isinstance(must, CountOf):
        keys = sight.situation.standing.inside_of(sight.key, must.kind)
        test = None if must.when is None else clause_test(must.when)
        surely = sum(test is None or test(sight.at(key)) >= NEAR for key in keys)
        return f"{surely} of {len(keys)} {must.kind}{'s' if len(keys) != 1 else ''} on record"
    if isinstance(must, EachOf):
        test = clause_test(must.must)
        parts = sight.situation.standing.parts
        keys = sight.situation.standing.inside_of(sight.key, must.kind)
        bad = [parts[key].label for key in keys if test(sight.at(key)) < NEAR]
        return f"not so: {', '.join(bad)}" if bad else f"so on all {len(keys)}"
    return "see the parts inside"
