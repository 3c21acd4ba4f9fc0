"""Worked examples of a criterion: the verdict, and what else they say of it."""

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.examples import example_finding
from carknocker.judgement.model import Finding, RestrictionInForce
from carknocker.judgement.restrictions import speed_limits
from carknocker.judgement.truth import NEAR
from carknocker.quantities import Quantity
from carknocker.questions.check_rules.occasions import renewals_of
from carknocker.record.values import Figure
from carknocker.rulebook.model import Criterion, Example
from carknocker.wording.rules import capped_words, times_words


def judged_words(criterion: Criterion, example: Example) -> tuple[str, str]:
    """What an example says, and what comes of it: alike where it is judged as it says."""
    finding, sight, move = example_finding(criterion, example)
    expected, got = [str(example.verdict)], [str(finding.verdict)]
    if example.clears is not None:
        works = dict.fromkeys(
            remedy.work
            for remedy in criterion.remedies
            if remedy.condition is None or clause_test(remedy.condition)(sight) >= NEAR
        )
        expected.append(_cleared(example.clears))
        got.append(_cleared(tuple(works)))
    if example.times is not None:
        expected.append(times_words(example.times))
        got.append(times_words(renewals_of(finding, move)))
    if example.capped_at is not None:
        expected.append(capped_words(example.capped_at))
        got.append(capped_words(_capped_at(finding, example)))
    return "; ".join(expected), "; ".join(got)


def _cleared(works: tuple[str, ...]) -> str:
    return f"cleared by {', '.join(sorted(works))}" if works else "cleared by nothing"


def _capped_at(finding: Finding, example: Example) -> Quantity | None:
    """The least speed that the finding leaves, if it restricts."""
    if not finding.unmet:
        return None
    train = example.given.get("train.speed")
    in_force = [RestrictionInForce(one, (), finding.criterion.id) for one in finding.criterion.restrictions]
    return min(speed_limits(in_force, train.quantity if isinstance(train, Figure) else None), default=None)
