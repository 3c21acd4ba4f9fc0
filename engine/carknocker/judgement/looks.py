"""A part as a criterion looks at it: on departure, on the way, on arrival; what of that changes during the move."""

from collections.abc import Callable
from datetime import date, timedelta

from carknocker.judgement.compiled import Compiled
from carknocker.judgement.sight import Sight
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, opposite
from carknocker.record.model import Part


def whether_applies(one: Compiled, sight: Sight) -> int:
    """Whether a criterion applies to what is seen: it fails, is unknown, or holds."""
    truth = HOLDS if one.when is None else one.when(sight)
    if one.unless is not None:
        truth = min(truth, opposite(one.unless(sight)))
    return HOLDS if truth == NEAR else truth


def comes_under(one: Compiled, part: Part, situation: Situation) -> Sight | None:
    """How a part is seen on a day of the move on which the criterion applies to it, or may; None if there is none.
    Only what both begins and ends on the way has to be asked about every day."""
    move = situation.move
    for number in range(1, (move.back - move.out).days) if one.may_leave else ():
        asked = asked_part(part, situation, move.out + timedelta(days=number))
        if whether_applies(one, asked) != FAILS:
            return asked
    asked = asked_part(part, situation, move.back, arriving=True)
    return None if whether_applies(one, asked) == FAILS else asked


def asked_part(part: Part, situation: Situation, day: date, *, arriving: bool = False) -> Sight:
    """The part as `when` and `unless` see it: who showed it matters for what must hold, not for what the part is."""
    return Sight(situation, part.key, situation.views[part.key], day, arriving=arriving)


def looked_part(one: Compiled, part: Part, situation: Situation, day: date, *, arriving: bool = False) -> Sight:
    """The part as `must` sees it on a day: who showed it matters, and how old it is."""
    key = part.key
    view = situation.view(key, shop=True) if one.shop else situation.views[key]
    within = one.criterion.read_within
    return Sight(situation, key, view, day, one.shop, None if within is None else within.before(day), arriving=arriving)


def last_good_day(one: Compiled, part: Part, situation: Situation) -> date | None:
    """The last day, from departure on, up to which it holds without a break, if that lies before the end of the
    move."""
    move = situation.move

    def holds(day: date, *, arriving: bool = False) -> bool:
        return one.must(looked_part(one, part, situation, day, arriving=arriving)) >= NEAR

    if one.may_begin:
        good = unbroken(holds, move.out, move.back)
        return None if good == move.back and holds(good, arriving=True) else good
    return None if holds(move.back, arriving=True) else halved(holds, move.out, move.back)


def unbroken(holds: Callable[[date], bool], first: date, last: date) -> date:
    """The last day up to which something that holds on the first day holds without a break. Every day is asked: for
    what may begin to hold as time goes by (an age reached)."""
    day = first
    while day < last and holds(day + timedelta(days=1)):
        day += timedelta(days=1)
    return day


def halved(holds: Callable[[date], bool], good: date, bad: date) -> date:
    """The last day on which something holds that does on the one day and no longer does on the other. Found by halving
    the span: evidence only ages, and what has lapsed stays lapsed."""
    while (bad - good).days > 1:
        middle = good + timedelta(days=(bad - good).days // 2)
        if holds(middle):
            good = middle
        else:
            bad = middle
    return good
