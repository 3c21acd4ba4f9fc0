"""Broken on purpose: every time the proof refuses to judge, and never answers from an incomplete chain."""

from datetime import timedelta

import pytest
from random_worlds import (
    OUT,
    REACH,
    car_record,
    cause,
    compare,
    consequence,
    criterion,
    inches,
    move,
    reading,
    requires,
    rulebook,
)

from carknocker.judgement.chain import adapter
from carknocker.judgement.chain.fixed_point import DurableEvaluator, Fired, FiringKey, PlainEvaluator, shared_matcher
from carknocker.judgement.facts import ChainFact, UnfitFact
from carknocker.judgement.judge import judge
from carknocker.judgement.model import CannotJudge
from carknocker.record.model import Work
from carknocker.record.values import Figure, Word
from carknocker.rulebook.model import CarriesUp, Voids

TEST = "single-car brake test"
THIN = criterion("thin", "wheel", compare("wheel", "flange_thickness", "over", Figure(inches(14))))
needs_durable = pytest.mark.usefixtures("durable")


@pytest.fixture
def durable():
    matcher = shared_matcher()
    if matcher is None:  # the plain evaluator carries the load on this Python; there is no engine to break
        assert not adapter.AVAILABLE
    return matcher


def world():
    """A car with one thin flange and a control-valve job after its brake test."""
    wheels = [f"wheel W-{number} {side}" for number in range(1, 5) for side in ("left", "right")]
    evidence = [reading(wheel, "flange_thickness", Figure(inches(15)), OUT) for wheel in wheels[1:]]
    evidence.append(reading(wheels[0], "flange_thickness", Figure(inches(14)), OUT))
    evidence.append(
        reading("brake system", "single_car_test", Word("passed"), OUT - timedelta(days=30), 1, sort="test")
    )
    job = Work("J-1", False, "service portion replaced", OUT - timedelta(days=10), ("brake system",), REACH[0].where)
    stands = criterion("stands", "brake system", compare("brake system", "single_car_test", "shown", Word("yes")))
    consequences = [
        *REACH,
        consequence("voids", [cause("work", names=("service portion replaced",))], Voids(TEST, (), "brake system")),
        consequence("asks", [cause("work", names=("service portion replaced",))], requires("brake system", test=TEST)),
    ]
    return car_record(evidence, work=[job]), move(), rulebook([THIN, stands], consequences)


class Losing(PlainEvaluator):
    """An evaluator that loses what follows from one cause."""

    def __init__(self, sort: str) -> None:
        self.sort = sort

    def run(self, stage, index, base, conclude):
        fired = super().run(stage, index, base, conclude)
        for name in [name for name in fired.firings if name.cause.sort == self.sort]:
            del fired.firings[name]
        return fired


class LosingFact(PlainEvaluator):
    """An evaluator that forgets a base fact and all that followed from it."""

    def run(self, stage, index, base, conclude):
        return super().run(stage, index, list(base)[1:], conclude)


class Embroidering(PlainEvaluator):
    """An evaluator that adds a conclusion which the rule does not yield."""

    def run(self, stage, index, base, conclude):
        fired = super().run(stage, index, base, conclude)
        for name, (rule, item, followed) in list(fired.firings.items()):
            extra = ChainFact(UnfitFact("coupler B"), "coupler", "coupler")
            fired.firings[name] = (rule, item, (*followed, extra))
            fired.facts[extra.fact] = extra
            break
        return fired


class Circular(PlainEvaluator):
    """An evaluator that invents two unfit parts, each the other's only reason."""

    def run(self, stage, index, base, conclude):
        fired = super().run(stage, index, base, conclude)
        if stage == "chain":
            for here, there in (("truck B", "end A"), ("end A", "truck B")):
                kind = there.split()[0]
                item = ChainFact(UnfitFact(here), here.split()[0], here.split()[0])
                rule = next(rule for rule in index.rules if isinstance(rule.produces, CarriesUp))
                follows = ChainFact(UnfitFact(there), kind, kind)
                fired.facts.setdefault(item.fact, item)
                fired.firings[FiringKey("test/invented", 0, item.fact)] = (rule, item, (follows,))
        return fired


class Silent(PlainEvaluator):
    """An evaluator that finds nothing at all."""

    def run(self, stage, index, base, conclude):
        fired = Fired()
        for item in base:
            fired.facts[item.fact] = item
        return fired


def test_the_sound_evaluators_judge_this_world():
    car, one_move, book = world()
    for evaluator in (None, PlainEvaluator()):
        judgement = judge(car, one_move, book, OUT, evaluator=evaluator)
        assert judgement.outcome == "not ready"
        assert len(judgement.refusals) == 3


@pytest.mark.parametrize(
    ("broken", "words"),
    [
        (Losing("finding"), "supported by nothing"),
        (Losing("work"), "supported by nothing"),
        (LosingFact(), "lost on the way|could still fire"),
        (Embroidering(), "is not what followed"),
        (Circular(), "nothing supports|supported by nothing|not its cause"),
        (Silent(), "could still fire"),
    ],
    ids=lambda value: type(value).__name__ if not isinstance(value, str) else "",
)
def test_a_broken_evaluator_is_refused(broken, words):
    car, one_move, book = world()
    with pytest.raises(CannotJudge, match=words):
        judge(car, one_move, book, OUT, evaluator=broken)


@needs_durable
def test_an_action_that_raises_is_refused(durable, monkeypatch):
    if durable is None:
        return
    car, one_move, book = world()

    def fails(closure):
        raise RuntimeError("on purpose")

    matcher = adapter.Matcher.__new__(adapter.Matcher)
    monkeypatch.setattr(adapter.Matcher, "_note", lambda self, closure: fails(closure))
    matcher.__init__()
    with matcher.session(book) as session, pytest.raises(adapter.EngineFailed, match="on purpose"):
        judge(car, one_move, book, OUT, evaluator=DurableEvaluator(session))


@needs_durable
def test_an_engine_that_swallows_a_pair_is_refused(durable, monkeypatch):
    if durable is None:
        return
    car, one_move, book = world()
    kept = adapter.Session._dispatch
    monkeypatch.setattr(adapter.Session, "_dispatch", lambda self, handle: kept(self, handle)[1:])
    with pytest.raises(CannotJudge, match="could still fire"):
        judge(car, one_move, book, OUT)


@needs_durable
def test_a_fact_taken_for_another_is_tried_again_and_then_refused(durable, monkeypatch):
    if durable is None:
        return
    car, one_move, book = world()
    tries = []

    def refuses(self, fact):
        tries.append(fact)
        raise adapter.MessageObservedException(fact)

    monkeypatch.setattr(type(durable._ruleset), "assert_fact", refuses)
    with pytest.raises(CannotJudge, match="two different facts for one"):
        judge(car, one_move, book, OUT)
    assert len(tries) == adapter.TRIES


@needs_durable
def test_what_was_joined_once_for_a_rulebook_is_not_asked_of_the_engine_again(durable, monkeypatch):
    if durable is None:
        return
    car, one_move, book = world()
    told = []
    kept = type(durable._ruleset).assert_fact
    monkeypatch.setattr(type(durable._ruleset), "assert_fact", lambda self, fact: told.append(fact) or kept(self, fact))
    first = judge(car, one_move, book, OUT)
    asked = len(told)
    again = judge(car, one_move, book, OUT)
    assert (asked > 0, len(told)) == (True, asked)
    assert again.firings == first.firings
    others = [world()[2] for _ in range(adapter.MOST_SESSIONS)]
    assert [judge(car, one_move, other, OUT).outcome for other in others] == ["not ready"] * adapter.MOST_SESSIONS
    assert len(durable._sessions) == adapter.MOST_SESSIONS
    told.clear()
    assert judge(car, one_move, book, OUT).firings == first.firings
    assert len(told) == asked


@needs_durable
def test_nothing_that_a_failed_judgement_left_in_the_engine_outlives_it(durable, monkeypatch):
    if durable is None:
        return
    car, one_move, book = world()
    kept = adapter.Session._dispatch
    with monkeypatch.context() as broken:
        broken.setattr(adapter.Session, "_dispatch", lambda self, handle: kept(self, handle)[1:])
        with pytest.raises(CannotJudge, match="could still fire"):
            judge(car, one_move, book, OUT)
    assert judge(car, one_move, book, OUT).firings == judge(car, one_move, world()[2], OUT).firings


@needs_durable
def test_the_limits_of_the_engine_are_refused_before_it_sees_them(durable, monkeypatch):
    if durable is None:
        return
    car, one_move, book = world()
    monkeypatch.setattr(adapter, "MOST_RULES", 1)
    with pytest.raises(CannotJudge, match="past what the engine may be given"):
        judge(car, one_move, book, OUT)


@needs_durable
def test_many_rules_on_one_sign_all_fire(durable):
    """70 rules on one kind of part make the engine fail when each is a rule of its own; as facts they do not."""
    if durable is None:
        return
    wheel = reading("wheel W-1 left", "flange_thickness", Figure(inches(10)), OUT)
    many = [
        consequence(f"many-{number}", [cause("finding", of="wheel", effect="refuse")], CarriesUp(("car",)))
        for number in range(300)
    ]
    judgement = judge(car_record([wheel]), move(), rulebook([THIN], [*REACH, *many]), OUT)
    fired = {one.consequence.name for one in judgement.firings}
    assert {f"many-{number}" for number in range(300)} <= fired


def test_a_refusal_that_does_not_reach_the_car_cannot_be_judged():
    wheel = reading("wheel W-1 left", "flange_thickness", Figure(inches(10)), OUT)
    with pytest.raises(CannotJudge, match="no consequence carries that up to the car"):
        judge(car_record([wheel]), move(), rulebook([THIN], []), OUT)
