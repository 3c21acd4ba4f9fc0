"""The spares on record, aboard and on the shelf, which rules ask for them, and those that are asked for and are not on
record."""

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.record.model import Spare
from carknocker.record.value_words import value_words
from carknocker.rulebook.model import Source
from carknocker.wording.sources import FilePlaces, lines_of


class SpareOnRecord(msgspec.Struct, frozen=True):
    """Spares of one kind; of a wheelset one each, with its serial. aboard, shelf: how many. more: what else is said of
    them. rules: the ids of the consequences that ask for such a spare; asked_by: their sentences, each once. short:
    what is short of what is asked, empty where nothing is."""

    spare: str
    serial: str
    aboard: int
    shelf: int
    more: str
    rules: tuple[str, ...]
    asked_by: tuple[Source, ...]
    short: str
    at: FilePlaces


def spares_on_record(index: JudgementIndex) -> tuple[SpareOnRecord, ...]:
    """The spares in the order of the record; then those that are asked for and of which it has none."""
    asked: dict[str, dict[str, Source]] = {}
    short: dict[str, dict[str, None]] = {}
    for duty in index.judgement.duties:
        if duty.requirement.spare:
            asked.setdefault(duty.requirement.spare, {})[duty.consequence.id] = duty.consequence.source
            if duty.state == "open":
                short.setdefault(duty.requirement.spare, {})[duty.note] = None

    def row(name: str, spare: Spare | None) -> SpareOnRecord:
        facts = {} if spare is None else spare.facts
        return SpareOnRecord(
            spare=name,
            serial="" if spare is None else spare.serial,
            aboard=0 if spare is None else spare.carried,
            shelf=0 if spare is None else spare.shelf,
            more="; ".join(f"{fact.replace('_', ' ')}: {value_words(value)}" for fact, value in facts.items()),
            rules=tuple(asked.get(name, {})),
            asked_by=tuple(dict.fromkeys(asked.get(name, {}).values())),
            short="; ".join(short.get(name, {})),
            at=FilePlaces() if spare is None else lines_of((spare.where,)),
        )

    own = index.judgement.car.spares
    there = {spare.name for spare in own}
    return (*(row(spare.name, spare) for spare in own), *(row(name, None) for name in short if name not in there))
