"""On a sheet, what is said of one part counts before what is said of all; a sheet may say that it came after the events
of its day."""

import pytest
from record_samples import CAR

from carknocker.documents import InputRefused, Problem
from carknocker.record.car_reader import read_car_text
from carknocker.record.model import CarRecord

SHEET = """  - on: 2026-05-11
    by: RE
    readings:
      wheels:
        {readings}
"""


def text_with(readings: str, on: str = "2026-05-11", more: str = "") -> str:
    sheet = SHEET.replace("{readings}", readings).replace("2026-05-11", on) + more
    return CAR.replace("sheets:\n", "sheets:\n" + sheet, 1)


def car(text: str) -> CarRecord:
    return read_car_text(text, "car.yaml")


def problems(text: str) -> tuple[Problem, ...]:
    with pytest.raises(InputRefused) as refused:
        car(text)
    return refused.value.problems


def read_on(record: CarRecord, attribute: str, on: str) -> dict[str, str]:
    found = (one for one in record.evidence if one.attribute == attribute and str(one.on) == on)
    return {one.place + one.part.rpartition(" ")[2]: str(getattr(one.value, "text", one.value)) for one in found}


@pytest.mark.parametrize(
    "readings",
    [
        "all: {thermal_crack: no}\n        R1: {thermal_crack: yes}",
        "R1: {thermal_crack: yes}\n        all: {thermal_crack: no}",
    ],
)
def test_what_is_said_of_one_counts_before_what_is_said_of_all(readings: str) -> None:
    """In either order: the exception alone is read of its wheel, `all` of every other."""
    found = read_on(car(text_with(readings)), "thermal_crack", "2026-05-11")
    assert sorted(found.values()).count("yes") == 1
    assert found["axle position 1right"] == "yes"
    assert found["axle position 1left"] == "no"
    assert len(found) == 8


def test_one_that_was_not_reached_takes_nothing_over_from_all() -> None:
    readings = "all: {thermal_crack: no}\n        R1: {thermal_crack: not accessible (shoe in the way)}"
    found = read_on(car(text_with(readings)), "thermal_crack", "2026-05-11")
    assert found["axle position 1right"] != "no"


def test_other_readings_of_all_still_count_for_the_exception() -> None:
    readings = "all: {thermal_crack: no, seam: no}\n        R1: {thermal_crack: yes}"
    assert read_on(car(text_with(readings)), "seam", "2026-05-11")["axle position 1right"] == "no"


def test_two_that_are_both_said_of_one_still_disagree() -> None:
    readings = 'R1: {thermal_crack: yes}\n        "L1, R1": {thermal_crack: no}'
    assert "which disagrees" in problems(text_with(readings))[0].found


def test_all_of_another_sheet_of_the_day_still_disagrees() -> None:
    other = SHEET.replace("{readings}", "R1: {thermal_crack: yes}")
    assert "which disagrees" in problems(text_with("all: {thermal_crack: no}", more=other))[0].found


def after_of(text: str, on: str) -> list[frozenset[str]]:
    return [one.after for one in car(text).evidence if str(one.on) == on and one.sort == "reading"]


def taken(text: str, said: str) -> str:
    return text.replace("by: RE\n    readings", f"by: RE\n    taken: {said}\n    readings", 1)


def test_a_sheet_taken_after_the_events_of_the_day_follows_each_of_them() -> None:
    """The event E-1 of the record is of 2026-04-01; a sheet of that day counts as taken before it unless it says so."""
    text = text_with("L3: {flat_spot_length: 1/2 in}", on="2026-04-01")
    assert after_of(text, "2026-04-01") == [frozenset()]
    assert after_of(taken(text, "after the events of the day"), "2026-04-01") == [frozenset({"E-1"})]


def test_taken_after_the_events_of_a_day_without_any_is_refused() -> None:
    (problem,) = problems(taken(text_with("L3: {seam: no}"), "after the events of the day"))
    assert "no event of 2026-05-11 is on record" in problem.found


def test_taken_says_nothing_else() -> None:
    (problem,) = problems(taken(text_with("L3: {seam: no}"), "in the evening"))
    assert "after the events of the day" in problem.expected
