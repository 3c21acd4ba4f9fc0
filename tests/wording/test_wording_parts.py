"""Many parts in few words."""

from random_worlds import OUT, REACH, car_record, compare, criterion, inches, move, rulebook

from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.record.values import Figure
from carknocker.wording.parts import compact_labels, label_of, named, positions

CRITERION = criterion("flange", "wheel", compare("wheel", "flange_thickness", "over", Figure(inches(14))))


def index(axles=4, **more):
    judgement = judge(car_record([], axles=axles, **more), move(), rulebook([CRITERION], REACH), OUT)
    return JudgementIndex(judgement)


def parts(found, *labels):
    by_label = {part.label: part for part in found.judgement.parts.values()}
    return [by_label[label] for label in labels]


def of_kind(found, kind):
    return [part for part in found.judgement.parts.values() if part.kind == kind and part.fitted]


def test_all_wheels_are_two_ranges():
    found = index(6)
    assert named(of_kind(found, "wheel"), found) == "wheels L1–L6, R1–R6"


def test_a_range_needs_three():
    found = index(6)
    wheels = parts(found, "wheel R4", "wheel L2", "wheel L1", "wheel L5", "wheel L6")
    assert positions(wheels, found) == "L1, L2, L5, L6, R4"


def test_kinds_are_kept_apart_in_walking_order():
    found = index()
    assert named(parts(found, "wheel L3", "truck A", "wheel R3"), found) == "truck A; wheels L3, R3"


def test_serials_are_never_a_range():
    found = index()
    assert named(of_kind(found, "wheelset"), found) == "wheelsets W-1, W-2, W-3, W-4"


def test_what_the_car_has_one_of_has_an_article():
    found = index()
    assert [label_of(part) for part in parts(found, "car", "brake system", "the move", "truck B")] == [
        "the car", "the brake system", "the move", "truck B",
    ]  # fmt: skip


def test_a_part_of_a_spare_says_so():
    found = index(spare_wheelsets=("W-9",))
    assert named(parts(found, "wheel W-9 left"), found) == "wheel W-9 left (spare)"


def test_labels_alone_can_be_put_together():
    assert compact_labels(["wheel L1", "wheel L2", "wheel L3", "wheel R1", "truck B", "car"]) == (
        "wheel L1–L3, R1; truck B; car"
    )
