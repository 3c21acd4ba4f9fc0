"""The same move on other days, and on which of them what a rule says of a part can change.

A move of the same length that leaves some days later, or one that leaves as planned and returns on another day, is told
apart by one number: the days from the planned departure to its departure or its return. The numbers at which an answer
can change follow from the dates on record, so that a search asks about these alone, however long the move is.
"""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from msgspec.structs import replace

from carknocker.judgement.change_days import change_days, comparisons_seen, limits_seen
from carknocker.judgement.comparisons import getter
from carknocker.judgement.part_view import PartView
from carknocker.quantities import Period
from carknocker.record.model import Move
from carknocker.record.values import Day, Interval
from carknocker.rulebook.clauses import AttributePath, Clause, Comparison, FromPart

_OWN_DAYS = frozenset({("move", "out"), ("move", "back"), ("leg", "on"), ("leg", "until")})
_OWN_PERIODS = frozenset({"days of the move", "days of notice"})
_NEAR = (-1, 0, 1)


def shifted(move: Move, days: int) -> Move:
    """The move with its days, those of its legs too, put off by as many days; all else, its request too, as it was."""
    span = timedelta(days=days)
    legs = tuple(
        replace(
            leg,
            on=None if leg.on is None else leg.on + span,
            until=None if leg.until is None else leg.until + span,
        )
        for leg in move.legs
    )
    return replace(move, out=move.out + span, back=move.back + span, legs=legs)


def back_on(move: Move, back: date) -> Move:
    """The move with its departure as planned and another return; a leg that would end after it ends with it."""
    legs = tuple(
        replace(
            leg,
            on=None if leg.on is None else min(leg.on, back),
            until=None if leg.until is None else min(leg.until, back),
        )
        for leg in move.legs
    )
    return replace(move, back=back, legs=legs)


class MoveDays:
    """The numbers of days at which an answer can change, for a planned move and those like it on other days.

    now: the number of the move in whose situation parts are looked at. first, last: of the numbers that are asked for.
    """

    def __init__(self, planned: Move, now: int, first: int, last: int) -> None:
        self._planned, self._now = planned, now
        self._every = range(first, last + 1)
        own = [planned.out, planned.back, *(leg.on for leg in planned.legs), *(leg.until for leg in planned.legs)]
        self._own = [day.toordinal() for day in own if day is not None]

    def of_dates(self, days: Iterable[date]) -> Iterator[int]:
        """The numbers at which departure or return comes to one of these days, or passes it."""
        for day in days:
            for end in (self._planned.out, self._planned.back):
                apart = (day - end).days
                yield from (apart + near for near in _NEAR)

    def of_clause(self, clause: Clause | None, view: PartView, read_within: Period | None = None) -> Iterator[int]:
        """The numbers at which the truth of a clause can change. view: of the part, with readings of any age."""
        yield from self.of_dates(set(change_days(clause, view, read_within)))
        for comparison, seen in comparisons_seen(clause, view):
            yield from self._of_own_days(comparison, seen)

    def _of_own_days(self, comparison: Comparison, view: PartView) -> Iterator[int]:
        """Where the days of the move are themselves compared: with dates, with periods, with each other."""
        limit = comparison.limit.path if isinstance(comparison.limit, FromPart) else None
        of_move = any(_is_own(path) for path in (comparison.path, limit) if path is not None)
        found = getter(comparison.path)(view)
        values = [one.value for one in (found, *limits_seen(comparison, view)) if one is not None]
        periods = [value.period for value in values if isinstance(value, Interval)]
        if len(periods) > 1 and any(period.months for period in periods):
            yield from self._every  # a month has no fixed number of days
        if not of_move:
            return
        days = {end.toordinal() for value in values if isinstance(value, Day) for end in (value.first, value.last)}
        apart = {one - other for one in days.union(self._own) for other in days.union(self._own)} if days else set()
        lengths = {0, 1, *(period.days for period in periods)}
        apart.update(one - other for one in lengths for other in lengths)
        for one in apart:
            yield from (number + near for number in (one, one + self._now) for near in _NEAR)


def _is_own(path: AttributePath) -> bool:
    """Whether a path is to a day of the move, or to a period worked out from its days."""
    attribute = path.attribute
    return (attribute.kind, attribute.name) in _OWN_DAYS or attribute.derived in _OWN_PERIODS
