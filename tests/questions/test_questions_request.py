"""The request to the host: facts of record, move and rulebook; the last day to send it, in the calendar too."""

from datetime import date
from pathlib import Path

import pytest

from carknocker.cli.inputs import load_rules
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.page.text import text_of
from carknocker.quantities import Period
from carknocker.questions.due.ask import due
from carknocker.questions.due.calendar import calendar_of
from carknocker.questions.request.ask import request
from carknocker.questions.request.page import BLANK, request_page
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook.library import Library
from carknocker.whatif.notice import Notice

CASE = Path(__file__).resolve().parents[2] / "cases" / "wren-hollow" / "after"


@pytest.fixture(scope="module")
def library() -> Library:
    return load_rules([], None)


def answer(library: Library, requested: str, day: date) -> CheckAnswer:
    """The demo car after its repair; kestrel-and-northern 8, 1.1 asks for 28 days' notice, and it leaves 2026-11-06."""
    move = (CASE / "move.yaml").read_text()
    (line,) = [one for one in move.splitlines(keepends=True) if "requested_on" in one]
    car = read_car_text((CASE / "car.yaml").read_text(), "car.yaml")
    planned = read_move_text(move.replace(line, f"  requested_on: {requested}\n" if requested else ""), "move.yaml")
    return check(car, planned, library, day)


def page(found: CheckAnswer) -> str:
    return " ".join(text_of(request_page(request(found)), 100).split())


@pytest.mark.parametrize(
    ("requested", "day", "words"),
    [
        ("2026-10-09", date(2026, 10, 28), "sent on 2026-10-09, in time"),
        ("2026-10-10", date(2026, 10, 28), "sent on 2026-10-10, too late"),
        ("2026-10-09", date(2026, 10, 8), "sent on MISSING: not sent yet"),
        ("", date(2026, 10, 9), "sent on MISSING: not sent yet"),
    ],
)
def test_the_last_day_and_what_was_sent(library: Library, requested: str, day: date, words: str) -> None:
    said = page(answer(library, requested, day))
    assert "last day to send it 2026-10-09 (28 days before departure)" in said
    assert words in said


@pytest.mark.parametrize(("day", "past"), [(date(2026, 10, 9), False), (date(2026, 10, 10), True)])
def test_a_last_day_that_is_past_is_said(library: Library, day: date, *, past: bool) -> None:
    assert ("That day is past" in page(answer(library, "", day))) == past


def test_nothing_is_signed_and_what_is_not_on_record_is_blank(library: Library) -> None:
    said = page(answer(library, "2026-09-25", date(2026, 10, 28)))
    assert f"number of riders {BLANK}" in said
    assert f"telephone {BLANK}" in said
    assert "signature ____" in said
    assert "171,400 lb" in said  # the gross weight of the scale ticket


def test_a_request_is_no_clearance_and_says_what_keeps_the_car_from_moving(library: Library) -> None:
    said = page(answer(library, "2026-09-25", date(2026, 10, 8)))
    assert "REQUEST: Departure 2026-11-06" in said
    assert "on 2026-10-08 NOT READY: 4 items keep this car from moving 1. Wheel R5: flange 7/8 in or thinner" in said
    assert "4. Single-car brake test: void; service portion replaced after it, 2026-09-24" in said
    ready = page(answer(library, "2026-09-25", date(2026, 10, 28)))
    assert "on 2026-10-28 READY WITH RESTRICTIONS: 70 mph; as far as the" in ready
    assert "NOT READY" not in ready


def test_the_papers_that_the_circular_wants_are_named_on_file_or_not(library: Library) -> None:
    said = page(answer(library, "2026-09-25", date(2026, 10, 8)))
    assert "PAPERS ON FILE: 3 OF 21 THAT THE CIRCULAR WANTS" in said
    assert "liability insurance: enclosed; until 2026-12-31" in said
    assert "form M-12: annual mechanical inspection: runs out 2026-11-14, before the return, not enclosed" in said
    missing = said.partition("not on file: ")[2].partition("WHOM TO CALL")[0].split("; ")
    assert len(missing) == 18
    assert "clearance diagram" in missing


def test_the_calendar_has_the_last_day_until_the_request_is_made(library: Library) -> None:
    asked = due(answer(library, "", date(2026, 10, 1)), library)
    assert [(one.day, one.title) for one in asked.lapses if one.sort == "request"] == [
        (date(2026, 10, 9), "request to Kestrel & Northern")
    ]
    assert b"DTSTART;VALUE=DATE:20261009" in calendar_of(asked)
    made = due(answer(library, "2026-09-25", date(2026, 10, 1)), library)
    assert [one for one in made.lapses if one.sort == "request"] == []


@pytest.mark.parametrize(
    ("period", "longer", "last"),
    [
        (Period(days=28), False, date(2026, 10, 9)),
        (Period(days=28), True, date(2026, 10, 8)),
        (Period(months=1), False, date(2026, 10, 6)),
    ],
)
def test_the_last_day_by_days_and_by_months(library: Library, period: Period, last: date, *, longer: bool) -> None:
    criterion = library.rulebook([library.head("kestrel-and-northern", "7")]).criteria[0]
    assert Notice(criterion, period, longer).last_day(date(2026, 11, 6)) == last
