"""Periods: days, calendar months and calendar years, kept apart because a month has no fixed number of days."""

import calendar
import re
from datetime import date, timedelta

import msgspec

from carknocker.quantities.quantity import QuantityError

_WRITTEN = re.compile(
    r"(?P<number>[1-9]\d{0,2}(?:,\d{3})+|\d{1,6})\s*[- ]?\s*(?P<unit>calendar\s+)?(?P<word>[a-z]+)", re.IGNORECASE
)
_TOGETHER = re.compile(
    r"(?P<large>[0-9,]+\s*(?:year|month)s?),?\s+(?:and\s+)?(?P<small>[0-9,]+\s*(?:month|week|day)s?)", re.IGNORECASE
)
_YEARS_FROM = 5
_UNITS = {"day": (1, 0), "week": (7, 0), "month": (0, 1), "year": (0, 12)}


def _in_month(year: int, month: int, day: int) -> date:
    """That day of the month, or the month's last day if it is shorter."""
    return date(year, month, day if day < 29 else min(day, calendar.monthrange(year, month)[1]))


class Period(msgspec.Struct, frozen=True):
    """A number of days and a number of calendar months (a year is twelve)."""

    days: int = 0
    months: int = 0

    def after(self, day: date) -> date:
        """The day that lies this period after `day`. Calendar months keep the day of the month, or take the last
        day of a shorter month. A result past the year 9999 is the last day that the calendar has."""
        moved = day
        if self.months:
            year, month = divmod(day.year * 12 + day.month - 1 + self.months, 12)
            if year > date.max.year:
                return date.max
            moved = _in_month(year, month + 1, day.day)
        try:
            return moved + timedelta(days=self.days)
        except OverflowError:
            return date.max

    def before(self, day: date) -> date:
        """The earliest day from which `after` reaches `day`; the first day of all for a period longer than that."""
        if not self.months:
            return day - timedelta(days=min(self.days, day.toordinal() - 1))
        total = day.year * 12 + day.month - 1 - self.months
        year, month = divmod(total, 12)
        if year < 1:
            return date.min
        try:
            moved = _in_month(year, month + 1, day.day) - timedelta(days=self.days)
        except OverflowError:
            return date.min
        while self.after(moved) < day:
            moved += timedelta(days=1)
        while moved > date.min and self.after(moved - timedelta(days=1)) >= day:
            moved -= timedelta(days=1)
        return moved

    def __str__(self) -> str:
        words = []
        years, months = divmod(self.months, 12)
        # whole years, and what is over five of them, are written as years; anything else in months, as rules do
        if years and (not months or years >= _YEARS_FROM):
            words.append(f"{years:,} year{'s' if years != 1 else ''}")
            if months:
                words.append(f"{months} month{'s' if months != 1 else ''}")
        elif self.months:
            words.append(f"{self.months:,} month{'s' if self.months != 1 else ''}")
        if self.days or not words:
            words.append(f"{self.days:,} day{'s' if self.days != 1 else ''}")
        return " and ".join(words)


def _smaller(small: Period, large: Period) -> bool:
    """Whether one period may stand behind the other: months less than a year behind years, days less than a month
    behind years or months."""
    if large.days:
        return False
    return small.days <= 31 if small.months == 0 else large.months % 12 == 0 and small.months < 12 and not small.days


def read_period(text: str) -> Period:
    """The period that `text` says: `1,104 days`, `12 months`, `5 years`, `2 weeks`, `62 years 3 months`. Raises
    QuantityError."""
    pieces = _TOGETHER.fullmatch(text.strip())
    if pieces is not None:
        large, small = read_period(pieces["large"]), read_period(pieces["small"])
        if not _smaller(small, large):
            expected = "the larger unit first, and less than one of it behind, as in `62 years 3 months`"
            raise QuantityError(f"`{text.strip()[:60]}`", expected)
        return Period(large.days + small.days, large.months + small.months)
    expected = "a period such as `184 days`, `12 months` or `5 years`"
    match = _WRITTEN.fullmatch(text.strip())
    if match is None:
        bare = text.strip().replace(",", "").isdigit()
        raise QuantityError(
            f"`{text.strip()[:60]}`" + (", a number without a unit" if bare else ""),
            expected,
            remedy="write days, months or years behind the number" if bare else "",
        )
    word = match["word"].lower()
    unit = _UNITS.get(word[:-1] if word.endswith("s") else word)
    if unit is None:
        raise QuantityError(f"`{match['word']}` in `{text.strip()[:60]}`", expected)
    number = int(match["number"].replace(",", ""))
    return Period(number * unit[0], number * unit[1])
