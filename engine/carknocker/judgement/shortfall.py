"""What a `must` compared on a part itself: each value beside its limit, and which of them fail."""

from datetime import date

import msgspec

from carknocker.judgement.criteria import CompiledComparison
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.rulebook.clauses import Comparison


class Compared(msgspec.Struct, frozen=True):
    """One comparison. value: None where nothing that counts shows it. limit: None where nothing tells it; of several,
    the first. fails: whether it is not so; near: whether by less than the gauge resolves."""

    comparison: Comparison
    value: ObservedValue | None
    limit: ObservedValue | None
    fails: bool
    near: bool


def compared(finding: Finding, index: JudgementIndex, day: date | None = None) -> tuple[Compared, ...]:
    """The comparisons that decided a finding, in the order of its criterion. day: of the look; else of departure."""
    sight = index.view(finding, day)
    return tuple(_compared(leaf, sight) for leaf in index.compiled(finding.criterion).leaves)


def _compared(leaf: CompiledComparison, sight: PartView) -> Compared:
    truth = leaf.test(sight)
    comparison = leaf.comparison
    limit = None if comparison.word in ("shown", "in_force", "failed") else limit_getter(comparison)(sight)
    return Compared(comparison, leaf.get(sight), limit, truth == FAILS, truth == NEAR)
