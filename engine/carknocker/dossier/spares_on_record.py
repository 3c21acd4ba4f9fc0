"""The spares on record, aboard and on the shelf, and which rules ask for them."""

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.record.value_words import value_words
from carknocker.rulebook.model import Source
from carknocker.wording.sources import FilePlaces, lines_of


class SpareOnRecord(msgspec.Struct, frozen=True):
    """Spares of one kind; of a wheelset one each, with its serial. aboard, shelf: how many. more: what else is said of
    them. rules: the ids of the consequences that ask for such a spare; asked_by: their sentences, each once."""

    spare: str
    serial: str
    aboard: int
    shelf: int
    more: str
    rules: tuple[str, ...]
    asked_by: tuple[Source, ...]
    at: FilePlaces


def spares_on_record(index: JudgementIndex) -> tuple[SpareOnRecord, ...]:
    """The spares in the order of the record."""
    asked: dict[str, dict[str, Source]] = {}
    for duty in index.judgement.duties:
        if duty.requirement.spare:
            asked.setdefault(duty.requirement.spare, {})[duty.consequence.id] = duty.consequence.source
    return tuple(
        SpareOnRecord(
            spare=spare.name,
            serial=spare.serial,
            aboard=spare.carried,
            shelf=spare.shelf,
            more="; ".join(f"{name.replace('_', ' ')}: {value_words(value)}" for name, value in spare.facts.items()),
            rules=tuple(asked.get(spare.name, {})),
            asked_by=tuple(dict.fromkeys(asked.get(spare.name, {}).values())),
            at=lines_of((spare.where,)),
        )
        for spare in index.judgement.car.spares
    )
