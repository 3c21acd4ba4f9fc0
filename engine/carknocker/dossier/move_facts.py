"""What a host's mechanical officer asks first about a move: the train, the route, who rides, and the days of request
and reply."""

from collections.abc import Iterable
from datetime import date
from fractions import Fraction

import msgspec

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Move
from carknocker.record.value_words import value_words
from carknocker.record.values import Day, Value
from carknocker.rulebook.model import Source
from carknocker.vocabulary.program_names import REPLY_BY, REQUESTED_ON, SHARPEST_CURVE
from carknocker.whatif.notice import strictest_notice


class NoticeAsked(msgspec.Struct, frozen=True):
    """How long before departure the request has to be in: the period in words, how many days that is for this move, and
    the last day to send it. given: how many days before departure it was sent, None where it was not."""

    period: str
    days: int
    last_day: date
    given: int | None
    in_time: bool | None
    criterion: str
    source: Source


class MoveFacts(msgspec.Struct, frozen=True):
    """The move. A fact is None where it is not on file.

    places: along the route, each leg's end once. miles: of all legs. track_classes, clearances: of the legs, each once.
    requested_on: None also where it is later than the day of the judgement. notice: None where no rule asks for one.
    """

    host: str
    circular: bool
    train: str
    place: str | None
    speed: str | None
    brake_pipe_pressure: str | None
    release_mode: str | None
    rides: str
    places: tuple[str, ...]
    miles: str | None
    track_classes: tuple[str, ...]
    sharpest_curve: str | None
    clearances: tuple[str, ...]
    requested_on: date | None
    notice: NoticeAsked | None
    reply_by: date | None


def move_facts_of(answer: CheckAnswer, index: JudgementIndex) -> MoveFacts:
    """The facts of the move of a checked car. index: of its judgement."""
    move = answer.judgement.move
    legs = move.legs
    curve = index.value("move", SHARPEST_CURVE)
    requested = _day(move, REQUESTED_ON)
    requested = None if requested is not None and requested > answer.day else requested
    return MoveFacts(
        host=move.host,
        circular=move.circular,
        train=move.train,
        place=_of_train(move, "place"),
        speed=_of_train(move, "speed"),
        brake_pipe_pressure=_of_train(move, "brake_pipe_pressure"),
        release_mode=_of_train(move, "release_mode"),
        rides=move.rides,
        places=(legs[0].start, *(leg.end for leg in legs)) if legs else (),
        miles=write_quantity(Quantity.of("distance", sum((leg.miles.amount for leg in legs), Fraction(0)), "mi"))
        if legs
        else None,
        track_classes=_each_once(leg.facts.get("track_class") for leg in legs),
        sharpest_curve=None if curve is None else value_words(curve),
        clearances=_each_once(leg.facts.get("clearance") for leg in legs),
        requested_on=requested,
        notice=_notice(answer, requested),
        reply_by=_day(move, REPLY_BY),
    )


def _day(move: Move, attribute: str) -> date | None:
    """A day that the move file says; the last one where it says a span."""
    value = move.facts.get(attribute)
    return value.last if isinstance(value, Day) else None


def _of_train(move: Move, attribute: str) -> str | None:
    value = move.train_facts.get(attribute)
    return None if value is None else value_words(value)


def _each_once(values: Iterable[Value | None]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(value_words(value) for value in values if value is not None))


def _notice(answer: CheckAnswer, requested: date | None) -> NoticeAsked | None:
    out = answer.judgement.move.out
    books = [one.rulebook for one in (answer.judgement, answer.other) if one is not None]
    notice = strictest_notice(books, out)
    if notice is None:
        return None
    last = notice.last_day(out)
    return NoticeAsked(
        period=f"{'more than ' if notice.longer else ''}{notice.period}",
        days=(out - last).days,
        last_day=last,
        given=None if requested is None else (out - requested).days,
        in_time=None if requested is None else requested <= last,
        criterion=notice.criterion.id,
        source=notice.criterion.source,
    )
