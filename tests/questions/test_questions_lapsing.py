"""The last good day of a finding: the very day, without a break, whatever day is asked first."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_worlds import BACK, OUT, REACH, car_record, compare, criterion, inches, move, reading, rulebook

from carknocker.judgement.index import LOOK_AHEAD, JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.quantities import Period
from carknocker.record.values import Day, Figure, Interval, Word
from carknocker.rulebook.clauses import AllOf, AnyOf
from carknocker.rulebook.model import Renewal

FLANGE = "flange_thickness"
WHEEL = "wheel W-1 left"


def asked(evidence, rule, part):
    """The finding on a part, and the judgement to ask again."""
    judgement = judge(car_record(evidence), move(), rulebook([rule], REACH), OUT)
    return next(one for one in judgement.findings if one.part.key == part), JudgementIndex(judgement)


def read_before(days):
    """A flange read some days before departure."""
    return reading(WHEEL, FLANGE, Figure(inches(16)), OUT - timedelta(days=days))


def thick(**more):
    return criterion("flange", "wheel", compare("wheel", FLANGE, "over", Figure(inches(14))), **more)


def built(years, days):
    """A car that is so many years old some days after departure."""
    on = (OUT + timedelta(days=days)).replace(year=OUT.year - years)
    return reading("car", "built_on", Day(on, on, on.isoformat()), OUT, sort="description")


def older(word, years=50):
    return compare("car", "age", word, Interval(Period(months=12 * years)))


def brake_test(days):
    return reading("brake system", "single_car_test", Word("passed"), OUT - timedelta(days=days), sort="test")


RECENT = compare("brake system", "single_car_test", "within", Interval(Period(days=90)))


@pytest.mark.parametrize("age", [0, 1, 79, 80])
def test_a_reading_is_good_up_to_the_day_on_which_it_is_as_old_as_is_accepted(age):
    finding, index = asked([read_before(age)], thick(read_within=Period(days=90)), WHEEL)
    assert finding.verdict == "met"
    assert index.last_day(finding) == OUT + timedelta(days=90 - age)


def test_a_lapse_during_the_move_is_that_of_the_judgement():
    finding, index = asked([read_before(81)], thick(read_within=Period(days=90)), WHEEL)
    assert finding.verdict == "lapses"
    assert index.last_day(finding) == finding.lapses_on == BACK - timedelta(days=1)


@pytest.mark.parametrize("more", [{}, {"read_within": Period(months=30)}])
def test_what_does_not_lapse_soon_has_no_last_day(more):
    finding, index = asked([read_before(1)], thick(**more), WHEEL)
    assert index.last_day(finding) is None


def test_what_lasts_to_the_end_of_the_look_ahead_has_no_last_day_and_a_day_less_has_one():
    age = (BACK + LOOK_AHEAD - OUT).days
    for accepted, wanted in ((age, None), (age - 1, BACK + LOOK_AHEAD - timedelta(days=1))):
        finding, index = asked([read_before(0)], thick(read_within=Period(days=accepted)), WHEEL)
        assert index.last_day(finding) == wanted


def test_what_the_crew_renews_has_no_last_day():
    rule = thick(read_within=Period(days=90), renewal=Renewal("crew", None, True))
    finding, index = asked([read_before(1)], rule, WHEEL)
    assert index.last_day(finding) is None


def test_what_only_begins_to_hold_never_ceases():
    rule = criterion("old", "car", older("at_least"))
    finding, index = asked([built(51, 0)], rule, "car")
    assert finding.verdict == "met"
    assert index.last_day(finding) is None


def test_a_gap_is_a_last_day_though_it_holds_again_later():
    either = AnyOf((compare("brake system", "age", "at_least", Interval(Period(months=600)), owner="car"), RECENT))
    rule = criterion("either", "brake system", either)
    finding, index = asked([brake_test(60), built(50, 100)], rule, "brake system")
    assert finding.verdict == "met"
    assert index.last_day(finding) == OUT + timedelta(days=30)
    finding, index = asked([brake_test(60), built(50, 31)], rule, "brake system")  # of age on the day after the last
    assert index.last_day(finding) is None


def test_what_does_not_hold_on_the_first_day_asked_has_no_last_day():
    finding, index = asked([read_before(80)], thick(read_within=Period(days=90)), WHEEL)
    late = BACK + timedelta(days=1)
    assert index.last_good_day(finding, late, late + LOOK_AHEAD) is None
    assert index.last_good_day(finding, BACK, BACK + LOOK_AHEAD) == BACK


@given(age=st.integers(0, 80), accepted=st.integers(90, 500), rim=st.integers(0, 70), guess=st.integers(-40, 460))
def test_whatever_day_is_asked_first_the_last_day_is_the_same_and_that_of_asking_every_day(
    age, accepted, rim, guess
):  # fmt: skip
    lately = compare("wheel", "rim_thickness", "within", Interval(Period(days=90)))
    both = AllOf((compare("wheel", FLANGE, "over", Figure(inches(14))), lately))
    rule = criterion("both", "wheel", both, read_within=Period(days=accepted))
    said = reading(WHEEL, "rim_thickness", Figure(inches(24)), OUT - timedelta(days=rim))
    finding, index = asked([read_before(age), said], rule, WHEEL)
    day = index.last_day(finding)
    assert day == by_every_day(finding, index)
    if finding.verdict != "lapses":
        guessed = OUT + timedelta(days=guess)
        assert day == index.last_good_day(finding, BACK, BACK + LOOK_AHEAD, guessed)


def by_every_day(finding, index) -> date | None:
    if finding.verdict == "lapses":
        return finding.lapses_on
    one = index.compiled(finding.criterion)
    day = BACK
    while day < BACK + LOOK_AHEAD:
        if one.must(index.view(finding, day + timedelta(days=1))) < 2:
            return day
        day += timedelta(days=1)
    return None
