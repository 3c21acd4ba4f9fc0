"""The photographs on record, each with what it shows and whether its file is as it was."""

from datetime import date

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.record.model import CarRecord, Photograph
from carknocker.record.photographs import State, photographs_by, state_of
from carknocker.wording.evidence import person_words
from carknocker.wording.sources import FilePlaces, lines_of


class PhotographOnRecord(msgspec.Struct, frozen=True):
    """One photograph. of: what it shows, as the record says it. reading: the attribute whose value it shows, else "".
    sha256: of the reduced copy as it was put on record; original_sha256: of what the camera made."""

    file: str
    of: tuple[str, ...]
    reading: str
    on: str
    by: str
    state: State
    sha256: str
    original_sha256: str
    at: FilePlaces


def photographs_of(index: JudgementIndex) -> tuple[PhotographOnRecord, ...]:
    """Those taken up to the day of the judgement, in the order of the record."""
    return photographs_on_record(index.judgement.car, index.judgement.as_of)


def photographs_on_record(car: CarRecord, day: date) -> tuple[PhotographOnRecord, ...]:
    """Those taken by a day, in the order of the record."""
    return tuple(_on_record(one) for one in photographs_by(car, day))


def _on_record(one: Photograph) -> PhotographOnRecord:
    return PhotographOnRecord(
        file=one.file,
        of=one.of,
        reading=one.reading,
        on=one.on.isoformat(),
        by=person_words(one.by),
        state=state_of(one),
        sha256=one.sha256,
        original_sha256=one.original_sha256,
        at=lines_of((one.where,)),
    )
