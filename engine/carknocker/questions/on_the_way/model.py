"""What is to be done during the move, as plain data."""

from datetime import date

import msgspec

from carknocker.rulebook.model import Source


class Due(msgspec.Struct, frozen=True):
    """One thing to be done. days: each day for it, `latest` if it is done by that day and not on it; none where the
    move does not say the day. when: what else is known of the moment, "" for nothing. labels: the parts it is on."""

    days: tuple[date, ...]
    latest: bool
    when: str
    title: str
    asked: str
    labels: tuple[str, ...]
    by: str
    routine: bool
    rule: str
    source: Source


class LegDuties(msgspec.Struct, frozen=True):
    """The duties of one leg; or of several, where the move does not say which of them is under way on a day.

    on, until: the days on which it leaves and arrives; stands_until: on which the next one leaves, where the car stands
    for days between them. None where the move does not say.
    """

    first: int
    last: int
    route: str
    miles: str
    on: date | None
    until: date | None
    stands_until: date | None
    duties: tuple[Due, ...]


class DuringTheMove(msgspec.Struct, frozen=True):
    """at_any_time: what is done whenever its own words say. undated: legs whose days the move does not say."""

    out: date
    back: date
    legs: tuple[LegDuties, ...]
    at_any_time: tuple[Due, ...]
    undated: tuple[int, ...]
