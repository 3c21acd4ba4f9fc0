from random_worlds import *

from carknocker.judgement.judge import judge
from carknocker.judgement.chain.evaluators import PlainEvaluator


def test_x():
    c = criterion("flange", "wheel", compare("wheel", "flange_thickness", "over", Figure(inches(14))))
    ev = [reading(f"wheel W-{n} {s}", "flange_thickness", Figure(inches(15)), OUT) for n in range(1, 5) for s in ("left", "right")]
    car = car_record(ev)
    book = rulebook([c], REACH)
    j = judge(car, move(), book, OUT)
    assert j.outcome == "ready"
    ev[0] = reading("wheel W-1 left", "flange_thickness", Figure(inches(14)), OUT)
    j = judge(car_record(ev), move(), book, OUT)
    assert j.outcome == "not ready"
    assert [r.stops for r in j.refusals] == [("wheelset W-1", "axle position 1", "truck B", "car")]
    k = judge(car_record(ev), move(), book, OUT, evaluator=PlainEvaluator())
    assert k.firings == j.firings
