"""The plain evaluator against durable-rules: the same firings, the same refusals, on any car under any rulebook."""

from hypothesis import given
from random_worlds import OUT, worlds

from carknocker.judgement.chain.adapter import AVAILABLE
from carknocker.judgement.chain.evaluators import PlainEvaluator
from carknocker.judgement.judge import judge


def refusals(judgement):
    return sorted(
        repr(
            (
                refusal.finding and (refusal.finding.criterion.id, refusal.finding.part.key, refusal.finding.verdict),
                refusal.duty and (refusal.duty.consequence.id, refusal.duty.part.key, refusal.duty.since),
                refusal.against,
                refusal.stops,
            )
        )
        for refusal in judgement.refusals
    )


def firings(judgement):
    return [(one.stage, one.consequence.id, one.yield_number, one.cause, one.followed) for one in judgement.firings]


def test_durable_rules_chains_where_it_can_be_imported():
    import sys

    assert (sys.version_info < (3, 13)) == AVAILABLE


@given(worlds())
def test_both_evaluators_give_the_same_judgement(world):
    car, move, rulebook = world
    chained = judge(car, move, rulebook, OUT)
    plain = judge(car, move, rulebook, OUT, evaluator=PlainEvaluator())
    assert firings(chained) == firings(plain)
    assert refusals(chained) == refusals(plain)
    assert chained.outcome == plain.outcome
