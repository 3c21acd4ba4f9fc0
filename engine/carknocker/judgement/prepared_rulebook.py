"""A rulebook made ready for judging, once for as long as it is in use."""

from collections.abc import Mapping
from weakref import WeakKeyDictionary

import msgspec

from carknocker.judgement.chain.rules import RuleIndex, index, rules_of
from carknocker.judgement.condemned import Limits
from carknocker.judgement.criteria import CompiledCriterion, compile_criterion, compile_rulebook
from carknocker.judgement.mending import Mending
from carknocker.rulebook.model import Criterion, Rulebook


class PreparedRulebook(msgspec.Struct, frozen=True):
    """The compiled criteria, and the rules of the consequences by stage."""

    criteria: tuple[CompiledCriterion, ...]
    voids: RuleIndex
    relieves: RuleIndex
    chain: RuleIndex
    by_id: Mapping[str, CompiledCriterion]
    criteria_by_id: Mapping[str, Criterion]
    layers: Mapping[str, str]
    mending: Mending
    limits: Limits

    def criterion(self, criterion: Criterion) -> CompiledCriterion:
        """A criterion, compiled: of the rulebook, or of the other one of two that were judged together."""
        found = self.by_id.get(criterion.id)
        return found if found is not None and found.criterion is criterion else compile_criterion(criterion)


_kept: "WeakKeyDictionary[Rulebook, PreparedRulebook]" = WeakKeyDictionary()


def prepare(rulebook: Rulebook) -> PreparedRulebook:
    """The rulebook made ready; the same object for the same rulebook."""
    found = _kept.get(rulebook)
    if found is None:
        rules = rules_of(rulebook.consequences)
        criteria = compile_rulebook(rulebook)
        by_id = {one.criterion.id: one for one in criteria}
        stages = (index(rules, "voids"), index(rules, "relieves"), index(rules, "chain"))
        criteria_by_id = {one.id: one for one in rulebook.criteria}
        layers = {one.id: one.layer for one in rulebook.consequences}
        found = PreparedRulebook(
            criteria, *stages, by_id, criteria_by_id, layers, Mending(rulebook.criteria, rulebook.consequences),
            Limits(criteria),
        )  # fmt: skip
        _kept[rulebook] = found
    return found
