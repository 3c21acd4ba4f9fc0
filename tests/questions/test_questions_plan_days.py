"""The days of a plan: work days, parts whose lead time nobody says, test devices and gauges that run out."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from planning_samples import MOVE, car_text, checked, library_in, wheelset

from carknocker.cli.inputs import check_car
from carknocker.page.text import text_of
from carknocker.questions.plan.ask import plan
from carknocker.questions.plan.drawing import schedule_drawing
from carknocker.questions.plan.model import Plan
from carknocker.questions.plan.page import first_sheet_words, plan_page
from carknocker.questions.plan.schedule import Draft, days_after_arrival, days_of_steps
from carknocker.questions.plan.work_days import EVERY_DAY, read_work_days
from carknocker.rulebook import Library
from carknocker.whatif.work.prices import read_prices_text

TRUCKS = {"B": ["W-1", "W-2"], "A": ["W-3", "W-4"]}
SOUND = {serial: wheelset() for serials in TRUCKS.values() for serial in serials}
BAD = {**SOUND, "W-4": wheelset(bearing="plain")}
WEEKEND = read_work_days("sat,sun")
WEDNESDAY = date(2030, 5, 1)


@pytest.fixture(scope="module")
def law(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return library_in(tmp_path_factory.mktemp("law"), sizes=False)


def said(found: Plan) -> str:
    return " ".join(text_of(plan_page(found)).split())


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("sat,sun", {5, 6}),
        ("Saturdays, sunday", {5, 6}),
        ("mon-fri", {0, 1, 2, 3, 4}),
        ("fri-mon", {4, 5, 6, 0}),
        ("wed", {2}),
        ("mon - wed, sat", {0, 1, 2, 5}),
        ("mon-sun", {0, 1, 2, 3, 4, 5, 6}),
    ],
)
def test_work_days_are_read(text: str, days: set[int]) -> None:
    assert read_work_days(text).weekdays == days
    assert read_work_days(text).every_day == (len(days) == 7)


@pytest.mark.parametrize("text", ["", "sat,", "weekend", "sat;sun", "7", "mon-", "2030-05-01"])
def test_what_is_no_day_of_the_week_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"is no day of the week.*such as `sat,sun` or `mon-fri`"):
        read_work_days(text)


def test_work_days_in_words() -> None:
    assert str(read_work_days("sun,sat")) == "Saturdays and Sundays"
    assert str(read_work_days("mon-wed")) == "Mondays, Tuesdays and Wednesdays"
    assert str(read_work_days("fri")) == "Fridays"


@pytest.mark.parametrize(
    ("day", "first", "before"),
    [  # 2030-05-04 is a Saturday
        (date(2030, 5, 3), date(2030, 5, 4), date(2030, 4, 28)),
        (date(2030, 5, 4), date(2030, 5, 4), date(2030, 4, 28)),
        (date(2030, 5, 5), date(2030, 5, 5), date(2030, 5, 4)),
        (date(2030, 5, 6), date(2030, 5, 11), date(2030, 5, 5)),
    ],
)
def test_the_next_and_the_last_work_day(day: date, first: date, before: date) -> None:
    assert WEEKEND.from_(day) == first
    assert WEEKEND.before(day) == before


def test_so_many_work_days() -> None:
    assert WEEKEND.last_of(date(2030, 5, 4), 1) == date(2030, 5, 4)
    assert WEEKEND.last_of(date(2030, 5, 4), 3) == date(2030, 5, 11)
    assert WEEKEND.first_of(date(2030, 5, 11), 3) == date(2030, 5, 4)
    assert WEEKEND.number(date(2030, 5, 4), date(2030, 5, 11)) == 3
    assert WEEKEND.number(date(2030, 5, 6), date(2030, 5, 10)) == 0


def drafts(*, lead: date = WEDNESDAY, waits_on: tuple[str, ...] = ()) -> list[Draft]:
    return [
        Draft("out", "lift and roll out", "truck B", 1, WEDNESDAY),
        Draft("wheels", "wheels, bearings and boxes", "truck B", 2, lead, waits_on),
        Draft("back", "roll back and lower", "truck B", 1, WEDNESDAY),
        Draft("paper", "papers", "", 1, WEDNESDAY),
    ]


def days(found: object) -> list[tuple[str, str]]:
    return [(one.first.isoformat()[5:], one.last.isoformat()[5:]) for one in found]  # type: ignore[attr-defined]


def test_every_day_is_a_work_day_where_nobody_says_otherwise() -> None:
    found = days_of_steps(drafts(), WEDNESDAY)
    assert days(found) == [("05-01", "05-01"), ("05-02", "05-03"), ("05-04", "05-04"), ("05-01", "05-01")]
    assert [one.critical for one in found] == [True, True, True, False]
    assert not any(one.earliest for one in found)


def test_work_waits_for_the_weekend_and_a_lead_time_runs_through_the_week() -> None:
    weekend = days_of_steps(drafts(), WEDNESDAY, WEEKEND)
    assert days(weekend) == [("05-04", "05-04"), ("05-05", "05-11"), ("05-12", "05-12"), ("05-04", "05-04")]
    assert [one.critical for one in weekend] == [True, True, True, False]
    # the part is there on Saturday the 11th: work begins on that very day; on Sunday the 12th, a day later
    for lead, wheels in ((date(2030, 5, 11), ("05-11", "05-12")), (date(2030, 5, 12), ("05-12", "05-18")),
                         (date(2030, 5, 13), ("05-18", "05-19"))):  # fmt: skip
        found = days_of_steps(drafts(lead=lead), WEDNESDAY, WEEKEND)
        assert days(found)[1] == wheels
    # the truck rolls out on the last work day before
    assert days(days_of_steps(drafts(lead=date(2030, 5, 13)), WEDNESDAY, WEEKEND))[0] == ("05-12", "05-12")


def test_what_waits_for_a_part_of_unknown_lead_time_has_its_earliest_days_only() -> None:
    found = days_of_steps(drafts(waits_on=("wheelset",)), WEDNESDAY)
    assert days(found) == days(days_of_steps(drafts(), WEDNESDAY))
    assert [one.earliest for one in found] == [True, True, True, False]
    assert days_after_arrival(drafts(waits_on=("wheelset",)), WEDNESDAY) == (("wheelset", 3),)
    assert days_after_arrival(drafts(waits_on=("wheelset",)), WEDNESDAY, WEEKEND) == (("wheelset", 3),)
    assert days_after_arrival(drafts(), WEDNESDAY) == ()


def test_each_part_of_unknown_lead_time_has_its_own_days() -> None:
    two = [*drafts(waits_on=("wheelset",)), Draft("hose", "spares aboard", "", 1, WEDNESDAY, ("air hose",))]
    assert days_after_arrival(two, WEDNESDAY) == (("wheelset", 3), ("air hose", 1))


def prices(wheelset_says: str) -> object:
    return read_prices_text(f"format: carknocker-prices/1\nspares:\n  wheelset: {{{wheelset_says}}}\n", "prices.yaml")


@pytest.mark.parametrize("told", [None, "cost: 900"])
def test_no_day_is_given_where_nobody_says_when_a_bought_part_arrives(law: Library, told: str | None) -> None:
    found = plan(checked(car_text(TRUCKS, BAD), law), None if told is None else prices(told))  # type: ignore[arg-type]
    assert (found.car_ready_on, found.car_departs_on, found.done_on) == (None, None, None)
    assert found.after_arrival[0][0] == "wheelset"
    assert not found.in_time
    assert not found.too_late
    assert " on 2030-" not in plan_page(found).verdict
    assert f"not before {found.ready_on.isoformat()}" in plan_page(found).verdict
    assert "lead time not on record" in said(found)
    drawing = schedule_drawing(found)
    assert drawing is not None
    assert "not before" in drawing.described


def test_a_lead_time_that_is_on_record_gives_the_day(law: Library) -> None:
    none = plan(checked(car_text(TRUCKS, BAD), law))
    for lead in (0, 1, 20):
        found = plan(checked(car_text(TRUCKS, BAD), law), prices(f"lead: {lead} days"))  # type: ignore[arg-type]
        assert found.dated
        assert found.car_ready_on == found.ready_on
        assert f"on {found.ready_on.isoformat()} at the earliest" in plan_page(found).verdict
    # what the words promise: so many days of work from the day of arrival, 2030-05-21 being the twentieth day on
    ((part, after),) = none.after_arrival
    assert part == "wheelset"
    assert found.ready_on == EVERY_DAY.last_of(date(2030, 5, 21), after)


def test_in_time_if_the_part_arrives_by_the_day_that_the_page_names(law: Library) -> None:
    """Departure is 2030-06-01. The day named is the last one: a lead time to it is in time, one day more is not."""
    none = plan(checked(car_text(TRUCKS, BAD), law))
    last = date(2030, 5, 31).toordinal() - none.after_arrival[0][1] + 1  # done on the evening before
    assert f"only if the wheelset arrives by {date.fromordinal(last).isoformat()}." in said(none)
    for more, in_time in ((0, True), (1, False)):
        lead = last - date(2030, 5, 1).toordinal() + more
        found = plan(checked(car_text(TRUCKS, BAD), law), prices(f"lead: {lead} days"))  # type: ignore[arg-type]
        assert found.in_time is in_time


@pytest.mark.parametrize(
    ("out", "in_time", "leaves", "words"),
    [
        ("2030-05-06", True, "2030-05-06", ": 1 day before departure."),
        (
            "2030-05-05",
            False,
            "2030-05-06",
            ": ON THE DAY OF DEPARTURE, in time only if step 5 is done before the car leaves.",
        ),
        ("2030-05-04", False, "2030-05-06", ": 1 day after departure, TOO LATE for this move."),
    ],
)
def test_ready_on_a_day_is_at_its_end_so_the_car_leaves_on_the_next(
    law: Library, out: str, in_time: bool, leaves: str, words: str
) -> None:
    """Of a wheelset that is here on 2030-05-01 the last step is done on 2030-05-05."""
    move = MOVE.replace("2030-06-01", out).replace("2030-06-05", "2030-05-20")
    found = plan(checked(car_text(TRUCKS, BAD), law, move=move), prices("lead: 0 days"))  # type: ignore[arg-type]
    last = found.ready_on.toordinal()
    assert last == max(step.last for step in found.steps).toordinal()
    assert found.in_time is in_time
    assert found.leaves_from.isoformat() == leaves
    assert plan_page(found).verdict.endswith(words)


def test_with_nothing_to_do_the_car_leaves_on_the_day_of_the_plan(law: Library) -> None:
    found = plan(checked(car_text(TRUCKS, SOUND), law))
    assert found.steps == ()
    assert found.leaves_from == found.check.day
    assert found.in_time
    assert "ready now" in said(found)


def test_no_day_of_arrival_is_named_that_would_end_the_work_on_the_day_of_departure(law: Library) -> None:
    """All else being done, the part would have to arrive before the day of the plan."""
    move = MOVE.replace("2030-06-01", "2030-05-05")
    found = plan(checked(car_text(TRUCKS, BAD), law, move=move))
    assert found.ends_on_departure
    assert "In time for departure" not in said(found)
    assert "ON THE DAY OF DEPARTURE" in plan_page(found).verdict


def test_a_plan_that_is_too_late_even_with_all_parts_there_says_so(law: Library) -> None:
    soon = MOVE.replace("2030-06-01", "2030-05-02").replace("2030-06-05", "2030-05-06")
    found = plan(checked(car_text(TRUCKS, BAD), law, move=soon))
    assert found.too_late
    assert "TOO LATE for this move" in plan_page(found).verdict


def test_which_wheelsets_are_on_hand_and_where_they_are_changed(law: Library) -> None:
    bought = plan(checked(car_text(TRUCKS, BAD), law))
    assert "on hand 0 of 1 wheelset; 1 to be bought" in said(bought)
    assert "renewed at (shop, place) ____" in said(bought)
    assert "ordered from ____" in said(bought)
    have = plan(checked(car_text(TRUCKS, {**BAD, "S-1": wheelset()}), law))
    assert "on hand 1 of 1 wheelset, S-1" in said(have)
    assert "ordered from" not in said(have)
    assert have.dated
    assert "TO BE FILLED IN" not in said(plan(checked(car_text(TRUCKS, SOUND, heights=("31 in", "33 in")), law)))


@pytest.mark.parametrize(
    ("due", "words"),
    [
        ("2030-05-01", "device: D-7, last used 2029-01-01, is due 2030-05-01: in date on 2030-05-01"),
        (
            "2030-04-30",
            "device: D-7 is due 2030-04-30, before this step: have it checked first, or use another in date",
        ),
    ],
)
def test_no_test_is_planned_with_a_device_that_is_overdue_on_that_day(law: Library, due: str, words: str) -> None:
    """The brake test falls on the day of the plan, 2030-05-01; a device is in date through its last day."""
    text = car_text(TRUCKS, SOUND, tested="2029-01-01")
    line = next(one for one in text.splitlines() if "single-car brake test" in one)
    start = line.index("device_due")
    stop = min(at for sign in ",}" if (at := line.find(sign, start)) > 0)
    text = text.replace(line, f"{line[:start]}device: D-7, device_due: {due}{line[stop:]}")
    found = plan(checked(text, law))
    (step,) = found.steps
    assert (step.what, step.last, step.details) == ("single-car brake test", date(2030, 5, 1), (words,))


def test_a_car_that_nobody_has_looked_at_begins_with_one_sheet() -> None:
    answer = check_car(Path(__file__).parents[2] / "cases" / "nothing-measured", None, None, date(2026, 10, 8))
    assert first_sheet_words(answer).endswith("start with this sheet, `carknocker worksheet CAR --sheet 'truck B'`")
