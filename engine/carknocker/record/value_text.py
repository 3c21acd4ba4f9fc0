"""The value that a text says, typed by the attribute it belongs to."""

import calendar
import re
from datetime import date
from typing import Literal

from carknocker.documents import nearest, some
from carknocker.quantities import DIMENSIONS, QuantityError, read_period, read_quantity
from carknocker.record.values import Count, Day, Figure, Interval, Value, Word
from carknocker.vocabulary.model import Attribute

_DAY = re.compile(r"([0-9]{4})(?:-([0-9]{2})(?:-([0-9]{2}))?)?")
_COUNT = re.compile(r"[0-9]{1,9}")
_YES_NO = {"yes": "yes", "true": "yes", "no": "no", "false": "no"}
FIRST_YEAR, LAST_YEAR = 1800, 2200
"""No car, railroad or move is older or later: a year outside them is a slip of the pen."""
MOST_CHARACTERS = 500
TEST_RESULTS: tuple[Literal["passed", "failed"], ...] = ("passed", "failed")


def value_of(text: str, attribute: Attribute) -> Value:
    """The value of an attribute that `text` says. Raises QuantityError, in plain words, if it says none."""
    kind = attribute.type
    if kind in DIMENSIONS:
        return Figure(read_quantity(text, kind, signed=attribute.signed))
    if kind == "period":
        return Interval(read_period(text))
    if kind == "count":
        if _COUNT.fullmatch(text) is None:
            raise QuantityError(f"`{text[:60]}`", "a whole number")
        return Count(int(text))
    if kind == "date":
        return read_day(text)
    return Word(_word(text, attribute))


def _word(text: str, attribute: Attribute) -> str:
    if attribute.type == "yes or no":
        if text not in _YES_NO:
            raise QuantityError(f"`{text[:60]}`", "yes or no", nearest(text, ("yes", "no")))
        return _YES_NO[text]
    allowed = TEST_RESULTS if attribute.type == "test" else attribute.one_of
    if allowed and text not in allowed:
        raise QuantityError(f"`{text[:60]}`", f"one of {some(allowed)}", nearest(text, allowed))
    if len(text) > MOST_CHARACTERS:
        raise QuantityError(f"a text of {len(text):,} characters", f"at most {MOST_CHARACTERS} characters")
    return text


def read_day(text: str) -> Day:
    """A day `2026-09-12`, a month `2019-05` or a year `1927`. Raises QuantityError."""
    match = _DAY.fullmatch(text)
    expected = "a day such as 2026-09-12, a month such as 2019-05, or a year"
    if match is None:
        raise QuantityError(f"`{text[:60]}`", expected)
    year = int(match[1])
    month, day = (None if part is None else int(part) for part in match.groups()[1:])
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise QuantityError(f"the year {match[1]} in `{text}`", f"a year from {FIRST_YEAR} to {LAST_YEAR}")
    try:
        if month is None:
            return Day(date(year, 1, 1), date(year, 12, 31), text)
        if day is None:
            return Day(date(year, month, 1), date(year, month, calendar.monthrange(year, month)[1]), text)
        return Day(date(year, month, day), date(year, month, day), text)
    except (ValueError, calendar.IllegalMonthError):
        raise QuantityError(f"`{text[:60]}`, which is not in the calendar", expected) from None


def full_day(text: object) -> date:
    """A whole day. Raises QuantityError for a month, a year, or anything else."""
    expected = "a whole day such as 2026-09-12"
    if not isinstance(text, str):
        raise QuantityError("a list or a mapping", expected)
    day = read_day(text.strip()) if _DAY.fullmatch(text.strip()) else None
    if day is None or day.first != day.last:
        raise QuantityError(f"`{text[:60]}`", expected)
    return day.first


def in_words(attribute: Attribute) -> str:
    """What a value of the attribute looks like, for a message."""
    if attribute.type in DIMENSIONS:
        return f"a {attribute.type} such as `{DIMENSIONS[attribute.type].example}`"
    if attribute.type in ("one of", "list of"):
        return f"{attribute.type} {some(attribute.one_of)}" if attribute.one_of else "a list of words"
    return {"count": "a whole number", "period": "a period such as `12 months`", "test": "passed or failed"}.get(
        attribute.type, attribute.type
    )
