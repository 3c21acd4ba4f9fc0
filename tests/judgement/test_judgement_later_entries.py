"""What is dated after the day judged does not count, whatever it is; a month or a year counts at its worst."""

from datetime import date, timedelta

import pytest
from msgspec.structs import replace
from random_worlds import (
    BACK,
    HOST,
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
from carknocker.quantities import Period, Quantity
from carknocker.record.model import Evidence, Gauge, Leave, MoveMade, Work
from carknocker.record.values import Day, Figure, Interval, Word
from carknocker.rulebook.clauses import AttributePath, Comparison, Fixed
from carknocker.rulebook.model import Voids
from carknocker.vocabulary import load_vocabulary

TODAY = OUT - timedelta(days=30)
TOMORROW = TODAY + timedelta(days=1)
DAYS = [(TODAY, True), (TOMORROW, False)]
THICK = criterion("thick", "coupler", compare("coupler", "coupler_height", "over", Figure(inches(512))))
VOCABULARY = load_vocabulary()


def day(on):
    return Day(on, on, on.isoformat())


def judged(car, criteria=(THICK,), consequences=(), **more):
    return judge(car, move(**more), rulebook(list(criteria), [*REACH, *consequences]), TODAY)


def couplers(on=TODAY, inch=528, **more):
    return [reading(f"coupler {end}", "coupler_height", Figure(inches(inch)), on, **more) for end in "BA"]


def ready(judgement):
    return judgement.outcome == "ready"


def told(kind, name, word, value):
    return Comparison(AttributePath("", VOCABULARY.attribute(kind, name)), word, Fixed((value,)), NOWHERE)


@pytest.mark.parametrize(("on", "counts"), DAYS)
def test_a_reading(on, counts):
    assert ready(judged(car_record(couplers(on)))) is counts


@pytest.mark.parametrize(("on", "counts"), DAYS)
def test_a_test(on, counts):
    tested = reading("brake system", "single_car_test", Word("passed"), on, sort="test")
    one = criterion("tested", "brake system", compare("brake system", "single_car_test", "shown"))
    assert ready(judged(car_record([tested]), [one])) is counts


@pytest.mark.parametrize(("on", "counts"), DAYS)
def test_a_paper_by_the_day_on_which_it_was_signed(on, counts):
    attribute = VOCABULARY.papers["liability insurance"].attribute
    paper = Evidence(f"car {attribute}", attribute, "car", "car", Word("yes"), "paper", on, NOWHERE, until=BACK)
    one = criterion("insured", "car", told("car", attribute, "shown", Word("yes")))
    assert ready(judged(car_record([paper]), [one])) is counts


@pytest.mark.parametrize(("on", "counts"), DAYS)
def test_a_request(on, counts):
    wanted = Interval(Period(days=29))
    one = criterion("asked", "move", told("move", "notice_days", "at_least", wanted))
    judgement = judged(car_record([]), [one], facts={"requested_on": day(on)})
    assert ready(judgement) is counts
    note = f"Not counted, being dated after {TODAY}: requested on {on}, as the move says."
    assert (note in judgement.notes) is not counts


@pytest.mark.parametrize(("on", "counts"), [(TODAY - timedelta(days=1), True), (TODAY, False)])
def test_a_request_that_has_to_be_in_before_a_day(on, counts):
    one = criterion("asked", "move", told("move", "requested_on", "before", day(TODAY)))
    assert ready(judged(car_record([]), [one], facts={"requested_on": day(on)})) is counts


def test_a_request_of_a_month_counts_from_its_last_day():
    month = Day(date(2030, 5, 1), date(2030, 5, 31), "2030-05")
    for least, counts in ((15, True), (16, False)):
        one = criterion("asked", "move", told("move", "notice_days", "at_least", Interval(Period(days=least))))
        assert ready(judged(car_record([]), [one], facts={"requested_on": month})) is counts


@pytest.mark.parametrize(
    ("checked", "before", "counts"),
    [
        (TODAY, (), True),
        (TOMORROW, (), False),
        (TOMORROW, (TODAY,), True),
        (TOMORROW, (TOMORROW,), False),
    ],
)
def test_a_check_of_the_gauge(checked, before, counts):
    gauge = Gauge("G-1", "finger gauge", inches(1), checked, BACK + timedelta(days=300), NOWHERE, None, before)
    judgement = judged(car_record(couplers(gauge=gauge)))
    assert ready(judgement) is counts


def test_a_check_that_came_later_than_the_reading_shows_nothing_of_it():
    for checked, counts in ((TODAY - timedelta(days=9), True), (TODAY - timedelta(days=8), False)):
        gauge = Gauge("G-1", "finger gauge", inches(1), checked, BACK + timedelta(days=300), NOWHERE)
        assert ready(judged(car_record(couplers(TODAY - timedelta(days=9), gauge=gauge)))) is counts


@pytest.mark.parametrize(("on", "counts"), DAYS)
def test_an_acceptance_by_the_day_since_which_it_is_given(on, counts):
    by = replace(INSPECTOR, accepted_from=on)
    assert ready(judged(car_record(couplers(by=by)), [replace(THICK, shown_by="accepted shop")])) is counts


@pytest.mark.parametrize(("on", "counts"), [*DAYS, (None, False)])
def test_a_leave_by_the_day_on_which_it_is_signed(on, counts):
    leave = Leave("L-1", HOST, "thick", ("car",), OUT, BACK, "move", "NN", "letter 1", NOWHERE, signed_on=on)
    by_leave = consequence("by-leave", [cause("leave")], relieves(named=True))
    judgement = judged(car_record(couplers(inch=500), leaves=[leave]), consequences=[by_leave])
    assert (judgement.outcome == "ready with restrictions") is counts
    why = "does not say when it was signed" if on is None else "signed only on"
    assert any(why in note for note in judgement.notes) is not counts


@pytest.mark.parametrize(("on", "counts"), DAYS)
def test_a_day_that_a_value_tells(on, counts):
    """Wheels that are to be mounted tomorrow have made few miles, and are not mounted yet."""
    mounted = [
        Evidence(f"{n} m", "mounted_on", f"wheelset W-{n}", f"wheelset W-{n}", day(on), "description", None, NOWHERE)
        for n in range(1, 5)
    ]
    limit = Figure(Quantity("distance", 100, 1, "mi"))
    one = criterion("new", "wheelset", told("wheelset", "miles_since_mounted", "at_most", limit))
    judgement = judged(car_record(mounted), [one])
    assert ready(judgement) is counts
    assert any("mounted on (description)" in note for note in judgement.notes) is not counts


@pytest.mark.parametrize(("on", "counts"), DAYS)
def test_work_voids_only_once_it_is_done(on, counts):
    job = Work("J-1", False, "coupler renewed", on, ("coupler B",), NOWHERE)
    voids = consequence("voids", [cause("work", names=("coupler renewed",))], Voids("", ("coupler_height",), "coupler"))
    assert ready(judged(car_record(couplers(), work=[job]), consequences=[voids])) is not counts


@pytest.mark.parametrize(("on", "counts"), DAYS)
def test_an_event_calls_for_its_duty_only_once_it_happened(on, counts):
    event = Work("E-1", True, "derailment", on, ("car",), NOWHERE)
    asks = consequence("asks", [cause("event", names=("derailment",))], requires("car", words="look at it"))
    assert ready(judged(car_record(couplers(), work=[event]), consequences=[asks])) is not counts


@pytest.mark.parametrize(("on", "counts"), DAYS)
def test_a_move_made(on, counts):
    made = MoveMade(on, on, Quantity("distance", 101, 1, "mi"), HOST, NOWHERE)
    begun = [
        Evidence(f"{n} m", "mounted_on", f"wheelset W-{n}", f"wheelset W-{n}", day(date(2029, 1, 1)), "description",
                 None, NOWHERE)
        for n in range(1, 5)
    ]  # fmt: skip
    limit = Figure(Quantity("distance", 100, 1, "mi"))
    one = criterion("new", "wheelset", told("wheelset", "miles_since_mounted", "at_most", limit))
    assert ready(judged(replace(car_record(begun), moves_made=(made,)), [one])) is not counts


@pytest.mark.parametrize(
    ("due", "counts"),
    [
        (day(TODAY), True),
        (day(TODAY - timedelta(days=1)), False),
        (Day(date(2030, 5, 1), date(2030, 5, 31), "2030-05"), False),
        (Day(date(2030, 6, 1), date(2030, 6, 30), "2030-06"), True),
    ],
)
def test_a_test_device_that_was_due_in_a_month_was_due_on_its_first_day(due, counts):
    tested = reading("brake system", "single_car_test", Word("passed"), TODAY, sort="test", facts={"device_due": due})
    one = criterion("tested", "brake system", compare("brake system", "single_car_test", "shown"))
    assert ready(judged(car_record([tested]), [one])) is counts


def test_of_a_month_the_last_good_check_is_the_one_that_the_gauge_knows():
    month = Day(date(2030, 5, 1), date(2030, 5, 31), "2030-05")
    facts = {"gauge": Word("G-1"), "last_good_check": month}
    wrong = Work("E-1", True, "gauge found wrong", TODAY, ("car",), NOWHERE, facts=facts)
    for checked, last in ((date(2030, 5, 10), 10), (date(2030, 5, 1), 1)):
        gauge = Gauge("G-1", "finger gauge", inches(1), checked, BACK + timedelta(days=300), NOWHERE)
        for on, counts in ((date(2030, 5, last), True), (date(2030, 5, last + 1), False)):
            assert ready(judged(car_record(couplers(on, gauge=gauge), work=[wrong]))) is counts
