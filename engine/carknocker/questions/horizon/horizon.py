"""`horizon`: how long the car stays ready for a move like this one, what runs out when, and what wears out when.

The first day that is not ready is found by judging the same move, of the same length, on each later day of departure,
on the record as it stands. What lapses is listed over the next 400 days.
"""

from datetime import timedelta

from carknocker.judgement.answer import CheckAnswer
from carknocker.quantities import Quantity, write_quantity
from carknocker.questions.horizon.first_day import first_bad_day
from carknocker.questions.horizon.lapses import lapses_between
from carknocker.questions.horizon.model import AHEAD, HorizonAnswer
from carknocker.questions.horizon.wear import miles_limits, rims
from carknocker.questions.on_the_way.during import during_the_move
from carknocker.rulebook.library import Library
from carknocker.wording.car_title import car_title


def horizon(answer: CheckAnswer, library: Library, miles_a_year: Quantity | None = None) -> HorizonAnswer:
    """The horizon of a checked car. miles_a_year: how many miles are planned; without it no day is said for wear.

    Raises CannotJudge where a later day has no provable answer.
    """
    judgement = answer.judgement
    until = answer.day + timedelta(days=AHEAD)
    bad = first_bad_day(answer, library, until)
    wears, no_rate = rims(judgement, miles_a_year)
    return HorizonAnswer(
        car=car_title(judgement.car),
        as_of=answer.day,
        out=judgement.move.out,
        back=judgement.move.back,
        outcome=answer.outcome,
        first_bad=bad.out,
        first_bad_back=bad.back,
        last_tried=bad.last_tried,
        because=bad.because,
        until=until,
        lapses=lapses_between(judgement, library, answer.day, until),
        during=during_the_move(judgement),
        miles_a_year="" if miles_a_year is None else write_quantity(miles_a_year),
        wears=wears,
        no_rate=no_rate,
        miles_limits=miles_limits(judgement, miles_a_year),
        notes=tuple(dict.fromkeys(answer.notes)),
    )
