"""The record of a car as fields by part, in the words and choices of the forms. Runs in worker processes."""

import json
from collections.abc import Mapping
from datetime import date

import msgspec

from carknocker.documents import Problem
from carknocker.record import read_car_text
from carknocker.service.asked import CAR_FILE, Refused, in_plain_words
from carknocker.vocabulary.model import Attribute


class PartLine(msgspec.Struct, frozen=True):
    """A part on record. name: as forms call it. known: how many values of it are on record."""

    name: str
    known: int


class Field(msgspec.Struct, frozen=True):
    """One thing that is read or said of a part or a move. words: those that are allowed, none where any text or figure
    is. several: more than one of them may be said. value: what is on record, "" for nothing; evidence: by whom and
    when, and where it stands in the text. day: a whole day. may_be_sure: what can hardly be is taken with how it was
    made sure."""

    attribute: str
    label: str
    words: tuple[str, ...]
    several: bool
    unit: str
    how: str
    is_description: bool
    value: str
    evidence: str
    day: bool = False
    may_be_sure: bool = False


class Fields(msgspec.Struct, frozen=True):
    """The fields of a part, and who and what may have read them. mark: of the car."""

    mark: str
    name: str
    fields: tuple[Field, ...]
    people: tuple[str, ...]
    gauges: tuple[str, ...]


def parts(record: str) -> tuple[PartLine, ...]:
    """The parts on record. Raises Refused."""
    from carknocker.forms.names import name_on_a_form
    from carknocker.record.standing import listed_now

    with in_plain_words():
        car = read_car_text(record, CAR_FILE)
        standing = listed_now(car)
        named = {name_on_a_form(part, standing): part.key for part in car.parts}
        return tuple(PartLine(name, len(car.by_part.get(key, ()))) for name, key in named.items())


def fields_of(record: str, name: str) -> Fields:
    """The fields of the part that forms call by this name. Raises Refused."""
    from carknocker.questions.enter.corrections import part_named
    from carknocker.record.value_words import value_words
    from carknocker.vocabulary import load_vocabulary
    from carknocker.wording.evidence import evidence_words

    with in_plain_words():
        car = read_car_text(record, CAR_FILE)
        part = part_named(car, name)
        if part is None:
            raise Refused("not found", f"there is no {name[:80]} on record")
        found: list[Field] = []
        for attribute in load_vocabulary().kinds[part.kind].attributes.values():
            if attribute.derived or attribute.type in ("test", "paper"):
                continue
            said = car.by_part.get(part.key, {}).get(attribute.name, ())
            last = max(said, key=lambda one: one.on or date.min, default=None)
            value = "" if last is None else value_words(last.value)
            found.append(field_of(attribute.name, part.kind, attribute, value, evidence_words(last)))
        return Fields(car.mark, name, tuple(found), tuple(car.people), tuple(car.gauges))


def field_of(name: str, kind: str, attribute: Attribute, value: str, evidence: str = "") -> Field:
    """The field of an attribute. name: by which the page knows it."""
    from carknocker.forms.rows import row_for

    row = row_for(1, kind, attribute, "decides now", "reading")
    how = "; ".join(word for word in (row.how, row.tool) if word)
    return Field(
        name, row.label, row.words, row.box == "words", row.unit, how, attribute.description, value, evidence,
        may_be_sure=not attribute.description,
    )  # fmt: skip


class Described(msgspec.Struct, frozen=True):
    """A record with other descriptions. refused: of each attribute that was not taken why; then nothing was."""

    record: str
    changed: tuple[str, ...]
    refused: tuple[tuple[str, tuple[Problem, ...]], ...]


def described(record: str, name: str, said: tuple[tuple[str, str], ...]) -> Described:
    """The record with some descriptions of a part, by attribute. Raises Refused."""
    from carknocker.questions.enter.corrections import with_descriptions

    with in_plain_words():
        done = with_descriptions(record, CAR_FILE, name, dict(said))
        return Described(done.text, done.changed, tuple(done.refused.items()))


class FormOfFields(msgspec.Struct, frozen=True):
    """A form in YAML made of what was typed into fields. lines: line of the form → attribute."""

    text: str
    lines: tuple[tuple[int, str], ...]


def form_of_fields(
    fields: Fields, head: Mapping[str, str], readings: Mapping[str, str], sure: Mapping[str, str]
) -> FormOfFields:
    """The form that `enter` reads. head: day, reader, gauge. sure: how a figure was made sure that can hardly be."""
    from carknocker.forms.rows import with_unit
    from carknocker.forms.text_forms import FORM, LAST_LINE

    units = {one.attribute: one.unit for one in fields.fields}
    several = {one.attribute for one in fields.fields if one.several}
    rows = [f"format: {FORM}", f"car: {json.dumps(fields.mark)}", "sheets:", f"  - sheet: {json.dumps(fields.name)}"]
    rows += [f"    {key}: {json.dumps(value)}" for key, value in head.items() if value]
    rows += ["    readings:", f"      {json.dumps(fields.name)}:"]
    lines: list[tuple[int, str]] = []
    for attribute, typed in readings.items():
        value: object = with_unit(typed, units.get(attribute, ""))
        if attribute in several:
            value = typed.split(", ")
        if attribute in sure:
            value = {"reads": value, "sure": sure[attribute]}
        rows.append(f"        {attribute}: {json.dumps(value)}")
        lines.append((len(rows), attribute))
    rows.append(f"{LAST_LINE}: yes")
    return FormOfFields("\n".join(rows) + "\n", tuple(lines))
