"""What a form says of parts and of the move, put into their texts: descriptions, statements, parts that are new. What
contradicts the text is refused at its place on the form, and nothing is written over."""

from collections.abc import Callable, Iterable, Mapping
from functools import partial
from typing import Any

import msgspec

from carknocker.documents import InputRefused, Location, Problem, ProblemList, read_document
from carknocker.documents.list_entries import with_line_ends
from carknocker.documents.visible_text import one_line
from carknocker.forms.entries import entry_named, is_of_people_and_gauges
from carknocker.forms.names import kind_and_position, name_on_a_form
from carknocker.forms.new_parts import new_name
from carknocker.questions.enter.answer_values import flow_text, place_of, value_said
from carknocker.questions.enter.entry_text import with_new_entries
from carknocker.questions.enter.filled_form import FilledSheet, FurtherAnswer, Place
from carknocker.questions.enter.who_text import with_people_and_gauges
from carknocker.record import CarRecord, read_car_text, read_move_text
from carknocker.record.insertion import CannotInsert, dotted, with_entry, with_members
from carknocker.record.model import Move, Part
from carknocker.record.standing import listed_now
from carknocker.record.unlisted_parts import PartsThere, parts_there, place_in
from carknocker.record.value_reader import NONE_FITTED
from carknocker.record.value_words import value_words
from carknocker.record.values import Value
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Kind
from carknocker.vocabulary.program_names import MOVE_KINDS, TRAIN

MOST_NEW_PARTS = 200
"""Of one kind in one place."""
_BY_HAND = "write it by hand, or correct the form"
_CONTRADICTS = "correct the form, or the line in the text by hand"
Path = tuple[str | int, ...]


class Texts(msgspec.Struct, frozen=True):
    """The texts of a record and of its move. added: what they got, in words."""

    record: str
    record_file: str
    move: str | None = None
    move_file: str = ""
    added: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def with_answers(texts: Texts, sheet: FilledSheet) -> tuple[Texts, FilledSheet, tuple[Problem, ...]]:
    """The texts with the descriptions, statements, entries and new parts of a sheet; the sheet with the readings of
    the parts that are new; and what could not be put in, all of it, at the places of the form."""
    entries = [one for one in sheet.further if entry_named(one.part) is not None]
    who = [one for one in entries if is_of_people_and_gauges(one.part)]
    kinds = [(one, kind_and_position(one.part)) for one in sheet.further if one not in entries]
    new = [one for one, _ in kinds if one.part.startswith(NEW)]
    statements = [one for one, kind in kinds if kind is not None and kind[0].name in MOVE_KINDS]
    described = [one for one, _ in kinds if one not in new and one not in statements]
    problems: list[Problem] = []
    if described:
        record = read_car_text(texts.record, texts.record_file)
        texts = _each(texts, described, partial(_with_description, record, _by_name(record)), problems)
    if statements and texts.move is None:
        found = "a statement of the move, and no move beside the record"
        problems += _refuse(statements[0], found, "the move file", "name it with `--move FILE`").problems
    elif statements:
        move = read_move_text(texts.move or "", texts.move_file)
        texts = _each(texts, statements, partial(_with_statement, move), problems)
    written, added = texts.record, texts.added
    try:
        written, known = with_people_and_gauges(written, texts.record_file, who, sheet.blank)
        added = (*added, *known)
    except InputRefused as refused:
        problems += refused.problems
    try:
        others = [one for one in entries if one not in who]
        written, new_entries = with_new_entries(written, texts.record_file, others, sheet.blank)
        added = (*added, *new_entries)
    except InputRefused as refused:
        problems += refused.problems
    texts, full = _with_new_parts(msgspec.structs.replace(texts, record=written, added=added), sheet, new, problems)
    return texts, full, tuple(problems)


def _each(
    texts: Texts, answers: Iterable[FurtherAnswer], put: Callable[[Texts, FurtherAnswer], Texts],
    problems: list[Problem],
) -> Texts:  # fmt: skip
    """The texts with each answer that can be put in; of each other the problem is noted."""
    for one in answers:
        try:
            texts = put(texts, one)
        except InputRefused as refused:
            problems += refused.problems
    return texts


NEW = "new "


def _refuse(
    said: FurtherAnswer, found: str, expected: str, remedy: str = _BY_HAND, at: Place | None = None
) -> InputRefused:
    """at: where its part is named, or what is said of it; else where its value stands."""
    where, words = at or (said.where, said.words)
    return InputRefused((Problem(where, f"{words}{found}", expected, remedy=remedy),))


def _no_such(said: FurtherAnswer, whose: str) -> InputRefused:
    """What a form says of a part that can't be said of such a part."""
    found = f"`{one_line(said.attribute)[:40]}` of {whose}"
    return _refuse(said, found, "as the form was written", at=said.attribute_at)


def _by_name(record: CarRecord) -> dict[str, Part]:
    standing = listed_now(record)
    return {name_on_a_form(part, standing): part for part in record.parts}


def _with_description(record: CarRecord, parts: Mapping[str, Part], texts: Texts, one: FurtherAnswer) -> Texts:
    """The texts with a description. record: as it was before any of the sheet."""
    part = parts.get(one.part)
    if part is None:
        found = f"{one.part}, which is not on record"
        raise _refuse(one, found, "a part of the record, as the form was written", at=one.part_at)
    attribute = load_vocabulary().attribute(part.kind, one.attribute)
    if attribute is None:
        raise _no_such(one, f"a {part.kind}")
    value = value_said(one, attribute)
    before = record.by_part.get(part.key, {}).get(attribute.name, ())
    return _inserted(texts, one, (*place_of(part), attribute.name), value, before[-1].value if before else None)


def _with_statement(move: Move, texts: Texts, one: FurtherAnswer) -> Texts:
    """The texts with a statement of the move. move: as it was before any of the sheet."""
    told = kind_and_position(one.part)
    attribute = None if told is None else load_vocabulary().attribute(told[0].name, one.attribute)
    if told is None or attribute is None:
        raise _no_such(one, one.part)
    path, facts = _statements_of(told[0].name, told[1], move)
    value = value_said(one, attribute)
    return _inserted(texts, one, (*path, attribute.name), value, facts.get(attribute.name), in_move=True)


def _statements_of(kind: str, position: str, move: Move) -> tuple[Path, Mapping[str, Value]]:
    """Where what a move says of a kind stands in its file, and what it says there."""
    if kind == TRAIN:
        return (TRAIN,), move.train_facts
    if kind == "leg":
        number = int(position) if position.isdigit() else 0
        legs = {leg.number: leg.facts for leg in move.legs}
        return ("legs", max(number, 1) - 1), legs.get(number, {})
    return (kind,), move.facts


def _inserted(
    texts: Texts, said: FurtherAnswer, path: Path, value: Value, before: Value | None, *, in_move: bool = False
) -> Texts:
    """The texts with one value. One that stands there alike is left; another is a contradiction."""
    if before is not None:
        if before == value:
            return texts
        found = f"`{path[-1]}: {value_words(value)}`, where the text says `{value_words(before)}`"
        raise _refuse(said, found, f"`{value_words(before)}`", _CONTRADICTS)
    text = (texts.move if in_move else texts.record) or ""
    plain = text.replace("\r\n", "\n")
    try:
        written = with_line_ends(text, plain, with_entry(plain, path, flow_text(said.value)))
    except CannotInsert as reason:
        raise _refuse(said, f"`{dotted(path)}` can't be written: {reason}", "a place of its own") from None
    added = (*texts.added, f"{'the move, ' if in_move else ''}{dotted(path)}: {flow_text(said.value)}")
    if in_move:
        return msgspec.structs.replace(texts, move=written, added=added)
    return msgspec.structs.replace(texts, record=written, added=added)


def _with_new_parts(
    texts: Texts, sheet: FilledSheet, new: Iterable[FurtherAnswer], problems: list[Problem]
) -> tuple[Texts, FilledSheet]:
    """The texts with the parts that are new, and the sheet with what was read of them. Notes what can't be put in."""
    said: dict[str, list[FurtherAnswer]] = {}
    for one in new:
        said.setdefault(one.part, []).append(one)
    record = read_car_text(texts.record, texts.record_file)
    standing = listed_now(record)
    full = sheet.copy()
    for there in parts_there(standing):
        container = name_on_a_form(there.container, standing)
        own = said.pop(new_name(there.kind.name, there.row.called, container), [])
        typed = _typed_number(there, sheet)
        if own or typed:
            try:
                texts = _with_row(texts, there, own, typed, full, record)
            except InputRefused as refused:
                problems += refused.problems
    for left in said.values():
        found = f"{one_line(left[0].part)[:80]}, which no such car has"
        problems += _refuse(left[0], found, "as the form was written").problems
    return texts, full


def _typed_number(there: PartsThere, sheet: FilledSheet) -> str:
    """How many parts of a row the sheet says there are; empty where it says nothing of it."""
    if not there.row.number:
        return ""
    kind = load_vocabulary().kinds[there.container.kind]
    values = sheet.readings.get(kind.section, {})
    values = values if kind.positions == "single" else values.get(there.container.position, {})
    value = values.get(there.row.number, "")
    return value if isinstance(value, str) else ""


def _with_row(
    texts: Texts, there: PartsThere, own: list[FurtherAnswer], typed: str, full: FilledSheet, record: CarRecord
) -> Texts:
    """The texts with the parts of a row that are missing, and the sheet with what was read of them."""
    called = there.row.called
    if there.only_if is False or typed in (NONE_FITTED, "0"):
        return texts
    if own and not there.row.number and there.only_if is None:
        note = f"{own[0].words}not taken: it is not known yet whether there are any; make the form anew after this one"
        return msgspec.structs.replace(texts, notes=(*texts.notes, note))
    number = _missing(there, typed)
    if number is None:
        if own:
            raise _refuse(own[0], f"how many {called} there are is not said", f"the number of {called}", "fill it in")
        return texts
    if number > MOST_NEW_PARTS:
        raise InputRefused((Problem(full.where, f"{number:,} {called}", f"at most {MOST_NEW_PARTS}"),))
    descriptions, readings = _sorted(there.kind, own)
    place = place_in(there.kind, there.container.kind, there.container.position)
    told = {name: words[0] for name, words in there.row.which if len(words) == 1}
    entry = {**({"at": place} if place and there.row.number else {}), **told, **descriptions}
    names = _names(there, number, record, texts.record)
    for name in names:
        for answer in readings:
            full.put(there.kind, name, answer.attribute, answer.value, answer.where, answer.words)
    return _with_parts(texts, there, names, flow_text(entry), own[0] if own else None, full.where)


def _missing(there: PartsThere, typed: str) -> int | None:
    """How many parts the record does not list; None where nobody knows."""
    if not there.row.number:
        return 0 if there.listed else 1
    stated = int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 9 else there.stated
    return None if stated is None else max(0, stated - len(there.listed))


def _sorted(kind: Kind, own: list[FurtherAnswer]) -> tuple[dict[str, Any], list[FurtherAnswer]]:
    """What is said of new parts: descriptions, and readings."""
    descriptions: dict[str, Any] = {}
    readings: list[FurtherAnswer] = []
    for one in own:
        attribute = kind.attributes.get(one.attribute)
        if attribute is None:
            raise _no_such(one, f"a {kind.name}")
        value_said(one, attribute)
        if attribute.description:
            descriptions[one.attribute] = one.value
        else:
            readings.append(one)
    return descriptions, readings


def _names(there: PartsThere, number: int, record: CarRecord, text: str) -> list[str]:
    """The names of new parts: the place of one that is known by it, else numbers that no part of the kind has."""
    if not there.row.number:
        return [there.container.position if there.kind.positions != "single" else ""][:number]
    root = read_document(text, record.file, ProblemList())
    section = None if root is None else root.get(there.kind.section)
    taken = set(section.keys()) if section is not None and section.kind == "mapping" else set()
    free = (str(index) for index in range(1, 100_000) if str(index) not in taken)
    return [next(free) for _ in range(number)]


def _with_parts(
    texts: Texts, there: PartsThere, names: list[str], entry: str, said: FurtherAnswer | None, where: Location
) -> Texts:
    if not names:
        return texts
    section = there.kind.section
    plain = texts.record.replace("\r\n", "\n")
    try:
        if there.row.number:
            written = with_members(plain, section, {f'"{name}"': entry for name in names})
            added = f"{section}: {len(names)} {there.row.called} ({', '.join(names)}): {entry}"
        else:
            path = (section, names[0]) if names[0] else (section,)
            written = with_entry(plain, path, entry)
            added = f"{dotted(path)}: {entry}"
    except CannotInsert as reason:
        found = f"{there.row.called} can't be written into the record: {reason}"
        words = said.words if said is not None else ""
        raise InputRefused((Problem(where, f"{words}{found}", "a place of its own", remedy=_BY_HAND),)) from None
    text = with_line_ends(texts.record, plain, written)
    return msgspec.structs.replace(texts, record=text, added=(*texts.added, added))
