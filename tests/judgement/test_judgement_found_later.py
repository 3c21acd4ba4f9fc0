"""A host's written permission covers what was known when it was signed, and nothing found later."""

from datetime import date, timedelta

import pytest
from msgspec.structs import replace
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
from carknocker.record.model import Fitting, Leave, Work
from carknocker.record.values import Day, Figure
from carknocker.rulebook.model import Voids

LEFT, RIGHT = "wheel W-1 left", "wheel W-1 right"
SIGNED = OUT - timedelta(days=10)
THICK = criterion("thick", "wheel", compare("wheel", "flange_thickness", "over", Figure(inches(14))), layer="host")
LETS = consequence("lets", [cause("leave")], relieves(named=True), layer="host")


def flange(day: date, sixteenths: int, part: str = LEFT, number: int = 0):
    return reading(part, "flange_thickness", Figure(inches(sixteenths)), day, number, place="axle position 1")


def sound():
    parts = [f"wheel W-{axle} {side}" for axle in range(1, 5) for side in ("left", "right")]
    return [flange(SIGNED - timedelta(days=9), 16, part) for part in parts if part != LEFT]


def letter(names: str = "test/thick", at: str = LEFT) -> Leave:
    going = move()
    return Leave(
        id="L-1", host=going.host, criterion=names, at=(at,), first=going.out, last=going.back, purpose="move",
        signed_by="superintendent", paper="letter", where=NOWHERE, signed_on=SIGNED,
    )  # fmt: skip


def outcome(record, consequences=(), criteria=(THICK,)):
    found = judge(record, move(), rulebook(list(criteria), [*REACH, LETS, *consequences]), OUT)
    return found.outcome, [(one.leave.id, one.on) for one in found.found_later]


def days(number: int) -> date:
    return SIGNED + timedelta(days=number)


@pytest.mark.parametrize(
    ("read", "later"),
    [
        ([(-1, 10)], None),
        ([(0, 10)], None),
        ([(1, 10)], 1),
        ([(-1, 10), (2, 10)], None),
        ([(-1, 10), (2, 11)], None),  # better, and still too thin
        ([(-1, 10), (2, 9)], 2),
        ([(-5, 9), (-1, 10), (2, 9)], 2),  # what was last on record by then counts
        ([(-1, 16), (2, 10)], 2),
    ],
)
def test_a_reading_of_a_later_day_is_covered_where_it_is_no_worse(read, later):
    own = [flange(days(day), thick, number=number) for number, (day, thick) in enumerate(read)]
    found = outcome(car_record([*sound(), *own], leaves=[letter()]))
    if later is None:
        assert found == ("ready with restrictions", [])
    else:
        assert found == ("not ready", [("L-1", days(later))])


def test_what_was_never_read_is_covered():
    assert outcome(car_record(sound(), leaves=[letter()])) == ("ready with restrictions", [])


MADE_VOID = consequence(
    "made-void", [cause("work", names=("wheels turned",))], Voids(of="wheel", readings=("flange_thickness",), test="")
)


@pytest.mark.parametrize(("day", "later"), [(0, False), (1, True)])
def test_what_is_void_by_work_of_a_later_day_is_not_covered(day, later):
    turned = Work("J-1", False, "wheels turned", days(day), (LEFT,), NOWHERE, by=INSPECTOR)
    record = car_record([*sound(), flange(days(-3), 16)], work=[turned], leaves=[letter()])
    found = outcome(record, [MADE_VOID])
    assert found == (("not ready", [("L-1", days(1))]) if later else ("ready with restrictions", []))


def test_an_older_reading_that_is_void_was_not_as_bad():
    turned = Work("J-1", False, "wheels turned", days(1), (LEFT,), NOWHERE, by=INSPECTOR)
    record = car_record(
        [*sound(), flange(days(-3), 10), flange(days(2), 10, number=1)], work=[turned], leaves=[letter()]
    )
    assert outcome(record, [MADE_VOID]) == ("not ready", [("L-1", days(2))])


@pytest.mark.parametrize(
    ("came", "axle_before", "covered"), [(0, None, True), (1, None, False), (1, 1, True), (1, 2, False)]
)
def test_a_wheelset_that_came_later_is_not_covered(came, axle_before, covered):
    record = car_record([*sound(), flange(days(-3), 10)], leaves=[letter()])
    fittings = [one for one in record.fittings if one.wheelset != "W-1"]
    if axle_before is not None:
        fittings.append(Fitting("W-1", axle_before, None, days(came), "", "J-2", False))
    fittings.append(Fitting("W-1", 1, days(came), None, "J-2", "", False))
    found = outcome(replace(record, fittings=tuple(fittings)))
    assert found == (("ready with restrictions", []) if covered else ("not ready", [("L-1", days(came))]))


@pytest.mark.parametrize(("day", "ready"), [(0, True), (1, False)])
def test_a_duty_that_began_later_is_not_stopped(day, ready):
    slid = Work("E-1", True, "slid wheels", days(day), (LEFT,), NOWHERE, by=INSPECTOR)
    calls = consequence(
        "calls", [cause("event", names=("slid wheels",))], requires("brake system", test="single-car brake test"),
        layer="host",
    )  # fmt: skip
    record = car_record([*sound(), flange(days(-3), 16)], work=[slid], leaves=[letter("test/calls", "axle position 1")])
    assert (outcome(record, [calls])[0] != "not ready") == ready


@pytest.mark.parametrize(("day", "covered"), [(0, True), (1, False)])
@pytest.mark.parametrize("read", [True, False])
def test_a_part_that_a_later_job_put_right_is_not_covered(read, day, covered):
    turned = Work("J-1", False, "wheels turned", days(day), (LEFT,), NOWHERE, by=INSPECTOR)
    record = car_record([*sound(), *([flange(days(-3), 10)] if read else [])], work=[turned], leaves=[letter()])
    assert outcome(record) == (("ready with restrictions", []) if covered else ("not ready", [("L-1", days(1))]))


@pytest.mark.parametrize(("day", "covered"), [(0, True), (1, False)])
def test_a_part_that_was_made_later_is_not_covered(day, covered):
    made = reading(LEFT, "made_on", Day(days(day), days(day), days(day).isoformat()), days(2), sort="description")
    record = car_record([*sound(), made], leaves=[letter()])
    assert outcome(record) == (("ready with restrictions", []) if covered else ("not ready", [("L-1", days(1))]))
