"""Whom to call about a car, as its record says, for every sheet that goes to others."""

from carknocker.judgement.model import Judgement
from carknocker.page.sheet import SheetSection
from carknocker.record.value_words import value_words
from carknocker.vocabulary.program_names import CONTACT_CARD
from carknocker.wording.evidence import until_words
from carknocker.wording.record_lines import RecordLine, missing_line

_CALLED = ("owner", "owner's helper", "shop inspector", "wheel shop", "bearing shop", "engineer")


def whom_to_call(judgement: Judgement) -> SheetSection:
    """The person who can decide, with telephone and hours, and those who know the car; what is not on record stands as
    missing. Without a contact card the owner decides, if the record has his telephone."""
    lines: list[RecordLine] = []
    for entry in judgement.situation.counted("car", CONTACT_CARD):
        facts = {name: value_words(value) for name, value in entry.facts.items()}
        until = until_words(entry.until).replace(" until", ", until")
        lines.append(RecordLine("who can decide", f"{facts.get('name', 'a name that is not on record')}{until}"))
        number = facts.get("telephone")
        lines.append(RecordLine("telephone", number) if number else missing_line("telephone"))
        if "hours" in facts:
            lines.append(RecordLine("hours", facts["hours"]))
    owner = None
    if not lines:
        owner = next((one for one in judgement.car.people.values() if one.role == "owner" and one.telephone), None)
    if owner is not None:
        lines.append(RecordLine("who can decide", f"{owner.full_name or owner.name} (owner)"))
        lines.append(RecordLine("telephone", owner.telephone))
    if not lines:
        lines.extend((missing_line("who can decide"), missing_line("telephone")))
    for person in judgement.car.people.values():
        if person.role in _CALLED and person is not owner:
            number = person.telephone or "telephone not on record"
            lines.append(RecordLine(person.role, f"{person.full_name or person.name}, {number}"))
    return SheetSection("Whom to call", tuple(lines))
