"""A reading goes to the wheelset that was at the position on the day it was taken; the log is proven against the
fitted table."""

import datetime

import pytest
from record_samples import CAR, car, changed, problem_at_mark, problems_of

from carknocker.record import CarRecord, stand

J1 = "  - {id: J-1, on: 2026-06-01, did: wheelset renewed, at: 3, off: W-6, fitted: W-3, by: HM}\n"
DAY = datetime.date


def with_work(*entries: str, readings: str = "") -> str:
    """The record with other changes of wheelset instead of J-1, and with more sheets."""
    work = "".join(f"  - {{did: wheelset renewed, {entry}}}\n" for entry in entries)
    text = changed(J1, work).replace(", by: HM, after: J-1}", "}")
    return changed("events:\n", readings + "events:\n", text)


def sheet(on: str, position: str, after: str = "") -> str:
    extra = f", after: {after}" if after else ""
    return f"  - {{on: {on}, by: HM{extra}, readings: {{wheels: {{{position}: {{tread_hollow: 1/8 in}}}}}}}}\n"


def hollow(record: CarRecord) -> list[tuple[str, str]]:
    """Which wheel each of the added readings went to, and where that wheel was then."""
    return [(one.part, one.place) for one in record.evidence if one.attribute == "tread_hollow"]


def test_the_wheelset_of_the_day() -> None:
    old, new = ("wheel W-6 left", "axle position 3"), ("wheel W-3 left", "axle position 3")
    for on, after, expected in (
        ("2026-05-31", "", old), ("2026-06-01", "", old), ("2026-06-01", "J-1", new), ("2026-06-02", "", new),
    ):  # fmt: skip
        assert hollow(car(changed("events:\n", sheet(on, "L3", after) + "events:\n"))) == [expected], (on, after)


def test_a_wheelset_put_in_end_for_end() -> None:
    text = with_work("id: J-1, on: 2026-06-01, at: 3, off: W-6, fitted: W-3, end_for_end: yes",
                     readings=sheet("2026-07-01", "L3") + sheet("2026-05-01", "R3"))  # fmt: skip
    record = car(text)
    assert hollow(record) == [("wheel W-6 right", "axle position 3"), ("wheel W-3 right", "axle position 3")]
    labels = {part.key: part.label for part in record.parts}
    assert (labels["wheel W-3 right"], labels["bearing W-3 left"]) == ("wheel L3", "bearing R3")


@pytest.mark.parametrize("after", ["J-1", "J-3", "[J-1, J-3]"])
def test_two_wheelsets_that_change_places_are_one_job(after: str) -> None:
    swap = (
        "id: J-1, on: 2026-06-01, at: 3, off: W-1, fitted: W-3",
        "id: J-3, on: 2026-06-01, at: 1, off: W-3, fitted: W-1",
    )
    first = sheet("2026-06-01", "L1") + sheet("2026-06-01", "L3")
    then = sheet("2026-06-01", "L1", after) + sheet("2026-06-01", "L3", after)
    record = car(with_work(*swap, readings=first + then))
    assert hollow(record) == [
        ("wheel W-3 left", "axle position 1"), ("wheel W-1 left", "axle position 3"),
        ("wheel W-1 left", "axle position 1"), ("wheel W-3 left", "axle position 3"),
    ]  # fmt: skip


CHAIN = (
    "id: J-5, on: 2026-06-01, at: 3, off: W-5, fitted: W-3, after: J-4",
    "id: J-4, on: 2026-06-01, at: 3, off: W-6, fitted: W-5, after: J-3",
    "id: J-3, on: 2026-06-01, at: 3, off: W-3, fitted: W-6",
)


@pytest.mark.parametrize(("after", "serial"), [("", "W-3"), ("J-3", "W-6"), ("J-4", "W-5"), ("J-5", "W-3")])
def test_three_changes_at_one_axle_on_one_day(after: str, serial: str) -> None:
    record = car(with_work(*CHAIN, readings=sheet("2026-06-01", "L3", after)))
    assert hollow(record) == [(f"wheel {serial} left", "axle position 3")]
    assert [fitting.began_with for fitting in record.fittings if fitting.axle == 3] == ["", "J-3", "J-4", "J-5"]


def test_what_came_after_an_entry_came_after_all_before_it() -> None:
    record = car(with_work(*CHAIN, readings=sheet("2026-06-01", "L3", "J-5")))
    assert [sorted(one.after) for one in record.evidence if one.attribute == "tread_hollow"] == [["J-3", "J-4", "J-5"]]


def test_a_wheelset_that_comes_back() -> None:
    text = with_work(
        "id: J-1, on: 2026-03-15, at: 3, off: W-3, fitted: W-6",
        "id: J-3, on: 2026-06-01, at: 3, off: W-6, fitted: W-3",
        readings=sheet("2026-03-01", "L3")
        + sheet("2026-04-01", "L3")
        + sheet("2026-04-01", "W-3 left")
        + sheet("2026-07-01", "L3"),
    )
    assert hollow(car(text)) == [
        ("wheel W-3 left", "axle position 3"), ("wheel W-6 left", "axle position 3"),
        ("wheel W-3 left", "wheel W-3 left"), ("wheel W-3 left", "axle position 3"),
    ]  # fmt: skip


def test_one_that_goes_to_another_axle_and_back_in_a_day() -> None:
    text = with_work(
        "id: J-1, on: 2026-06-01, at: 4, off: W-4, fitted: W-3",
        "id: J-3, on: 2026-06-01, at: 3, off: W-3, fitted: W-6",
        "id: J-4, on: 2026-06-01, at: 4, off: W-3, fitted: W-4, after: J-3",
        "id: J-5, on: 2026-06-01, at: 3, off: W-6, fitted: W-3, after: J-4",
    )  # fmt: skip
    assert problems_of(text) == ()


def test_a_gap_in_the_log_is_told() -> None:
    new = J1.replace("  - {", "  - «{").replace("fitted: W-3", "fitted: W-5")
    problem = problem_at_mark(
        J1, new + "  - {id: J-9, on: 2026-07-01, did: wheelset renewed, at: 3, off: W-6, fitted: W-3}\n"
    )
    assert "W-5 went on at axle 3, but afterwards W-6 is there" in problem.found
    assert "write down the change that is missing" in problem.remedy


def test_a_wheelset_at_two_axles_for_a_while() -> None:
    text = with_work(
        "id: J-1, on: 2026-06-01, at: 3, off: W-6, fitted: W-3", "id: J-3, on: 2026-06-10, at: 4, off: W-6, fitted: W-4"
    )
    assert [problem.found for problem in problems_of(text)] == [
        "wheelset W-6 at axle 3 and, from the start of the log, at axle 4 too"
    ]


def test_the_log_may_stand_in_any_order() -> None:
    backwards = car(with_work(
        "id: J-3, on: 2026-06-01, at: 3, off: W-6, fitted: W-3",
        "id: J-1, on: 2026-03-15, at: 3, off: W-3, fitted: W-6",
    ))  # fmt: skip
    assert [(one.wheelset, one.first) for one in backwards.fittings if one.axle == 3] == [
        ("W-3", None), ("W-6", DAY(2026, 3, 15)), ("W-3", DAY(2026, 6, 1)),
    ]  # fmt: skip


def test_events_and_tests_stand_where_things_were_then() -> None:
    record = car(
        changed(
            "tests:\n", "tests:\n  - {test: wheel heat inspection, on: 2026-04-02, by: HM, at: L3, result: passed}\n"
        )
    )
    slid = next(one for one in record.work if one.id == "E-1")
    assert slid.at == ("wheel W-6 left", "wheel W-6 right")
    test = next(one for one in record.evidence if one.attribute == "wheel_heat_inspection")
    assert (test.part, test.place) == ("wheel W-6 left", "axle position 3")


def test_the_car_on_an_earlier_day() -> None:
    record = car()
    now, then = stand(record, None, DAY(2026, 6, 1)), stand(record, None, DAY(2026, 5, 31))
    assert now.parts["wheel W-3 left"].label == "wheel L3"
    assert "wheelset W-6" not in now.parts
    assert then.parts["wheel W-6 left"].label == "wheel L3"
    assert then.parts["wheel W-6 left"].fitted
    assert not then.parts["wheel W-3 left"].fitted
    assert then.containers("wheel W-6 left") == ("wheelset W-6", "axle position 3", "truck A", "car")
    assert then.reach("axle position 3", "wheel") == ("wheel W-6 left", "wheel W-6 right")
    assert "J-1" not in [one.id for one in then.work]
    assert then.later == 2
    assert now.place_at("wheel W-6 left", DAY(2026, 4, 1), frozenset()) == "axle position 3"
    assert now.place_at("wheel W-6 left", DAY(2026, 6, 1), frozenset({"J-1"})) == "wheel W-6 left"
    assert now.place_at("coupler B", DAY(2026, 6, 1), frozenset()) == "coupler B"


def test_labels_of_what_is_not_fitted() -> None:
    parts = {part.key: part for part in car().parts}
    assert parts["wheel W-5 left"].label == "wheel W-5 left"
    assert parts["axle of W-5"].label == "axle of W-5"
    assert parts["wheelset W-5"].container is None
    assert "wheelset W-6" not in parts
    assert [(one.serial, one.carried, one.shelf) for one in car().spares if one.name == "wheelset"] == [("W-5", 1, 0)]


def test_all_means_those_on_the_car() -> None:
    record = car(changed("events:\n", sheet("2026-05-20", "all") + "events:\n"))
    assert len(hollow(record)) == 8
    assert all(place.startswith("axle position") for _, place in hollow(record))


def test_a_serial_that_reads_like_an_axle() -> None:
    text = CAR.replace("W-1", '"3"').replace(
        "events:\n", "  - {on: 2026-05-20, by: HM, readings: {axles: {3: {bent: no}}}}\nevents:\n"
    )
    assert [one.part for one in car(text).evidence if one.attribute == "bent"] == ["axle of W-6"]
