"""What a finding compares, where it fails: the part as it was seen, and where to look for a value that would do."""

from fractions import Fraction

from carknocker.judgement.comparisons import getter
from carknocker.judgement.criteria import prepare
from carknocker.judgement.model import Finding
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.judgement.truth import FAILS
from carknocker.quantities import Quantity
from carknocker.questions.counterfactual.aims import Aim
from carknocker.questions.counterfactual.knobs import Knob
from carknocker.questions.counterfactual.what_if import WhatIf
from carknocker.record.values import Figure, Value
from carknocker.rulebook.clauses import Comparison, Fixed


def failing_sight(finding: Finding, what_if: WhatIf) -> PartView | None:
    """The part as it was seen where the criterion fails: on departure by those who count, by anyone, on arrival. None
    where it fails nowhere: what lapses may do so because readings get too old."""
    one = prepare(what_if.judgement.rulebook).criterion(finding.criterion)
    for sight in (
        _sight(finding, what_if, shop=one.shop, arriving=False),
        _sight(finding, what_if, shop=False, arriving=False),
        sight_on_arrival(finding, what_if),
    ):
        if one.must(sight) == FAILS:
            return sight
    return None


def sight_on_arrival(finding: Finding, what_if: WhatIf) -> PartView:
    """The part as its criterion sees it at the end of the move."""
    one = prepare(what_if.judgement.rulebook).criterion(finding.criterion)
    return _sight(finding, what_if, shop=one.shop, arriving=True)


def _sight(finding: Finding, what_if: WhatIf, *, shop: bool, arriving: bool) -> PartView:
    situation, move, key = what_if.situation, what_if.judgement.move, finding.part.key
    day = move.back if arriving else move.out
    within = finding.criterion.read_within
    oldest = None if within is None or arriving else within.before(day)
    return PartView(situation, key, situation.values_of(key, shop=shop), day, shop, oldest, arriving=arriving)


def limits_of(aim: Aim, knob: Knob, sight: PartView) -> list[Value]:
    """What a value is compared with; of a reading behind a worked figure, where the figure comes to its limit. sight:
    of any part, where the finding fails."""
    comparison = aim.comparison
    own = sight.at(aim.key)
    if knob.role == "own":
        return _limits(comparison, own)
    held = getter(comparison.path)(own)
    if held is None:
        return []
    if knob.role == "limit":
        return [held.value]
    limit = limit_getter(comparison)(own)
    now, path = knob.now, comparison.path
    owner = own.situation.owner(own.key, path.owner) if path.owner else own.key
    if limit is None or not limit.d or not held.d or not isinstance(now, Figure) or owner is None:
        return []
    gap = Fraction(limit.n, limit.d) - Fraction(held.n, held.d)
    candidates = own.situation.candidates(owner, path.attribute, shop=own.shop)
    shares = [share for one in candidates if one.beyond >= 0 for share in one.shares]
    found = [one.sensitivity for one in shares if one.evidence.id == knob.evidence[0].id and one.sensitivity]
    quantity = now.quantity
    return [Figure(Quantity.of(quantity.dimension, quantity.amount + gap / one, quantity.unit)) for one in found[:1]]


def _limits(comparison: Comparison, sight: PartView) -> list[Value]:
    if isinstance(comparison.limit, Fixed):
        return list(comparison.limit.values)
    held = limit_getter(comparison)(sight)
    return [] if held is None else [held.value]
