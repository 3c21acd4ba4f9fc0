"""The days of the week on which people work: `sat,sun`, `mon-fri`. Lead times and notice run in calendar days."""

from collections.abc import Iterator
from datetime import date, timedelta

import msgspec

from carknocker.documents import listed, nearest

NAMES = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_FULL = ("Mondays", "Tuesdays", "Wednesdays", "Thursdays", "Fridays", "Saturdays", "Sundays")
_EVERY = frozenset(range(7))
_DAY = timedelta(days=1)


class WorkDays(msgspec.Struct, frozen=True):
    """weekdays: those on which people work, Monday is 0; at least one."""

    weekdays: frozenset[int] = _EVERY

    @property
    def every_day(self) -> bool:
        return self.weekdays == _EVERY

    def __str__(self) -> str:
        """`Saturdays and Sundays`."""
        return listed(_FULL[one] for one in sorted(self.weekdays))

    def from_(self, day: date) -> date:
        """The first work day on or after a day."""
        while day.weekday() not in self.weekdays:
            day += _DAY
        return day

    def before(self, day: date) -> date:
        """The last work day before a day."""
        day -= _DAY
        while day.weekday() not in self.weekdays:
            day -= _DAY
        return day

    def last_of(self, first: date, days: int) -> date:
        """The last of so many work days, of which `first` is one."""
        for _ in range(days - 1):
            first = self.from_(first + _DAY)
        return first

    def first_of(self, last: date, days: int) -> date:
        """The first of so many work days that end with `last`."""
        for _ in range(days - 1):
            last = self.before(last)
        return last

    def number(self, first: date, last: date) -> int:
        """How many work days there are from the first to the last, both counted."""
        return sum((first + number * _DAY).weekday() in self.weekdays for number in range((last - first).days + 1))


EVERY_DAY = WorkDays()


def read_work_days(text: str) -> WorkDays:
    """Raises ValueError, with what was found and what was expected."""
    found: set[int] = set()
    for one in (word.strip().lower() for word in text.split(",")):
        first, dash, last = (word.strip() for word in one.partition("-"))
        found.update(_run(_weekday(first), _weekday(last if dash else first)))
    return WorkDays(frozenset(found))


def _run(first: int, last: int) -> Iterator[int]:
    """`fri-mon` runs over the weekend."""
    return ((first + number) % 7 for number in range((last - first) % 7 + 1))


def _weekday(word: str) -> int:
    """Three letters, or the whole name."""
    whole = [name[:-1].lower() for name in _FULL]
    if word in NAMES:
        return NAMES.index(word)
    if word.removesuffix("s") in whole:
        return whole.index(word.removesuffix("s"))
    known = nearest(word, (*NAMES, *whole))
    meant = f"; did you mean `{known}`?" if known else ""
    raise ValueError(f"`{word[:20]}` is no day of the week{meant or ';'} expected days such as `sat,sun` or `mon-fri`")
