"""Two rulebooks, that of the departure and that of the return: what either asks counts."""

from datetime import timedelta

from msgspec.structs import replace
from random_worlds import (
    BACK,
    HOST,
    NOWHERE,
    OUT,
    REACH,
    Any,
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

from carknocker.judgement.combine_editions import combine_editions
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.quantities import Period
from carknocker.record.model import CarRecord, Leave
from carknocker.record.values import Figure, Word
from carknocker.rulebook.model import Renewal

TEST = "single-car brake test"
BEARING = "side bearing BL"
CLEAR = criterion("clear", "side bearing", compare("side bearing", "clearance", "over", Figure(inches(4))))


def both(record: CarRecord, one: Any, other: Any) -> Judgement:
    first, second = (judge(record, move(), rulebook(*book), OUT) for book in (one, other))
    return combine_editions(first, second)


def clearances(value: int, ago: int = 1) -> list[Any]:
    return [
        reading(f"side bearing {place}", "clearance", Figure(inches(value)), OUT - timedelta(days=ago))
        for place in ("BL", "BR", "AL", "AR")
    ]


def test_a_duty_is_done_only_if_both_say_so():
    state = cause("state", of="car", when=compare("move", "train", "is", Word("passenger"), owner="move"))

    def rule(days):
        return consequence("r", [state], requires("brake system", test=TEST, within=Period(days=days)))

    tested = reading("brake system", "single_car_test", Word("passed"), OUT - timedelta(days=20), sort="test")
    for one, other in ((30, 10), (10, 30)):
        judgement = both(car_record([tested]), ([], [rule(one)]), ([], [rule(other)]))
        assert (judgement.outcome, [duty.state for duty in judgement.duties]) == ("not ready", ["open"])


def test_what_is_renewed_on_the_way_is_renewed_as_often_as_either_asks():
    def books(days, routine):
        renewed = Renewal("crew", Period(days=days), routine)
        return [replace(CLEAR, renewal=renewed)], REACH

    for one, other in ((books(4, True), books(7, False)), (books(7, False), books(4, True))):
        judgement = both(car_record(clearances(8)), one, other)
        assert judgement.outcome == "ready with restrictions"
        due = next(each.due for each in judgement.on_the_way if each.finding and each.finding.part.key == BEARING)
        assert [(day - OUT).days for day in due] == [3, 6, 7]


def test_what_only_one_edition_relieves_is_not_relieved():
    given = Leave("L-1", HOST, "clear", ("car",), OUT, BACK, "move", "NN", "letter", NOWHERE, signed_on=OUT)
    by_leave = consequence("by-leave", [cause("leave")], relieves(named=True))
    record = replace(car_record(clearances(2)), leaves=(given,))
    for one, other in (([*REACH, by_leave], REACH), (REACH, [*REACH, by_leave])):
        judgement = both(record, ([CLEAR], one), ([CLEAR], other))
        assert judgement.outcome == "not ready"
        assert any(found.unmet and not found.relieved for found in judgement.findings)


def test_two_duties_of_one_consequence_on_one_part_stay_two():
    state = cause("state", of="car", when=compare("move", "train", "is", Word("passenger"), owner="move"))
    rule = consequence("r", [state], requires("brake system", test=TEST), requires("brake system", words="look at it"))
    judgement = both(car_record([]), ([], [rule]), ([], [rule]))
    assert [duty.requirement.test for duty in judgement.duties] == [TEST, ""]
    assert [refusal.duty.requirement.test for refusal in judgement.refusals] == [TEST, ""]
