"""When the duties of a move fall due: on which legs, on which day, and what else is known of the moment. No day is ever
supposed that the move does not say."""

from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction

import msgspec

from carknocker.judgement.model import DutyOnTheWay
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Leg, Move
from carknocker.rulebook.model import Occasion

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


class Moment(msgspec.Struct, frozen=True):
    """legs None: at any time of the move. latest: done by the day, and not on it."""

    legs: Span | None
    day: date | None
    latest: bool
    when: str


def moments_of(one: DutyOnTheWay, move: Move, legs: LegDays) -> Iterator[Moment]:
    """Every moment at which it is to be done, in the order of the move."""
    if one.duty is None:
        for day in one.due:
            yield Moment(legs.spans_by(day), day, True, "")
        return
    asked = one.duty.requirement
    for occasion in asked.every:
        yield from _again(occasion, move, legs)
    if asked.within_first is not None:
        yield _once(asked.within_first, move, legs)
    elif not asked.every:
        yield Moment(None, None, False, "")


def _again(occasion: Occasion, move: Move, legs: LegDays) -> Iterator[Moment]:
    if occasion.sort == "day in service":
        for span, day, when in legs.days_in_service():
            yield Moment(span, day, False, when)
    elif occasion.sort == "leg":
        for leg in move.legs:
            yield Moment((leg.number, leg.number), legs.on(leg), False, "on this leg")
    elif occasion.period is not None:
        day = occasion.period.after(move.out)
        while day < move.back:
            yield Moment(legs.spans_by(day), day, True, "")
            day = occasion.period.after(day)
    elif occasion.miles is not None:
        made = occasion.miles.amount
        while (reached := legs.at_miles(made)) is not None and made < _all(move):
            yield _in_miles(reached, made, legs)
            made += occasion.miles.amount


def _once(occasion: Occasion, move: Move, legs: LegDays) -> Moment:
    if occasion.period is not None:
        day = min(occasion.period.after(move.out), move.back)
        return Moment(legs.spans_by(day), day, True, "")
    if occasion.miles is not None:
        made = min(occasion.miles.amount, _all(move))
        reached = legs.at_miles(made)
        if reached is not None:
            return _in_miles(reached, made, legs)
    first = move.legs[0]
    return Moment((1, 1), legs.on(first), False, "on this leg")


def _all(move: Move) -> Fraction:
    return sum((leg.miles.amount for leg in move.legs), Fraction(0))


def _in_miles(reached: tuple[Leg, Fraction], made: Fraction, legs: LegDays) -> Moment:
    """Due by so many miles: on a day only where the whole leg is made on that day."""
    leg, on_it = reached
    when = f"by {_miles(made)} of the move"
    if leg.number > 1:
        when += f", {_miles(on_it)} of this leg"
    start = legs.on(leg)
    day = start if start is not None and legs.until(leg) == start else None
    return Moment((leg.number, leg.number), day, False, when)


def _miles(amount: Fraction) -> str:
    return write_quantity(Quantity.of("distance", amount, "mi"))
