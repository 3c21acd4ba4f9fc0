"""What refuses a car, fault by fault, and what of it no date can change."""

from collections.abc import Iterable, Sequence

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Judgement, Refusal
from carknocker.judgement.prepared_rulebook import prepare
from carknocker.rulebook.model import Consequence, Relieves
from carknocker.whatif.day_watch import decided_by_dates
from carknocker.whatif.model import Stands
from carknocker.wording.faults import alike_refusals, fault_of
from carknocker.wording.refusals import label_of_refusal

_NOT_OF_A_DATE = ("breached", "not shown", "borderline")


def stands(refusals: Iterable[Refusal], judgement: Judgement) -> tuple[Stands, ...]:
    """The refusals of a judgement, those that are one fault together."""
    index = JudgementIndex(judgement)
    return tuple(_stands(group, index) for group in alike_refusals(refusals))


def _stands(group: Sequence[Refusal], index: JudgementIndex) -> Stands:
    first = group[0]
    labels = dict.fromkeys(label for one in group if (label := label_of_refusal(one)))
    if first.finding is not None:
        title = first.finding.criterion.title
    elif first.duty is not None:
        title = first.duty.consequence.title
    else:
        title = "Against the move"
    return Stands(title, tuple(labels), fault_of(group, index).text)


def on_any_day(judgement: Judgement) -> list[Refusal]:
    """The refusals that stand on every day under the same rulebook: findings that no date decides, and that nothing
    which a date brings can relieve."""
    prepared = prepare(judgement.rulebook)
    return [
        refusal
        for refusal in judgement.refusals
        if (finding := refusal.finding) is not None
        and finding.verdict in _NOT_OF_A_DATE
        and not decided_by_dates(prepared.criterion(finding.criterion))
        and not may_be_relieved(judgement, finding.criterion.id)
    ]


def may_be_relieved(judgement: Judgement, criterion: str) -> bool:
    """Whether some consequence could relieve a criterion for a move, if its cause came about."""
    leaves = bool(judgement.car.leaves)
    return any(_may_relieve(one, criterion, leaves) for one in judgement.rulebook.consequences)


def _may_relieve(consequence: Consequence, criterion: str, leaves: bool) -> bool:
    """Whether a consequence could relieve a criterion for a move, if its cause came about."""
    for one in consequence.yields:
        if not isinstance(one, Relieves) or one.purpose != "move":
            continue
        causes = consequence.causes if one.finding_same else ()
        same = any(not cause.criteria or criterion in cause.criteria for cause in causes)
        if criterion in one.criteria or (one.named and leaves) or same:
            return True
    return False
