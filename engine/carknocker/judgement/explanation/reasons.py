"""Why a finding is void, lapses, is not shown or does not apply."""

from carknocker.judgement.criteria import CompiledComparison, CompiledCriterion
from carknocker.judgement.explanation.unknown import why_unknown
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.part_view import PartView
from carknocker.judgement.truth import FAILS, NEAR, UNKNOWN
from carknocker.judgement.wording import clause_words


def reason_words(
    one: CompiledCriterion, leaves: list[CompiledComparison], sight: PartView, finding: Finding, judgement: Judgement
) -> str:
    """The reason for a verdict; empty where its figures say it."""
    words = _of_verdict(one, leaves, sight, finding, judgement)
    if not finding.unmet or not one.may_come_under:
        return words
    return "; ".join(each for each in (_comes_under(one, sight), words) if each)


def _comes_under(one: CompiledCriterion, sight: PartView) -> str:
    """Why a part is judged that is not under the criterion on departure."""
    criterion, sight = one.criterion, _by_anyone(sight)
    if one.when is not None and one.when(sight) == FAILS and criterion.when is not None:
        return f"it comes to apply during the move ({clause_words(criterion.when)})"
    if one.unless is not None and one.unless(sight) >= NEAR and criterion.unless is not None:
        return f"its exception ends during the move ({clause_words(criterion.unless)})"
    return ""


def _of_verdict(
    one: CompiledCriterion, leaves: list[CompiledComparison], sight: PartView, finding: Finding, judgement: Judgement
) -> str:
    match finding.verdict:
        case "withdrawn":
            excluded = sight.situation.excluded
            return excluded.get(finding.evidence.id, "void") if finding.evidence is not None else "void"
        case "lapses":
            last = finding.lapses_on
            return f"good until {last.isoformat()}; the move ends {judgement.move.back.isoformat()}" if last else ""
        case "not shown" | "for the day":
            return _why_not_shown(one, leaves, sight)
        case "not applicable":
            return _why_not_applicable(one, sight)
        case _:
            if finding.lapses_on is not None:
                return f"good until {finding.lapses_on.isoformat()}, then to be renewed on the way"
            return ""


def _by_anyone(sight: PartView) -> PartView:
    """The same look with what anyone read: so `when` and `unless` are asked."""
    return PartView(sight.situation, sight.key, sight.situation.view(sight.key), sight.day)


def _why_not_applicable(one: CompiledCriterion, sight: PartView) -> str:
    criterion, sight = one.criterion, _by_anyone(sight)
    if one.when is not None and one.when(sight) == FAILS and criterion.when is not None:
        return f"it applies where {clause_words(criterion.when)}"
    if one.unless is not None and one.unless(sight) >= NEAR and criterion.unless is not None:
        return f"it does not apply where {clause_words(criterion.unless)}"
    return "it asks about the place, and this part is not fitted"


def _why_not_shown(one: CompiledCriterion, leaves: list[CompiledComparison], sight: PartView) -> str:
    criterion, asked = one.criterion, _by_anyone(sight)
    unsure = [
        clause_words(clause)
        for test, clause in ((one.when, criterion.when), (one.unless, criterion.unless))
        if test is not None and clause is not None and test(asked) == UNKNOWN
    ]
    if unsure:
        return f"nothing shows whether it applies ({'; '.join(unsure)})"
    reasons: dict[str, None] = {}
    for leaf in leaves:
        if leaf.test(sight) == UNKNOWN:
            reasons[why_unknown(leaf, sight)] = None
    if not reasons:
        return "some part inside has no reading that counts"
    return "; ".join(reasons)
