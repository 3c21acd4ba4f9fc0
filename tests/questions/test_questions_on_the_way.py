"""Duties on the way, leg by leg: dated where the move says the days, and never where it does not."""

from datetime import date, timedelta
from pathlib import Path

import pytest
import repair_samples as samples
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from carknocker.judgement.answer import check
from carknocker.judgement.duty_moments import LegDays
from carknocker.page.leg_lines import leg_entries
from carknocker.quantities import read_quantity
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import Leg
from carknocker.rulebook import load_library
from carknocker.wording.days import days_words
from carknocker.wording.duties import during_the_move

MOVE = read_move_text(samples.MOVE, "move.yaml")
RULES = """
  - id: daily
    title: Looked at each day
    cause: {state: {built_on: {shown: yes}}, of: car}
    requires: {duty: look it over, when: on the way, every: day in service, routine: yes}
  - id: by-miles
    title: A test by the miles
    cause: {state: {built_on: {shown: yes}}, of: car}
    requires: {duty: test the brake, when: on the way, every: [9 days, 150 mi], routine: yes}
  - id: each-leg
    title: Felt on each leg
    cause: {state: {built_on: {shown: yes}}, of: car}
    requires: {duty: feel the boxes, when: on the way, every: leg, routine: yes}
  - id: first-miles
    title: Looked at early
    cause: {state: {built_on: {shown: yes}}, of: car}
    requires:
      - {duty: look at the keys, when: on the way, within_first: 25 mi}
      - {duty: look at the pins, when: on the way, within_first: 2 days}
      - {duty: look at the bolts, when: on the way, within_first: leg}
  - id: when-added
    title: When added
    cause: {state: {built_on: {shown: yes}}, of: car}
    requires: {duty: test it when it is added to a train, when: on the way, routine: yes}
"""
LEGS = """legs:
  - {from: One, to: Two, miles: 100 mi}
  - {from: Two, to: Three, miles: 120 mi}
  - {from: Three, to: One, miles: 180 mi}
"""
DATED = """legs:
  - {from: One, to: Two, miles: 100 mi, until: 2030-06-01}
  - {from: Two, to: Three, miles: 120 mi, on: 2030-06-04}
  - {from: Three, to: One, miles: 180 mi, on: 2030-06-12, until: 2030-06-13}
"""


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    folder: Path = tmp_path_factory.mktemp("yard")
    samples.yard_in(folder)
    chapter = folder / "test-yard" / "1" / "all.yaml"
    chapter.write_text(chapter.read_text() + RULES)
    return load_library([folder])


def during(yard, legs):
    text = samples.MOVE.replace("2030-06-05", "2030-06-13").partition("legs:")[0] + legs
    car = read_car_text(samples.car_text(), "car.yaml")
    return during_the_move(check(car, read_move_text(text, "move.yaml"), yard, samples.AS_OF).judgement)


def told(during, what):
    """Where and when something is due: the legs, the days, what else is said."""
    found = [
        ((legs.first, legs.last), tuple(day.day for day in due.days), due.when)
        for legs in during.legs
        for due in legs.duties
        if due.asked == what
    ]
    return found + [("any", (), due.when) for due in during.at_any_time if due.asked == what]


def test_with_its_days_each_leg_has_its_own(yard):
    answer = during(yard, DATED)
    assert answer.undated == ()
    assert [(legs.first, legs.on, legs.until, legs.stands_until) for legs in answer.legs] == [
        (1, date(2030, 6, 1), date(2030, 6, 1), date(2030, 6, 4)),
        (2, date(2030, 6, 4), None, None),
        (3, date(2030, 6, 12), date(2030, 6, 13), None),
    ]
    assert told(answer, "look it over") == [
        ((1, 1), (1,), ""), ((2, 2), (4,), ""), ((2, 2), (), "each further day in service"), ((3, 3), (12, 13), ""),
    ]  # fmt: skip
    assert told(answer, "feel the boxes") == [
        ((1, 1), (1,), "on this leg"), ((2, 2), (4,), "on this leg"), ((3, 3), (12,), "on this leg")
    ]  # fmt: skip


def test_without_days_nothing_is_dated_but_what_departure_dates(yard):
    answer = during(yard, LEGS)
    assert answer.undated == (2, 3)
    assert told(answer, "look it over") == [
        ((1, 1), (1,), ""), ((1, 1), (), "each further day in service"), ((2, 3), (), "each day in service")
    ]  # fmt: skip
    assert told(answer, "feel the boxes") == [
        ((1, 1), (1,), "on this leg"), ((2, 2), (), "on this leg"), ((3, 3), (), "on this leg")
    ]  # fmt: skip
    lines = [line for entry in leg_entries(answer) for line in entry.lines]
    assert any("Legs 2, 3 have no day of departure in the move file" in line and "2030-06-13" in line for line in lines)


def test_miles_fall_on_the_leg_on_which_they_are_made(yard):
    answer = during(yard, DATED)
    miles = [one for one in told(answer, "test the brake") if one[2]]
    assert miles == [
        ((2, 2), (), "by 150 miles of the move, 50 miles of this leg"),
        ((3, 3), (), "by 300 miles of the move, 80 miles of this leg"),
    ]
    assert told(answer, "look at the keys") == [((1, 1), (1,), "by 25 miles of the move")]


def test_a_period_counts_from_departure_and_is_placed_on_the_legs_that_may_be_under_way(yard):
    assert [one for one in told(during(yard, DATED), "test the brake") if not one[2]] == [((2, 2), (10,), "")]
    assert [one for one in told(during(yard, LEGS), "test the brake") if not one[2]] == [((1, 3), (10,), "")]
    assert told(during(yard, DATED), "look at the pins") == [((1, 1), (3,), "")]


def test_what_is_done_on_the_first_leg_and_what_comes_about_anywhere(yard):
    answer = during(yard, LEGS)
    assert told(answer, "look at the bolts") == [((1, 1), (1,), "on this leg")]
    assert told(answer, "test it when it is added to a train") == [("any", (), "")]


def test_days_that_follow_each_other_are_told_as_one_span():
    days = [date(2030, 6, number) for number in (1, 2, 4, 5, 6, 9)]
    assert days_words(days) == "2030-06-01, 2030-06-02, each day from 2030-06-04 to 2030-06-06, 2030-06-09"


@given(
    st.lists(st.tuples(st.integers(0, 6), st.booleans()), min_size=1, max_size=5),
    st.integers(0, 30),
)
def test_the_leg_that_is_truly_under_way_is_always_among_those_named(steps, asked):
    """Some days of a true timetable are hidden; what is told without them never excludes what is true."""
    starts = [samples.OUT]
    for days, _ in steps:
        starts.append(starts[-1] + timedelta(days=days))
    back = starts[-1] + timedelta(days=2)
    legs = tuple(
        Leg(number, "A", "B", read_quantity("1 mi", "distance"), {}, MOVE.where, start if shown else None)
        for number, (start, shown) in enumerate(zip(starts, [False, *(shown for _, shown in steps)], strict=True), 1)
    )
    move = replace(MOVE, legs=legs, back=back)
    day = min(samples.OUT + timedelta(days=asked), back)
    first, last = LegDays(move).spans_by(day)
    under_way = [number for number, start in enumerate(starts, 1) if start <= day]
    leaving = [number for number, start in enumerate(starts, 1) if start == day]
    assert first <= last
    assert first <= under_way[-1]
    assert last >= (leaving or under_way)[0]
    if all(leg.on is not None for leg in legs[1:]):
        assert (first, last) == ((leaving[0],) * 2 if leaving else (under_way[-1],) * 2)
