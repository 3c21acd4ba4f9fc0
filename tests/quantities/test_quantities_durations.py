"""Times as people write them: hours and minutes, years and months."""

from fractions import Fraction

import pytest

from carknocker.quantities import Period, QuantityError, read_period, read_quantity, write_quantity


@pytest.mark.parametrize(
    ("text", "hours", "written"),
    [
        ("4 h 1 min", Fraction(241, 60), "4 h 1 min"),
        ("4 hours", Fraction(4), "4 h"),
        ("4", Fraction(4), "4 h"),
        ("241 minutes", Fraction(241, 60), "4 h 1 min"),
        ("2 days 3 h", Fraction(51), "51 h"),
        ("59 min", Fraction(59, 60), "59 min"),
        ("0 h", Fraction(0), "0 h"),
        ("1.5 hr", Fraction(3, 2), "1 h 30 min"),
    ],
)
def test_hours_and_minutes(text: str, hours: Fraction, written: str) -> None:
    found = read_quantity(text, "duration")
    assert found.amount == hours
    assert write_quantity(found) == written


@pytest.mark.parametrize("text", ["4 h 60 min", "1 min 4 h", "4 h 1 min 3 min", "4:01", "-4 h", "a while"])
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        read_quantity(text, "duration")


def test_a_wait_in_minutes_and_seconds() -> None:
    assert read_quantity("1 min 30 s", "minutes").amount == Fraction(3, 2)


@pytest.mark.parametrize(
    ("text", "period", "written"),
    [
        ("62 years 3 months", Period(months=747), "62 years and 3 months"),
        ("62 years and 3 months", Period(months=747), "62 years and 3 months"),
        ("1 year 6 months", Period(months=18), "18 months"),
        ("5 years", Period(months=60), "5 years"),
        ("61 months", Period(months=61), "5 years and 1 month"),
        ("59 months", Period(months=59), "59 months"),
        ("2 years 10 days", Period(10, 24), "2 years and 10 days"),
    ],
)
def test_ages_in_years_and_months(text: str, period: Period, written: str) -> None:
    assert read_period(text) == period
    assert str(period) == written


@pytest.mark.parametrize("text", ["3 months 2 years", "2 years 12 months", "1 month 32 days", "1 year 400 days"])
def test_a_period_whose_parts_do_not_follow_each_other_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        read_period(text)
