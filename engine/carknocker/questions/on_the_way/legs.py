"""The legs of a move in time and in miles, as far as the move says them. No day is ever supposed."""

from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction

from carknocker.record.model import Leg, Move

Span = tuple[int, int]
"""The first and the last of the legs that come into question; often the same."""


class LegDays:
    """The legs of a move. The first one leaves on the day out: that day is the departure."""

    def __init__(self, move: Move) -> None:
        self._legs, self._out, self._back = move.legs, move.out, move.back

    def on(self, leg: Leg) -> date | None:
        """The day on which a leg leaves, where it is known."""
        return self._out if leg.number == 1 else leg.on

    def until(self, leg: Leg) -> date | None:
        """The day on which a leg arrives, where it is known: nothing arrives after the next one left, or the return."""
        if leg.until is not None:
            return leg.until
        start = self.on(leg)
        after = self._back if leg.number == len(self._legs) else self.on(self._legs[leg.number])
        return start if start is not None and after == start else None

    def stands_until(self, leg: Leg) -> date | None:
        """The day on which the next leg leaves, where the car stands for days after this one arrived."""
        end = self.until(leg)
        after = None if leg.number == len(self._legs) else self.on(self._legs[leg.number])
        return after if end is not None and after is not None and (after - end).days > 1 else None

    def undated(self) -> tuple[int, ...]:
        """The legs that leave on a day which the move does not say."""
        return tuple(leg.number for leg in self._legs if self.on(leg) is None)

    def spans_by(self, day: date) -> Span:
        """The legs that may be under way on a day: for a leg that leaves on it, that leg."""
        known = [(leg.number, start) for leg in self._legs if (start := self.on(leg)) is not None]
        leaving = [number for number, start in known if start == day]
        if leaving:
            return leaving[0], leaving[0]
        first = max((number for number, start in known if start < day), default=1)
        after = min((number for number, start in known if start > day), default=len(self._legs) + 1)
        return first, max(after - 1, first)

    def days_in_service(self) -> Iterator[tuple[Span, date | None, str]]:
        """Each day on which a leg is under way; where it is not known, the words for what is."""
        told: set[date] = set()
        waiting: list[int] = []
        for leg in self._legs:
            start, end = self.on(leg), self.until(leg)
            if start is None:
                waiting.append(leg.number)
                continue
            if waiting:
                yield (waiting[0], waiting[-1]), None, "each day in service"
                waiting = []
            span = leg.number, leg.number
            for later in range(((end or start) - start).days + 1):
                day = start + timedelta(days=later)
                if day not in told:
                    told.add(day)
                    yield span, day, ""
            if end is None:
                yield span, None, "each further day in service"
        if waiting:
            yield (waiting[0], waiting[-1]), None, "each day in service"

    def at_miles(self, miles: Fraction) -> tuple[Leg, Fraction] | None:
        """The leg on which so many miles of the move are made, and how many of them on that leg; None past the end."""
        before = Fraction(0)
        for leg in self._legs:
            if miles <= before + leg.miles.amount:
                return leg, miles - before
            before += leg.miles.amount
        return None
