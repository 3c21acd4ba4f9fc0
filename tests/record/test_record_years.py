"""Years that no record can mean are slips of the pen, and refused as such."""

import pytest
from record_samples import changed, problems_of

from carknocker.quantities import QuantityError
from carknocker.record.value_reader import full_day, read_day


@pytest.mark.parametrize("text", ["1799", "1799-12", "1799-12-31", "2201", "0000", "0206-09-12", "9999-12-31"])
def test_a_year_outside_two_centuries_each_way_is_refused(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read_day(text)
    assert (caught.value.found, caught.value.expected) == (
        f"the year {text[:4]} in `{text}`", "a year from 1800 to 2200",
    )  # fmt: skip


@pytest.mark.parametrize("text", ["1800-01-01", "2200-12-31"])
def test_the_first_and_the_last_day_are_taken(text: str) -> None:
    assert full_day(text).isoformat() == text
    assert read_day(text[:4]).written == text[:4]


def test_a_record_says_where() -> None:
    (problem,) = problems_of(changed("until: 2026-12-31, names_host", "until: 20260-12-31, names_host"))
    assert "20260-12-31" in problem.found
    (problem,) = problems_of(changed("until: 2026-12-31, names_host", "until: 2206-12-31, names_host"))
    assert problem.found == "the year 2206 in `2206-12-31`"
