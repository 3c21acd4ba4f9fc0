"""Readings that can hardly be beside an earlier one: a wheel that moved on its axle, one that did not lose what was
cut, one that wore too fast for its miles. And readings that their sheet could not have taken."""

from datetime import date, timedelta
from fractions import Fraction

import pytest
from msgspec.structs import replace
from random_worlds import INSPECTOR, NOWHERE, OUT, car_record, inches, move, reading

from carknocker.judgement.doubts import doubts_of
from carknocker.judgement.mending import NO_RULES
from carknocker.judgement.odd_readings import odd_older_readings
from carknocker.judgement.situation import Situation
from carknocker.quantities import Quantity
from carknocker.record.model import CarRecord, Evidence, LogStatement, MoveMade, Work
from carknocker.record.standing import stand
from carknocker.record.values import Figure, Word
from carknocker.vocabulary.model import Access
from carknocker.wording.oddities import oddity_words

WHEEL, MATE, WHEELSET = "wheel W-1 left", "wheel W-1 right", "wheelset W-1"
YEAR, WEEK = timedelta(days=365), timedelta(days=7)


def situation(car: CarRecord) -> Situation:
    return Situation(stand(car, move(), OUT), move(), {})


def names(car: CarRecord) -> list[str]:
    return [doubt.name for doubt in doubts_of(situation(car), NO_RULES)]


def read(part: str, name: str, sixtyfourths: int, on: date, **more: object) -> Evidence:
    return reading(part, name, Figure(inches(sixtyfourths, 64)), on, resolution=inches(1, 32), **more)


# back to back


def apart(sixtyfourths: int) -> list[Evidence]:
    first = 53 * 64 + 16
    return [
        read(WHEELSET, "back_to_back", first, OUT - YEAR),
        read(WHEELSET, "back_to_back", first + sixtyfourths, OUT),
    ]


@pytest.mark.parametrize(
    ("moved", "found"), [(8, []), (9, ["moved-without-work"]), (-8, []), (-9, ["moved-without-work"])]
)
def test_back_to_back_does_not_move_without_work(moved: int, found: list[str]) -> None:
    # 1/16 in, and 1/32 in of each gauge: 8/64 in
    assert names(car_record(apart(moved))) == found


def test_mounting_answers_for_another_back_to_back() -> None:
    mounted = Work("J-1", False, "wheels renewed on the axle", OUT - WEEK, (WHEELSET,), NOWHERE)
    assert names(car_record(apart(32), work=[mounted])) == []


# the cut


def logged(car: CarRecord, miles: int, since: date = OUT - YEAR) -> CarRecord:
    """The car with a log that is complete from a day on, in which it ran so far."""
    on = OUT - WEEK
    made = MoveMade(on, on, Quantity.of("distance", Fraction(miles), "mi"), "", NOWHERE)
    return replace(car, moves_made=(made,) if miles else (), log=LogStatement(since, INSPECTOR, NOWHERE))


def worn(sixtyfourths: int, miles: int, *, complete: bool = True) -> list[str]:
    rims = [read(WHEEL, "rim_thickness", 96, OUT - YEAR), read(WHEEL, "rim_thickness", 96 - sixtyfourths, OUT)]
    since = OUT - YEAR if complete else OUT - YEAR + timedelta(days=1)
    car = logged(car_record(rims), miles, since)
    assert names(car) == []
    return [oddity_words(one.odd) for one in odd_older_readings(situation(car))]


def turned(cut: Figure, at: str = WHEEL, on: date = OUT - WEEK) -> Work:
    return Work("J-1", False, "wheels turned", on, (at,), NOWHERE, facts={"cut": cut})


QUARTER = Figure(inches(1, 4))


@pytest.mark.parametrize(
    ("lost", "found"),
    [
        (16, []), (28, []), (29, ["turned-as-cut"]), (4, []), (3, ["turned-as-cut"]), (0, ["turned-as-cut"]),
    ],
)  # fmt: skip
def test_a_rim_loses_what_was_cut(lost: int, found: list[str]) -> None:
    # a cut of 16/64 in, with 8/64 in of room and 4/64 in of the two gauges
    rims = [read(WHEEL, "rim_thickness", 96, OUT - 2 * WEEK), read(WHEEL, "rim_thickness", 96 - lost, OUT)]
    assert names(car_record(rims, work=[turned(QUARTER)])) == found


def test_a_rim_read_long_before_its_turning_may_have_lost_more() -> None:
    for before, found in ((timedelta(days=31), ["turned-as-cut"]), (timedelta(days=32), [])):
        job = turned(QUARTER)
        rims = [read(WHEEL, "rim_thickness", 96, job.on - before), read(WHEEL, "rim_thickness", 96 - 40, OUT)]
        assert names(replace(car_record(rims, work=[job]), log=None)) == found  # no log: it may have run meanwhile
    little = [read(WHEEL, "rim_thickness", 96, OUT - YEAR), read(WHEEL, "rim_thickness", 96 - 3, OUT)]
    assert names(car_record(little, work=[turned(QUARTER)])) == ["turned-as-cut"]


@pytest.mark.parametrize(
    ("lost", "miles", "found"),
    [(32, 0, []), (33, 0, ["turned-as-cut"]), (33, 1_000, []), (56, 10_000, []), (57, 10_000, ["turned-as-cut"])],
)
def test_what_a_turned_wheel_lost_besides_is_held_against_its_miles(lost: int, miles: int, found: list[str]) -> None:
    # a cut of 16/64 in, 12/64 in of room and gauges, 4/64 in of wear anyhow, and 24/64 in for 10,000 miles
    rims = [read(WHEEL, "rim_thickness", 96, OUT - YEAR), read(WHEEL, "rim_thickness", 96 - lost, OUT)]
    assert names(logged(car_record(rims, work=[turned(QUARTER)]), miles)) == found
    assert names(replace(car_record(rims, work=[turned(QUARTER)]), log=None)) == []  # how far it ran nobody knows


# 12.57 tapes of cut, 6 of room and readings, 3.14 of wear anyhow: 21.7 tapes
@pytest.mark.parametrize(("size", "found"), [(79, []), (78, ["turned-as-cut"])])
def test_a_tape_size_of_a_year_before_the_turning_is_held_against_the_miles_too(size: int, found: list[str]) -> None:
    both = [*tapes(100, OUT - YEAR), *tapes(size, OUT)]
    assert names(logged(car_record(both, work=[turned(QUARTER)]), 0)) == found


def test_a_cut_of_the_mate_is_no_cut_of_this_wheel_alone() -> None:
    rims = [read(WHEEL, "rim_thickness", 96, OUT - 2 * WEEK), read(WHEEL, "rim_thickness", 96, OUT)]
    other = Work("J-2", False, "wheels turned", OUT - WEEK, (WHEEL,), NOWHERE)
    assert names(car_record(rims, work=[turned(QUARTER), other])) == []  # two jobs: which cut is whose is not known
    assert names(car_record(rims, work=[other])) == []  # no cut is written


def tapes(size: int, on: date, tape: str = "T-1") -> list[Evidence]:
    told = Figure(Quantity("tapes", size, 1, "tapes"))
    return [
        reading(WHEEL, "tape_size", told, on, resolution=Quantity("tapes", 1, 1, "tapes")),
        reading(WHEEL, "tape_id", Word(tape), on, number=1),
    ]


@pytest.mark.parametrize(
    ("size", "tape", "found"),
    [
        (88, "T-1", []), (93, "T-1", []), (94, "T-1", ["turned-as-cut"]), (82, "T-1", []),
        (81, "T-1", ["turned-as-cut"]), (94, "T-2", []),
    ],
)  # fmt: skip
def test_a_tape_size_falls_by_what_was_cut(size: int, tape: str, found: list[str]) -> None:
    # 1/4 in of cut: 2π/4 in of circumference, 12.57 tapes of 1/8 in; 4 tapes of room and 1 of each reading
    both = [*tapes(100, OUT - 2 * WEEK), *tapes(size, OUT, tape)]
    assert names(car_record(both, work=[turned(QUARTER)])) == found


# wear and miles


def test_a_rim_wears_no_faster_than_its_miles_allow() -> None:
    # 1/16 in, 1/32 in of each gauge, and 3/8 in for 10,000 miles: 32/64 in
    assert worn(32, 10_000) == []
    (words,) = worn(33, 10_000)
    assert words.startswith(
        f"rim thickness 1-1/2 in on {OUT - YEAR}, 63/64 in on {OUT}: no wheel wears so in 10,000 mi"
    )
    assert worn(33, 20_000) == []
    assert worn(33, 10_000, complete=False) == []  # a move may be missing in the log


# the access of a sheet


@pytest.mark.parametrize(
    ("name", "access", "found"),
    [
        ("back_to_back", ("walking round",), ["out-of-reach"]),
        ("back_to_back", ("walking round", "pit"), ["out-of-reach"]),
        ("back_to_back", ("walking round", "wheel free"), []),
        ("back_to_back", ("shop",), []),
        ("back_to_back", (), []),
        ("serial_readable", ("inside",), []),  # walking round: people write one word for a whole walk
    ],
)
def test_a_sheet_reads_what_its_access_allows(name: str, access: tuple[Access, ...], found: list[str]) -> None:
    value = Word("yes") if name == "serial_readable" else Figure(inches(53 * 4 + 1, 4))
    entry = reading(WHEELSET, name, value, OUT, resolution=inches(1, 32), access=access)
    assert names(car_record([entry])) == found
