"""Which part of a clause decides, and what was seen there. Asks the compiled clauses that decided."""

import msgspec

from carknocker.documents import Location
from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.comparisons import comparison_test, getter
from carknocker.judgement.criteria import CompiledComparison
from carknocker.judgement.explanation import why_unknown
from carknocker.judgement.part_view import PartView
from carknocker.judgement.truth import NEAR, UNKNOWN
from carknocker.questions.why.model import WhyNode
from carknocker.record.model import Evidence
from carknocker.rulebook.clauses import AllOf, AnyOf, Clause, Comparison, CountOf, EachOf
from carknocker.wording.limits import clause_words, path_words, requirement_words, value_words
from carknocker.wording.verdicts import unknown_words


class Decided(msgspec.Struct, frozen=True):
    """The first clause with the truth that a whole clause has: what it asks, what was seen, the evidence of that."""

    clause: Clause
    asked: str
    seen: str
    truth: int
    where: Location | None
    evidence: Evidence | None


def first_deciding(clause: Clause, sight: PartView) -> Decided:
    """The first member, at any depth of *all of*, that is as true as the whole: the first that does not hold, if it
    does not; the first that nothing shows, if that is why it is open. An *any of* that fails, fails as a whole."""
    truth = clause_test(clause)(sight)
    if isinstance(clause, AllOf) or (isinstance(clause, AnyOf) and truth >= NEAR):
        return first_deciding(next(one for one in clause.clauses if clause_test(one)(sight) == truth), sight)
    if isinstance(clause, Comparison):
        held = getter(clause.path)(sight)
        seen = _seen(clause, sight)
        evidence = None if held is None else held.evidence
        asked = f"{path_words(clause.path)}: {requirement_words(clause)}"
        return Decided(clause, asked, seen, truth, clause.where, evidence)
    where = clause.where if isinstance(clause, (CountOf, EachOf)) else None
    return Decided(clause, clause_words(clause), _seen_inside(clause, sight), truth, where, None)


def _seen(comparison: Comparison, sight: PartView) -> str:
    test, get = comparison_test(comparison), getter(comparison.path)
    if test(sight) == UNKNOWN:
        return unknown_words(why_unknown(CompiledComparison(comparison, get, test), sight))
    held = get(sight)
    return f"{path_words(comparison.path)}: {'nothing on record' if held is None else value_words(held.value)}"


def _seen_inside(clause: Clause, sight: PartView) -> str:
    """What was seen on the parts inside, or of each alternative of an *any of*."""
    match clause:
        case AnyOf(clauses):
            return "; ".join(dict.fromkeys(first_deciding(one, sight).seen for one in clauses))
        case CountOf(kind, when):
            keys = sight.situation.standing.reach(sight.key, kind)
            test = None if when is None else clause_test(when)
            surely = sum(test is None or test(sight.at(key)) >= NEAR for key in keys)
            return f"{surely} of {len(keys)} {kind}{'' if len(keys) == 1 else 's'} on record"
        case EachOf(kind, _, must):
            parts = sight.situation.standing.parts
            keys = sight.situation.standing.reach(sight.key, kind)
            bad = [parts[key].label for key in keys if clause_test(must)(sight.at(key)) < NEAR]
            return f"not so: {', '.join(bad)}" if bad else f"so on all {len(keys)}"
        case _:
            return ""


def clause_node(decided: Decided, said: str, because: tuple[WhyNode, ...] = ()) -> WhyNode:
    """A clause as a reason."""
    lines = (("asks", decided.asked), ("seen", decided.seen))
    return WhyNode("clause", said, tuple(line for line in lines if line[1]), where=decided.where, because=because)
