"""The doubts about a record by itself, whatever move the car is to make."""

from datetime import date

from carknocker.documents import Location
from carknocker.judgement.doubts import StandingDoubt, doubts_without_move
from carknocker.judgement.evidence import uncounted
from carknocker.judgement.mending import NO_RULES
from carknocker.judgement.situation import Situation
from carknocker.record.model import CarRecord, Move
from carknocker.record.standing import car_on_day, stand


def doubts_on_record(car: CarRecord, day: date) -> tuple[StandingDoubt, ...]:
    """The doubts on a day. What work makes void only the rules of a move can tell."""
    no_move = Move("", "freight", day, day, "nobody", (), {}, {}, {}, True, "", "", Location("", 1, 1))
    not_counted = uncounted(car_on_day(car, day))
    return doubts_without_move(Situation(stand(car, None, day), no_move, not_counted), NO_RULES)
