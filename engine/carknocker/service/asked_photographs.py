"""What the service may be asked of the photographs of a car, by the functions of `carknocker photograph`. Runs in
worker processes."""

import msgspec

from carknocker.record import read_car_text
from carknocker.record.photographs import photographs_by, with_photographs
from carknocker.service.asked import CAR_FILE, Sources, in_plain_words


class NewRecord(msgspec.Struct, frozen=True):
    """A record with one photograph more: its file, its reduced copy, and what the record got."""

    record: str
    file: str
    copy: bytes
    added: str


def put_on_record(
    record: str, content: bytes, name: str, of: tuple[str, ...], on: str, by: str, reading: str
) -> NewRecord:
    """The record with a photograph. name: of the file, for messages. Raises Refused."""
    from carknocker.questions.photograph.ask import photographed

    with in_plain_words():
        made = photographed(record, CAR_FILE, content, name, of, on, by, reading=reading)
        return NewRecord(made.text, made.new.file, made.new.copy, made.added)


def shown_first(sources: Sources) -> tuple[str, ...]:
    """The files that are at hand of the photographs taken by the day, the newest first."""
    from carknocker.cli.photographs import newest_first

    with in_plain_words():
        record = read_car_text(sources.record, CAR_FILE)
        at_hand = dict(sources.photographs)
        newest = newest_first(photographs_by(record, sources.day))
        return tuple(one.file for one in newest if at_hand.get(one.file) == one.sha256)


class OnRecord(msgspec.Struct, frozen=True):
    """A photograph on record. said: the reading, day and person, and whether it is as it was; described: for whoever
    does not see it."""

    file: str
    of: str
    said: str
    described: str


class Choices(msgspec.Struct, frozen=True):
    """What a photograph may show, and who may have taken it."""

    of: tuple[str, ...]
    people: tuple[str, ...]


def on_record(sources: Sources) -> tuple[tuple[OnRecord, ...], Choices]:
    """The photographs of a car, and what a further one may say. Raises Refused."""
    from carknocker.dossier.photographs import photographs_on_record
    from carknocker.forms.names import name_on_a_form
    from carknocker.questions.check.photograph_section import described, said_of
    from carknocker.record.standing import listed_now

    with in_plain_words():
        car = with_photographs(read_car_text(sources.record, CAR_FILE), dict(sources.photographs))
        listed = tuple(
            OnRecord(one.file, " and ".join(one.of), said_of(one), described(one))
            for one in photographs_on_record(car, sources.day)
        )
        standing = listed_now(car)
        parts = dict.fromkeys(name_on_a_form(part, standing) for part in car.parts)
        jobs = dict.fromkeys(one.id for one in car.work if one.id)
        return listed, Choices((*parts, *jobs), tuple(car.people))
