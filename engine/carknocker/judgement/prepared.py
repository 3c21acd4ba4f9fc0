"""A rulebook made ready to judge with: compiled once, kept as long as the rulebook lives."""

from collections.abc import Mapping
from weakref import WeakKeyDictionary

import msgspec

from carknocker.judgement.chain.rules import RuleIndex, index, rules_of
from carknocker.judgement.compiled import Compiled, compile_criterion, compile_rulebook
from carknocker.rulebook.model import Criterion, Rulebook


class Prepared(msgspec.Struct, frozen=True):
    """The compiled criteria, and the rules of the consequences by stage."""

    criteria: tuple[Compiled, ...]
    withdraws: RuleIndex
    relieves: RuleIndex
    chain: RuleIndex
    by_id: Mapping[str, Compiled]
    criteria_by_id: Mapping[str, Criterion]
    layers: Mapping[str, str]

    def criterion(self, criterion: Criterion) -> Compiled:
        """A criterion, compiled: of the rulebook, or of the other one of two that were judged together."""
        found = self.by_id.get(criterion.id)
        return found if found is not None and found.criterion is criterion else compile_criterion(criterion)


_kept: "WeakKeyDictionary[Rulebook, Prepared]" = WeakKeyDictionary()


def prepare(rulebook: Rulebook) -> Prepared:
    """The rulebook made ready; the same object for the same rulebook."""
    found = _kept.get(rulebook)
    if found is None:
        rules = rules_of(rulebook.consequences)
        criteria = compile_rulebook(rulebook)
        by_id = {one.criterion.id: one for one in criteria}
        stages = (index(rules, "withdraws"), index(rules, "relieves"), index(rules, "chain"))
        criteria_by_id = {one.id: one for one in rulebook.criteria}
        layers = {one.id: one.layer for one in rulebook.consequences}
        found = Prepared(criteria, *stages, by_id, criteria_by_id, layers)
        _kept[rulebook] = found
    return found
