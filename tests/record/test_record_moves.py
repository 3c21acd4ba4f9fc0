"""The move: what it says, and what it may not say."""

import datetime

import pytest
from record_samples import MOVE, move, problem_at_mark, problems_of

from carknocker.quantities import Quantity
from carknocker.record.values import Figure, Word

LEG = '{from: Quillon Junction, to: Port Averill, miles: 212 mi, track_class: "4", gross_limit: 220000 lb}'


def test_a_move() -> None:
    read = move()
    assert (read.host, read.train, read.rides, read.circular) == ("Kestrel & Northern", "passenger", "passengers", True)
    assert (read.out, read.back) == (datetime.date(2026, 11, 6), datetime.date(2026, 11, 22))
    assert read.train_facts["place"] == Word("rear")
    assert read.neighbors["ahead"]["length_over_couplers"] == Figure(Quantity.of("length", 1020))
    assert read.legs[0].miles == Quantity.of("distance", 212)
    assert read.legs[0].facts["track_class"] == Word("4")
    assert read.editions == {}


def test_railroads_that_the_host_is_not() -> None:
    assert move().host_is_not == ()
    read = move(MOVE.replace("rides: passengers", "rides: crew, circular: none, host_is_not: [Kestrel Valley, K&N]"))
    assert read.host_is_not == ("Kestrel Valley", "K&N")


def test_no_circular_and_pinned_editions() -> None:
    read = move(MOVE.replace("rides: passengers", 'rides: crew, circular: none, editions: {us-federal: "2020"}'))
    assert not read.circular
    assert read.editions == {"us-federal": "2020"}


@pytest.mark.parametrize(
    ("old", "new", "found", "expected", "near"),
    [
        ("back: 2026-11-22", "back: «2026-11-02", "before the day out", "2026-11-06 or later", ""),
        ("train: passenger,", "train: «passengers,", "`passengers`", "one of `passenger`", "passenger"),
        ("rides: passengers", "rides: «passengr", "`passengr`", "`nobody`", "passengers"),
        ("rides: passengers", "rides: passengers, «ridr: 1", "the key `ridr` in the move", "`rides`", "rides"),
        ("out: 2026-11-06", "out: «2026-11", "`2026-11`", "a whole day", ""),
        ("place: rear", "place: «last", "`last` for `place`", "`rear`", "rear"),
        ("place: rear", "«plce: rear", "the key `plce` in the train", "`place`", "place"),
        ("speed: 70 mph", "speed: «0 mph", "`0 mph` for `speed`", "from 1 mph to 160 mph", ""),
        ("speed: 70 mph", "speed: «{reads: 0 mph, sure: it waits}", "a train that stands still", "above zero", ""),
        ("miles: 212 mi, ", "miles: «0 mi, ", "leg 1 of 0 mi", "miles above zero", ""),
        ("speed: 70 mph", "speed: «70", "a number without a unit", "a speed", ""),
        ("neighbors: {ahead", "neighbors: {«before", "the key `before` in neighbors", "`ahead`, `behind`", ""),
        ("miles: 212 mi, ", "miles: «-3 mi, ", "below zero", "zero or more", ""),
        (LEG, "«{from: Quillon Junction, miles: 212 mi}", "the key `to` is missing", "`to: …`", ""),
        (LEG, "{from: A, to: B, miles: 1 mi, «trackclass: 4}", "the key `trackclass`", "`track_class`", "track_class"),
        (LEG, "{from: A, to: B, miles: 1 mi, track_class: «9}", "`9` for `track_class`", "`1`", ""),
        (
            LEG, LEG.replace("miles:", "railroad: «Brackwater & Inland, miles:"),
            "leg 1 on the Brackwater & Inland, where the host is Kestrel & Northern",
            "`railroad: Kestrel & Northern`, or no `railroad`", "",
        ),
        (" neighbors: {ahead", " «neighbours: {ahead", "neighbours", "", "neighbors"),
        ("legs:\n", "«lags:\n", "the key `lags` in a move", "`legs`", "legs"),
    ],
)  # fmt: skip
def test_one_thing_wrong(old: str, new: str, found: str, expected: str, near: str) -> None:
    if "lags" in new:
        problems = problems_of(MOVE.replace(old, new.replace("«", "")))
        assert [problem.found for problem in problems] == ["a move without legs", "the key `lags` in a move"]
        assert problems[1].nearest == near
        return
    problem = problem_at_mark(old, new, MOVE)
    assert found in problem.found
    assert expected in problem.expected
    assert problem.nearest == near


def test_a_comma_inside_braces() -> None:
    problem = problem_at_mark("gross_limit: 220000 lb", "gross_limit: 220000 lb, «000 lb", MOVE)
    assert "inside braces a comma ends the value" in problem.found
    assert problem.remedy == "put the value in quotes, or write the number without its comma"


SECOND = LEG + "\n  - {from: Port Averill, to: Quillon Junction, miles: 212 mi"


def test_the_days_of_legs() -> None:
    read = move(MOVE.replace(LEG, f"{SECOND}, on: 2026-11-21, until: 2026-11-22}}"))
    assert [(leg.on, leg.until) for leg in read.legs] == [
        (None, None), (datetime.date(2026, 11, 21), datetime.date(2026, 11, 22))
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("new", "found", "expected"),
    [
        (LEG[:-1] + ", on: «2026-11-07}", "leg 1 on 2026-11-07", "`on: 2026-11-06`, or no `on`"),
        (LEG[:-1] + ", until: «2026-11-05}", "leg 1, which arrives on 2026-11-05", "the day out, 2026-11-06"),
        (SECOND + ", on: «2026-11-23}", "leg 2, which leaves on 2026-11-23", "not after the return on 2026-11-22"),
        (SECOND + ", on: 2026-11-09, until: «2026-11-08}", "arrives on 2026-11-08", "on which leg 2 leaves"),
        (SECOND.replace(LEG, LEG[:-1] + ", until: 2026-11-10}") + ", on: «2026-11-09}", "leaves on 2026-11-09",
         "2026-11-10, the day on which leg 1 arrives"),
        (LEG[:-1] + ", until: «2026-11}", "`2026-11`", "a whole day"),
    ],
)  # fmt: skip
def test_days_of_legs_that_can_not_be(new: str, found: str, expected: str) -> None:
    problem = problem_at_mark(LEG, new, MOVE)
    assert found in problem.found
    assert expected in problem.expected


@pytest.mark.parametrize("ends", ["until: 2026-11-20", "until: 2026-11-22", "on: 2026-11-10"])
def test_a_return_within_two_days_of_the_last_leg_or_on_no_known_day(ends: str) -> None:
    assert len(move(MOVE.replace(LEG, f"{SECOND}, {ends}}}")).legs) == 2


def test_a_return_long_after_the_last_leg_lacks_a_leg() -> None:
    text = MOVE.replace(LEG, f"{SECOND.replace('to: Quillon Junction', 'to: Saltmarsh Quay')}, until: 2026-11-19}}")
    (problem,) = problems_of(text)
    assert problem.found == "a return on 2026-11-22, 3 days after the last leg arrives at Saltmarsh Quay"
    assert problem.expected == "`back: 2026-11-19`, or the legs of the way back"
    assert "write down the missing leg" in problem.remedy
    read = move(text.replace("rides: passengers", "rides: passengers, sure: it lies over in the host's yard"))
    assert [(one.of, one.why) for one in read.sure] == [("the move", "it lies over in the host's yard")]


def test_the_known_keys_are_listed_once() -> None:
    (problem,) = problems_of(MOVE.replace("rides: passengers", "rides: passengers, ridr: 1"))
    listed = problem.expected.removeprefix("one of ").split(", ")
    assert "`rides`" in listed
    assert len(listed) == len(set(listed))


def test_legs_that_do_not_join() -> None:
    problem = problem_at_mark(LEG, SECOND.replace("from: Port Averill", "from: «Elsewhere") + "}", MOVE)
    assert problem.found == "leg 2 from Elsewhere, where leg 1 ends at Port Averill"
    assert "`from: Port Averill`" in problem.expected
    assert "the leg that is missing" in problem.remedy


def test_legs_join_whatever_the_capitals() -> None:
    assert len(move(MOVE.replace(LEG, SECOND.replace("from: Port Averill", "from: PORT  averill") + "}")).legs) == 2


def test_a_leg_after_one_that_can_not_be_read() -> None:
    (problem,) = problems_of(MOVE.replace(LEG, "{from: A, miles: 1 mi}\n  - " + LEG))
    assert problem.found == "the key `to` is missing"


def test_a_route_still_to_be_named() -> None:
    assert move(MOVE.replace(LEG, "{from: to be named, to: to be named, miles: 0 mi}")).legs[0].miles.n == 0


def test_a_leg_on_the_host_itself_may_say_so() -> None:
    read = move(MOVE.replace("miles: 212 mi", "railroad: kestrel & northern, miles: 212 mi"))
    assert read.legs[0].facts["railroad"] == Word("kestrel & northern")


@pytest.mark.parametrize("mark", ["-", "n/a", "unknown", "none", "tbd", "?", "x", "..."])
def test_a_mark_in_the_place_of_a_name_says_nothing(mark: str) -> None:
    named = MOVE.replace("train: passenger", "train: excursion").replace("rides:", "excursion_operator: OF, rides:")
    found = [one.found for one in problems_of(named.replace("OF", f'"{mark}"'))]
    assert f"`{mark}`, which says nothing for `excursion_operator`" in found
    assert not any("says nothing" in one.found for one in problems_of(named.replace("OF", "Marsh Lines")))
