"""A call for a test outlives the repair and any older test; an event excuses what was found with it, and no more."""

from datetime import timedelta

import pytest
from random_worlds import (
    INSPECTOR,
    NOWHERE,
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
    relieves,
    requires,
    rulebook,
)

from carknocker.judgement.judge import judge
from carknocker.record.model import Work
from carknocker.record.values import Figure, Word

TEST = "single-car brake test"
WHEEL = "wheel W-1 left"
THICK = criterion("thick", "wheel", compare("wheel", "flange_thickness", "over", Figure(inches(14))), effect="advise")


def ago(days):
    return OUT - timedelta(days=days)


def flange(days, sixteenths, part=WHEEL, number=0):
    return reading(part, "flange_thickness", Figure(inches(sixteenths)), ago(days), number, place="axle position 1")


def brake_test(days):
    return reading("brake system", "single_car_test", Word("passed"), ago(days), sort="test")


def states(record, consequences, one=THICK):
    judgement = judge(record, move(), rulebook([one], [*REACH, *consequences]), OUT)
    return sorted({duty.state for duty in judgement.duties})


FOUND_THIN = consequence(
    "found-thin",
    [cause("finding", criteria=("test/thick",), verdicts=("breached",))],
    requires("brake system", test=TEST),
)


@pytest.mark.parametrize(("days", "state"), [(9, "open"), (8, "open"), (7, "done")])
def test_a_finding_that_calls_for_a_test_is_not_answered_by_an_older_one(days, state):
    assert states(car_record([flange(8, 10), brake_test(days)]), [FOUND_THIN]) == [state]


@pytest.mark.parametrize(("days", "state"), [(9, "open"), (8, "open"), (7, "done")])
def test_it_calls_for_it_after_the_repair_too(days, state):
    assert states(car_record([flange(8, 10), brake_test(days), flange(3, 16)]), [FOUND_THIN]) == [state]
    assert states(car_record([flange(8, 16), brake_test(days), flange(3, 16)]), [FOUND_THIN]) == []


REFUSING = criterion("thick", "wheel", compare("wheel", "flange_thickness", "over", Figure(inches(14))))
KNOWN = consequence(
    "known",
    [cause("event", names=("slid wheels",))],
    relieves(criteria=("test/thick",), of="wheel"),
)


def slid(days, at=WHEEL):
    return Work("E-1", True, "slid wheels", ago(days), (at,), NOWHERE, by=INSPECTOR)


def others(days=8):
    """The other wheels, all sound."""
    parts = [f"wheel W-{axle} {side}" for axle in range(1, 5) for side in ("left", "right")]
    return [flange(days, 16, part) for part in parts if part != WHEEL]


@pytest.mark.parametrize(
    ("event", "found", "outcome"),
    [
        (slid(8), 8, "ready"),
        (slid(730), 8, "not ready"),
        (slid(9), 8, "not ready"),
        (slid(7), 8, "not ready"),
        (slid(8, "wheel W-2 left"), 8, "not ready"),
    ],
)
def test_an_event_relieves_the_finding_of_its_own_day_and_wheel(event, found, outcome):
    record = car_record([*others(), flange(found, 10)], work=[event])
    judgement = judge(record, move(), rulebook([REFUSING], [*REACH, KNOWN]), OUT)
    assert judgement.outcome == outcome


def test_a_later_reading_of_the_same_damage_is_not_excused():
    record = car_record([*others(), flange(8, 10), flange(2, 10, number=1)], work=[slid(8)])
    assert judge(record, move(), rulebook([REFUSING], [*REACH, KNOWN]), OUT).outcome == "not ready"
