"""Periods: days and calendar months, at the ends of months and in leap years."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.quantities import Period, QuantityError, read_period


@pytest.mark.parametrize(
    ("text", "period", "written"),
    [
        ("1,104 days", Period(days=1104), "1,104 days"),
        ("1 day", Period(days=1), "1 day"),
        ("5 weeks", Period(days=35), "35 days"),
        ("12 months", Period(months=12), "1 year"),
        ("18 months", Period(months=18), "18 months"),
        ("5 years", Period(months=60), "5 years"),
        ("1 calendar month", Period(months=1), "1 month"),
        ("12-month", Period(months=12), "1 year"),
        ("0 days", Period(), "0 days"),
        ("90days", Period(days=90), "90 days"),
        ("2 YEARS", Period(months=24), "2 years"),
    ],
)
def test_a_period(text: str, period: Period, written: str) -> None:
    assert read_period(text) == period
    assert str(period) == written
    assert read_period(str(period)) == period


@pytest.mark.parametrize(
    "text",
    [
        "",
        "12",
        "12 moons",
        "-3 days",
        "1.5 years",
        "1,10 days",
        "3 days 12 months",
        "² days",
        "9999999 days",
        "months",
        "1e3 days",
        "0,100 days",
        "one year",
    ],
)
def test_what_is_no_period(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read_period(text)
    assert "a period such as" in caught.value.expected


def test_a_bare_number_is_told_what_it_lacks() -> None:
    with pytest.raises(QuantityError) as caught:
        read_period("184")
    assert caught.value.found == "`184`, a number without a unit"
    assert caught.value.remedy == "write days, months or years behind the number"


@pytest.mark.parametrize(
    ("period", "start", "end"),
    [
        (Period(months=1), "2026-01-31", "2026-02-28"),
        (Period(months=1), "2024-01-31", "2024-02-29"),
        (Period(months=12), "2024-02-29", "2025-02-28"),
        (Period(months=48), "2024-02-29", "2028-02-29"),
        (Period(months=1), "2026-12-15", "2027-01-15"),
        (Period(days=184), "2026-01-01", "2026-07-04"),
        (Period(days=1), "2024-02-28", "2024-02-29"),
        (Period(days=1, months=1), "2026-01-31", "2026-03-01"),
        (Period(), "2026-05-05", "2026-05-05"),
        (Period(months=12 * 9000), "2026-05-05", "9999-12-31"),
        (Period(days=999_999), "9999-01-01", "9999-12-31"),
    ],
)
def test_after(period: Period, start: str, end: str) -> None:
    assert period.after(date.fromisoformat(start)) == date.fromisoformat(end)


@pytest.mark.parametrize(
    ("period", "end", "start"),
    [
        (Period(months=1), "2026-02-28", "2026-01-28"),
        (Period(months=1), "2026-03-31", "2026-03-01"),
        (Period(months=12), "2025-02-28", "2024-02-28"),
        (Period(days=30), "2026-03-01", "2026-01-30"),
        (Period(months=12 * 3000), "2026-05-05", "0001-01-01"),
        (Period(days=999_999), "2026-05-05", "0001-01-01"),
    ],
)
def test_before(period: Period, end: str, start: str) -> None:
    assert period.before(date.fromisoformat(end)) == date.fromisoformat(start)


DAYS = st.dates(date(1900, 1, 1), date(2100, 12, 31))
PERIODS = st.builds(Period, days=st.integers(0, 2000), months=st.integers(0, 240))


@given(PERIODS, DAYS)
def test_before_is_the_first_day_whose_period_reaches_it(period: Period, day: date) -> None:
    start = period.before(day)
    assert period.after(start) >= day
    assert period.after(start - timedelta(days=1)) < day


@given(PERIODS, DAYS, DAYS)
def test_a_later_start_never_ends_earlier(period: Period, one: date, other: date) -> None:
    first, last = sorted((one, other))
    assert period.after(first) <= period.after(last)
