"""Descriptions of a part put into a record, or put right in it: what its owner says anew, in place of what stands
there."""

from collections.abc import Mapping

import msgspec

from carknocker.documents import InputRefused, Location, Problem
from carknocker.documents.list_entries import with_line_ends
from carknocker.forms.names import name_on_a_form
from carknocker.questions.enter.answer_values import flow_text, place_of, value_said
from carknocker.questions.enter.filled_form import FurtherAnswer, cell_value
from carknocker.record import CarRecord, read_car_text
from carknocker.record.insertion import CannotInsert, dotted, with_entry, with_value
from carknocker.record.model import Part
from carknocker.record.standing import listed_now
from carknocker.vocabulary import load_vocabulary


class Corrected(msgspec.Struct, frozen=True):
    """text: of the whole new record. changed: what it says now, a line each. refused: attribute → why it was not
    taken; nothing of the others was then taken either."""

    text: str
    changed: tuple[str, ...] = ()
    refused: Mapping[str, tuple[Problem, ...]] = {}


def part_named(record: CarRecord, name: str) -> Part | None:
    """The part that a form calls by this name."""
    standing = listed_now(record)
    return next((part for part in record.parts if name_on_a_form(part, standing) == name), None)


def with_descriptions(record: str, record_file: str, name: str, said: Mapping[str, str]) -> Corrected:
    """The record with some descriptions of a part, by attribute, each proven by reading the record with it.

    Raises InputRefused for a record that can't be read, and for a part or an attribute that it has not got.
    """
    refused: dict[str, tuple[Problem, ...]] = {}
    changed: list[str] = []
    text = record
    for attribute, words in said.items():
        try:
            after, line = _with_one(text, record_file, name, attribute, words.strip())
            read_car_text(after, record_file)
        except InputRefused as problem:
            refused[attribute] = problem.problems
            continue
        if line:
            text = after
            changed.append(line)
    return Corrected(record, (), refused) if refused else Corrected(text, tuple(changed))


def _with_one(text: str, file: str, name: str, attribute: str, words: str) -> tuple[str, str]:
    """The text with one description, and what it says now; nothing where it says so already."""
    car = read_car_text(text, file)
    part = part_named(car, name)
    start = Location(file, 1, 1)
    known = None if part is None else load_vocabulary().attribute(part.kind, attribute)
    if part is None or known is None or not known.description:
        raise InputRefused((Problem(start, f"`{attribute[:40]}` of {name[:80]}", "a description of a part on record"),))
    answer = FurtherAnswer(name, attribute, cell_value(load_vocabulary().kinds[part.kind], attribute, words), start)
    value = value_said(answer, known)
    before = car.by_part.get(part.key, {}).get(attribute, ())
    if before and before[-1].value == value:
        return text, ""
    path = (*place_of(part), attribute)
    plain = text.replace("\r\n", "\n")
    try:
        written = (with_value if before else with_entry)(plain, path, flow_text(answer.value))
    except CannotInsert as reason:
        at = before[-1].where if before else start
        found = f"`{dotted(path)}` can't be written: {reason}"
        raise InputRefused((Problem(at, found, "a place of its own", remedy="write it in the text"),)) from None
    return with_line_ends(text, plain, written), f"{dotted(path)}: {flow_text(answer.value)}"
