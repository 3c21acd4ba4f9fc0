"""The plain evaluator against durable-rules: the same firings, the same refusals, on any car under any rulebook."""

import threading
import time

from hypothesis import given
from random_worlds import (
    OUT,
    Word,
    car_record,
    cause,
    compare,
    consequence,
    move,
    requires,
    rulebook,
    worlds,
)

from carknocker.judgement.chain import fixed_point
from carknocker.judgement.chain.adapter import AVAILABLE
from carknocker.judgement.chain.fixed_point import PlainEvaluator
from carknocker.judgement.judge import judge
from carknocker.rulebook.compose import compose


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
    assert [(one.fact, one.state, one.note, one.cause) for one in chained.duties] == [
        (one.fact, one.state, one.note, one.cause) for one in plain.duties
    ]
    assert chained.restrictions == plain.restrictions
    assert chained.reliefs == plain.reliefs


def test_thousands_of_consequences_chain_each_from_the_one_before():
    passenger = compare("move", "train", "is", Word("passenger"), owner="move")
    first = consequence("c0", [cause("state", of="car", when=passenger)], requires("car", words="look at 0"))
    rest = [
        consequence(f"c{n}", [cause("duty", names=(f"test/c{n - 1}",))], requires("car", words=f"look at {n}"))
        for n in range(1, 3000)
    ]
    book = compose(rulebook([], [first, *rest]).editions)
    for evaluator in (None, PlainEvaluator()):
        judgement = judge(car_record([]), move(), book, OUT, evaluator=evaluator)
        assert {duty.requirement.words for duty in judgement.duties} == {f"look at {n}" for n in range(3000)}
        assert len(judgement.refusals) == 3000


def test_threads_share_one_engine(monkeypatch):
    """However many ask at once for the first time: two engines would share their memory without a lock between them."""

    class Slow:
        def __init__(self):
            made.append(self)
            time.sleep(0.05)

    made, given = [], []
    monkeypatch.setattr(fixed_point, "Matcher", Slow)
    monkeypatch.setattr(fixed_point, "AVAILABLE", True)
    monkeypatch.setattr(fixed_point, "_matcher", None)
    threads = [threading.Thread(target=lambda: given.append(fixed_point.shared_matcher())) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(made) == 1
    assert given == made * 8
