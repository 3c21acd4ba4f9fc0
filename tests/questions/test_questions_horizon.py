"""`horizon`: the first day that is not ready, by brute force; lapses; wear at the car's own rate; the calendar."""

from datetime import date, timedelta

import icalendar
import pytest
import repair_samples as samples

from carknocker.dossier.forms.horizon_calendar import calendar_of
from carknocker.quantities import read_quantity
from carknocker.questions.check import check
from carknocker.questions.horizon.horizon import horizon
from carknocker.questions.horizon.lapses import lapses_between
from carknocker.questions.shifted_move import shifted
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders

READY = ("ready", "ready with restrictions")
MILES = read_quantity("5,000 mi", "distance")


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    return samples.yard_in(tmp_path_factory.mktemp("yard"))


def by_brute_force(answer, library, days):
    """The first departure that is not ready, every day judged whole."""
    judgement = answer.judgement
    for later in range(days + 1):
        tried = check(judgement.car, shifted(judgement.move, later), library, answer.day)
        if tried.outcome not in READY:
            return tried.judgement.move.out
    return None


@pytest.mark.parametrize("insured", ["2030-06-05", "2030-06-20", "2030-12-31"])
def test_the_first_bad_day_is_the_one_that_judging_each_day_finds(yard, insured):
    answer = samples.answer(yard, samples.car_text(insured=insured))
    found = horizon(answer, yard)
    assert answer.outcome in READY
    assert found.first_bad == by_brute_force(answer, yard, 120)
    assert found.first_bad is not None
    assert found.first_bad_back == found.first_bad + timedelta(days=4)


def test_why_it_is_not_ready_names_what_was_not_against_it_the_day_before(yard):
    found = horizon(samples.answer(yard, samples.car_text(insured="2030-06-20")), yard)
    assert found.first_bad == date(2030, 6, 17)  # back on the 21st, a day after the insurance
    assert [one.title for one in found.because] == ["Insured until the return"]
    assert found.because[0].reason == "good until 2030-06-20; the move ends 2030-06-21"


def test_readings_of_ninety_days_end_the_horizon(yard):
    found = horizon(samples.answer(yard), yard)
    assert found.first_bad == date(2030, 4, 20) + timedelta(days=90 - 4 + 1)
    assert "Rim at least 1 in" in [one.title for one in found.because]
    assert len(found.because[0].labels) == 8


def test_a_car_that_is_not_ready_has_its_own_day_out_as_the_first(yard):
    text = samples.car_text().replace("fire_extinguishers: 2", "fire_extinguishers: 0")
    answer = samples.answer(yard, text)
    found = horizon(answer, yard)
    assert (found.outcome, found.first_bad) == ("not ready", samples.OUT)
    assert "Fire extinguishers tagged" in [one.title for one in found.because]


def test_a_host_without_an_edition_in_force_has_no_rulebook(tmp_path):
    library = samples.yard_in(tmp_path)
    head = tmp_path / "test-yard" / "1" / "edition.yaml"
    head.write_text(head.read_text() + "until: 2030-06-12\n")
    (tmp_path / "test-yard" / "2" / "edition.yaml").unlink()
    (tmp_path / "test-yard" / "2" / "all.yaml").unlink()
    library = load_library([tmp_path])
    found = horizon(samples.answer(library), library)
    assert found.first_bad is not None
    assert found.first_bad <= date(2030, 6, 13)
    assert found.because[0].title == "No rulebook binds the move"


def test_lapses_come_by_day_from_criteria_papers_gauges_people_and_editions(yard):
    found = horizon(samples.answer(yard), yard)
    days = [lapse.day for lapse in found.lapses]
    assert days == sorted(days)
    assert all(found.as_of <= day < found.until for day in days)
    told = {(lapse.sort, lapse.title): lapse.day for lapse in found.lapses}
    assert told["criterion", "Rim at least 1 in"] == date(2030, 7, 19)
    assert told["criterion", "Insured until the return"] == date(2030, 12, 31)
    assert told["gauge", "gauge G-1 (finger gauge), due for its check"] == date(2030, 12, 31)
    assert told["person", "HM, accepted by Test Yard"] == date(2031, 1, 31)
    assert told["edition", "edition 1 of test-yard is in force"] == date(2030, 12, 31)
    assert ("paper", "liability insurance") not in told  # told already, by the criterion that asks for it


def test_nothing_lapses_in_no_time(yard):
    judgement = samples.answer(yard).judgement
    assert lapses_between(judgement, yard, samples.AS_OF, samples.AS_OF) == ()


def test_a_rim_wears_at_the_rate_of_its_own_readings(yard):
    found = horizon(samples.answer(yard), yard, MILES)
    assert len(found.wears) == 8
    first = found.wears[0]
    # 1-1/2 in to 1-1/4 in over 10,000 miles; 1/4 in is left to 1 in, so another 10,000 miles
    assert first.label == "wheel L1"
    assert first.miles == "10,000 miles"
    assert first.since == date(2030, 4, 20)
    assert first.earliest is not None
    assert first.latest is not None
    middle = date(2030, 4, 20) + timedelta(days=2 * 365)
    assert first.earliest < middle < first.latest


def test_without_planned_miles_no_day_is_said(yard):
    found = horizon(samples.answer(yard), yard)
    assert found.miles_a_year == ""
    assert {(wear.earliest, wear.latest) for wear in found.wears} == {(None, None)}
    assert {one.day for one in found.miles_limits} == {None}


def test_one_reading_gives_no_rate(yard):
    text = samples.car_text()
    first = text.index("  - on: 2029-01-01")
    found = horizon(samples.answer(yard, text[:first] + text[text.index("  - on: 2030-04-20") :]), yard, MILES)
    assert found.wears == ()
    assert [one.reason for one in found.no_rate] == ["rim thickness: not read twice since the wheel was turned"]


def test_miles_run_out_at_the_planned_miles(yard):
    found = horizon(samples.answer(yard), yard, MILES)
    limit = next(one for one in found.miles_limits if "500,000" in one.title)
    assert (limit.made, limit.left) == ("10,000 miles", "490,000 miles")
    assert limit.day == samples.AS_OF + timedelta(days=490_000 * 365 // 5_000)


def test_the_calendar_reads_back_and_is_the_same_each_time(yard):
    answer = horizon(samples.answer(yard), yard, MILES)
    content = calendar_of(answer)
    assert content == calendar_of(horizon(samples.answer(yard), yard, MILES))
    calendar = icalendar.Calendar.from_ical(content)
    events = calendar.walk("VEVENT")
    assert calendar["version"] == "2.0"
    assert len({str(event["uid"]) for event in events}) == len(events)
    days = {str(event["summary"]): event["dtstart"].dt for event in events}
    assert days["TSTX 1 Sample: move as planned"] == samples.OUT
    assert days["TSTX 1 Sample: last day: Insured until the return"] == date(2030, 12, 31)
    assert all(event["dtend"].dt > event["dtstart"].dt for event in events)
    assert all(event["dtstamp"].dt.isoformat() == "2030-05-01T00:00:00+00:00" for event in events)


def test_the_calendar_keeps_the_form_of_rfc_5545(yard):
    lines = calendar_of(horizon(samples.answer(yard), yard, MILES)).split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert max(len(line) for line in lines) <= 75
    assert not [line for line in lines if b"\n" in line]


def test_the_demo_car_stays_ready_for_some_days():
    library = load_library(rulesets_folders())
    case = samples.Path(__file__).parent.parent.parent / "cases" / "wren-hollow" / "after"
    car = read_car_text((case / "car.yaml").read_text(encoding="utf-8"), "car.yaml")
    move = read_move_text((case / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    answer = check(car, move, library, date(2026, 10, 28))
    found = horizon(answer, library)
    assert found.first_bad == date(2026, 11, 26)
    before = shifted(move, (found.first_bad - move.out).days - 1)
    assert check(car, before, library, date(2026, 10, 28)).outcome in READY
