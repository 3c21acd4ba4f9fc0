"""The moments at which a duty falls due on a move: on which legs, on which day, and what else is known of each."""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

import msgspec

from carknocker.judgement.model import DutyOnTheWay
from carknocker.quantities import Quantity, write_quantity
from carknocker.questions.on_the_way.legs import LegDays, Span
from carknocker.record.model import Leg, Move
from carknocker.rulebook.model import Occasion


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
