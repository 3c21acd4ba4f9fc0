"""A rulebook made ready to judge with: compiled once, kept as long as the rulebook lives."""

from weakref import WeakKeyDictionary

import msgspec

from carknocker.judgement.chain.rules import RuleIndex, index, rules_of
from carknocker.judgement.compiled import Compiled, compile_rulebook
from carknocker.rulebook.model import Rulebook


class Prepared(msgspec.Struct, frozen=True):
    """The compiled criteria, and the rules of the consequences by stage."""

    criteria: tuple[Compiled, ...]
    withdraws: RuleIndex
    relieves: RuleIndex
    chain: RuleIndex


_kept: "WeakKeyDictionary[Rulebook, Prepared]" = WeakKeyDictionary()


def prepare(rulebook: Rulebook) -> Prepared:
    """The rulebook made ready; the same object for the same rulebook."""
    found = _kept.get(rulebook)
    if found is None:
        rules = rules_of(rulebook.consequences)
        found = Prepared(
            compile_rulebook(rulebook), index(rules, "withdraws"), index(rules, "relieves"), index(rules, "chain")
        )
        _kept[rulebook] = found
    return found
