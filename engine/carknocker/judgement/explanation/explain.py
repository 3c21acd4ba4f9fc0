"""A finding explained: what it measured, what was required, by how much, and why."""

import msgspec

from carknocker.judgement.criteria import CompiledComparison, CompiledCriterion, prepare
from carknocker.judgement.explanation.margin import margin_words
from carknocker.judgement.explanation.measured import measured_words
from carknocker.judgement.explanation.reasons import reason_words
from carknocker.judgement.explanation.worked import worked_lines
from carknocker.judgement.findings import view_for_must
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.part_view import PartView
from carknocker.judgement.truth import FAILS, NEAR, UNKNOWN
from carknocker.judgement.wording import clause_words, requirement_words
from carknocker.rulebook.clauses import AttributePath, Comparison


class Explanation(msgspec.Struct, frozen=True):
    """A finding in words. measured and required: of what decided it. margin: how much is to spare or short, where
    that is a figure. reason: why it is not shown, withdrawn or lapses. worked: lines of the workings that were used.
    attributes: what the criterion looks at, the deciding one first."""

    measured: str
    required: str
    margin: str
    reason: str
    worked: tuple[str, ...]
    attributes: tuple[AttributePath, ...]


def explain(judgement: Judgement, finding: Finding) -> Explanation:
    """The explanation of a finding of this judgement."""
    one = prepare(judgement.rulebook).criterion(finding.criterion)
    sight = view_for_must(one, finding.part, judgement.situation, judgement.move.out)
    leaves = _ordered(one, sight, finding)
    return Explanation(
        measured=measured_words(one, leaves, sight, finding),
        required=_required(one, leaves),
        margin=margin_words(leaves, sight, finding),
        reason=reason_words(one, leaves, sight, finding, judgement),
        worked=worked_lines(leaves, sight),
        attributes=tuple(leaf.comparison.path for leaf in leaves),
    )


def _ordered(one: CompiledCriterion, sight: PartView, finding: Finding) -> list[CompiledComparison]:
    """What decided first: what fails, for a breach; what is unknown, for what is not shown."""
    wanted = {"breached": FAILS, "not shown": UNKNOWN, "for the day": UNKNOWN, "withdrawn": UNKNOWN, "borderline": NEAR}
    truth = wanted.get(finding.verdict)
    leaves = list(one.leaves)
    if truth is not None:
        leaves.sort(key=lambda leaf: leaf.test(sight) != truth)
    elif finding.lapses_on is not None:
        later = view_for_must(one, finding.part, sight.situation, sight.situation.move.back)
        leaves.sort(key=lambda leaf: leaf.test(later) >= NEAR)
    return leaves


def _required(one: CompiledCriterion, leaves: list[CompiledComparison]) -> str:
    if len(leaves) == 1 and isinstance(one.criterion.must, Comparison):
        return requirement_words(leaves[0].comparison)
    return clause_words(one.criterion.must)
