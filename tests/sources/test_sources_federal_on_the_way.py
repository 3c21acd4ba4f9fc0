"""What 49 CFR asks after a derailment and of a brake on the way, of the marker and of the place of a car with its
brakes out: typed from the sections and not from the rulesets, both sides of each boundary.

Read: 215.115, 221.13, 221.14 and 238.17 in the annual edition of 2015; 232.15, 232.207 and 232.303 in a copy last
amended before December 11, 2020.
"""

import pytest
from federal_reading import duty_words, reading_of
from work_records import due, judged

from carknocker.judgement.model import Judgement

CHECKED = "bearing check after derailment"
TAKEN_APART = "bearing inspection"


def _tests(judgement: Judgement) -> set[str]:
    return {name.split(" @ ")[0] for name in due(judgement) if "@ bearing" in name}


@pytest.mark.parametrize("train", ["passenger", "freight"])
def test_after_any_derailment_the_bearings_are_inspected_and_tested(train: str) -> None:
    """238.17(d)(1), 215.115(b)(1): "unless the bearing has been inspected and tested", at whatever speed."""
    assert CHECKED in _tests(judged("happened: derailment, at: 3, speed: 1 mph, dragged: 0 ft", train))
    assert CHECKED not in _tests(judged("did: hose renewed, at: '1'", train))


@pytest.mark.parametrize(
    ("train", "dragged", "apart"),
    [("passenger", "100 ft", False), ("passenger", "101 ft", True), ("freight", "200 ft", False),
     ("freight", "201 ft", True)],
)  # fmt: skip
def test_dragged_on_the_ground(train: str, dragged: str, apart: bool) -> None:
    """238.17(d)(2): "dragged on the ground for more than 100 feet"; 215.115(b)(2): "more than 200 feet"."""
    asked = _tests(judged(f"happened: derailment, at: 3, speed: 10 mph, dragged: {dragged}", train))
    assert (TAKEN_APART in asked) is apart


@pytest.mark.parametrize("train", ["passenger", "freight"])
@pytest.mark.parametrize(("speed", "apart"), [("10 mph", False), ("11 mph", True)])
def test_derailed_at_more_than_ten_miles_an_hour(train: str, speed: str, apart: bool) -> None:
    """238.17(d)(2), 215.115(b)(2): "a derailment at a speed of more than 10 miles per hour"."""
    asked = _tests(judged(f"happened: derailment, at: 3, speed: {speed}, dragged: 0 ft", train))
    assert (TAKEN_APART in asked) is apart


@pytest.mark.parametrize(("train", "asked"), [("freight", True), ("passenger", False)])
def test_a_class_1a_test_within_a_thousand_miles(train: str, asked: bool) -> None:
    """232.207(a): "not more than 1,000 miles from the point where any car in the train last received" one."""
    found = [
        duty for duty in judged("did: hose renewed, at: '1'", train).duties
        if duty.consequence.id == "us-federal/freight-class-1a-brake-test"
    ]  # fmt: skip
    assert bool(found) is asked
    if asked:
        assert "1,000 miles" in duty_words("freight-class-1a-brake-test", "2015")


SHOP_TRACK_TEST = "single-car brake test @ brake system"


def test_a_freight_train_takes_a_brake_repaired_where_no_test_can_be_made_to_the_test() -> None:
    """232.303(e): "the car may be moved after the repairs are made to the next forward location where the test can be
    performed", tagged: the test that the repair calls for keeps the car where it is no more."""
    repaired = "did: service portion replaced"
    kept = judged(repaired, "freight")
    moved = judged(f"{repaired}\ndid: brake repaired where no test can be made", "freight")

    def refused(judgement: Judgement) -> bool:
        return any(one.duty is not None and one.duty.part.kind == "brake system" for one in judgement.refusals)

    def sent_to_the_test(judgement: Judgement) -> bool:
        return any("next forward test location" in str(one) for one in judgement.restrictions)

    assert refused(kept)
    assert not sent_to_the_test(kept)
    assert not refused(moved)
    assert sent_to_the_test(moved)


@pytest.mark.parametrize("edition", ["2015", "2020"])
@pytest.mark.parametrize(
    ("approved", "by_clear_day", "verdict"),
    [("yes", "no", "met"), ("no", "no", "breached"), ("no", "yes", "no text applies")],
)
def test_the_marker_is_an_approved_one(approved: str, by_clear_day: str, verdict: str, edition: str) -> None:
    """221.14(a): "approved by the Federal Railroad Administrator"."""
    facts = f"approved: {approved}, train.place: rear, move.daylight_only: {by_clear_day}"
    assert reading_of("rear marker", facts, edition) == verdict


@pytest.mark.parametrize(
    ("lit", "by_clear_day", "place", "verdict"),
    [("yes", "no", "rear", "met"), ("no", "no", "rear", "breached"), ("no", "yes", "rear", "met"),
     ("no", "no", "front", "no text applies")],
)  # fmt: skip
def test_the_marker_is_lit_by_night(lit: str, by_clear_day: str, place: str, verdict: str) -> None:
    """221.13(a), (b): on the rear car, "between one hour before sunset and one hour after sunrise"."""
    parts = f"parts: [{{of: rear marker, marker_fitted: yes, lit: {lit}}}]"
    facts = f"move.daylight_only: {by_clear_day}, train.place: {place}, {parts}"
    assert reading_of("car", facts, "2015") == verdict


@pytest.mark.parametrize(("cut_out", "verdict"), [("no", "met"), ("yes", "breached")])
@pytest.mark.parametrize("edition", ["2015", "2020"])
def test_a_car_with_its_brakes_out_is_not_the_rear_car(cut_out: str, verdict: str, edition: str) -> None:
    """232.15(e)(1): "A freight car or locomotive with inoperative brakes shall not be placed as the rear car of the
    train.\""""
    facts = f"cut_out: {cut_out}, move.train: freight"
    assert reading_of("brake system", facts, edition, effects=("restrict", "refuse")) == verdict
