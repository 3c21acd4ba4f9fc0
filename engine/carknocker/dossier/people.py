"""Who reads, tests and signs: whether the host accepts him, until when, and what he signed."""

from collections import Counter

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.record.model import NO_END
from carknocker.wording.sources import FilePlaces, lines_of


class PersonOnRecord(msgspec.Struct, frozen=True):
    """One person. accepted: whether the host of the move accepts on the day of the judgement what he signs. until: the
    last day of that, `no end`, or empty where the record names none. tests: how many he signed; sheets: how many sheets
    of readings."""

    name: str
    full_name: str
    role: str
    telephone: str
    accepted: bool
    until: str
    tests: int
    sheets: int
    at: FilePlaces


def people_of(index: JudgementIndex) -> tuple[PersonOnRecord, ...]:
    """The people in the order of the record."""
    signed = {(one.by.name, one.where.file, one.where.line) for one in index.evidence.values()
              if one.by is not None and one.sort == "test"}  # fmt: skip
    read = {(one.by.name, one.on, one.sheet) for one in index.evidence.values()
            if one.by is not None and one.sort == "reading"}  # fmt: skip
    tests, sheets = Counter(one[0] for one in signed), Counter(one[0] for one in read)
    return tuple(
        PersonOnRecord(
            name=person.name,
            full_name=person.full_name,
            role=person.role,
            telephone=person.telephone,
            accepted=index.situation.accepts(person, index.day),
            until="" if person.until is None else "no end" if person.until == NO_END else person.until.isoformat(),
            tests=tests[person.name],
            sheets=sheets[person.name],
            at=lines_of((person.where,)),
        )
        for person in index.judgement.car.people.values()
    )
