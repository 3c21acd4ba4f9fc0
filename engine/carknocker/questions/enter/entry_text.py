"""What a form says of tests, papers, work, events, moves made and spares, put into the lists of the record: each entry
whole or refused at its place on the form."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from itertools import count
from typing import Any

import msgspec

from carknocker.documents import InputRefused, Location, Node, Problem, ProblemList, read_document
from carknocker.documents.list_entries import in_braces, list_text, with_entries, with_line_ends
from carknocker.documents.structure import Structure
from carknocker.documents.visible_text import one_line
from carknocker.forms.entries import CONDITIONS_OF_A_PERMISSION, EntryName, Field, Sort, entry_named
from carknocker.questions.enter.correction_entry import CORRECTIONS, with_correction
from carknocker.questions.enter.filled_form import FurtherAnswer, Place, at_its_place
from carknocker.record import read_car_text
from carknocker.record.entries import (
    EventHead,
    LeaveEntry,
    LogHead,
    MoveMadeEntry,
    PaperHead,
    SpareHead,
    TestHead,
    WorkHead,
)
from carknocker.record.insertion import CannotInsert, plain_text, with_entry

_LISTS = ("at", "after")
_DAYS = ("on", "read_on", "from", "to", "until", "signed_on", "complete_since")
_FIRST = ("job", "event")
"""What others of the form may be after is put on record before them."""


class NewEntry(msgspec.Struct, frozen=True):
    """An entry of a list as a form has it. said: its answers, each by its key. written: as the record gets it. blank:
    where its empty boxes stand, by key."""

    name: EntryName
    said: tuple[FurtherAnswer, ...]
    written: dict[str, Any]
    blank: Mapping[str, Place] = {}


def with_new_entries(
    text: str, file: str, answers: Sequence[FurtherAnswer], blank: Mapping[tuple[str, str], Place] = {}
) -> tuple[str, tuple[str, ...]]:  # fmt: skip
    """The text of a record with the entries that a form brings, and the lines that it gets. blank: where the empty
    boxes of entries stand. Raises InputRefused with the places of the form: for each entry that can't be read, or that
    names whom or what the record does not know. One that is on record already, word for word, is passed over."""
    problems: list[Problem] = []
    refused_parts: set[str] = set()
    added: list[str] = []
    ids: dict[str, str] = {}  # of the jobs and events of the form
    by_part: dict[str, list[FurtherAnswer]] = {}
    for one in answers:
        by_part.setdefault(one.part, []).append(one)
    for part, name in _in_order(by_part):
        own = {key: place for (whose, key), place in blank.items() if whose == part}
        try:
            if name.sort.section == CORRECTIONS:
                right, written = with_correction(name, by_part[part], own, text, file)
                if written:
                    text = _with_entry(NewEntry(name, tuple(by_part[part]), written, own), right, file)
                    added.append(f"{name.sort.section}:\n{list_text([written], 2)}".rstrip())
                continue
            entry = _entry(name, tuple(by_part[part]), ids, own)
            if refused_parts.intersection(entry.written.get("after", ())):
                continue  # it is looked at once what it is after is right
            known = _on_record(entry, text, file)
            if known is not None:
                ids[part] = known
                continue
            if name.sort.numbered:
                ids[part] = _free_id(name.sort.numbered, text, file)
                entry = msgspec.structs.replace(entry, written={"id": ids[part], **entry.written})
            text = _with_entry(entry, text, file)
        except InputRefused as refused:
            ids.pop(part, None)
            refused_parts.add(part)
            problems += refused.problems
            continue
        added.append(f"{name.sort.section}:\n{list_text([entry.written], 2)}".rstrip())
    if problems:
        raise InputRefused(tuple(problems))
    return text, tuple(added)


def _with_entry(entry: NewEntry, text: str, file: str) -> str:
    """The text with an entry, proven by reading it. Raises InputRefused with the places of the form."""
    sort = entry.name.sort
    new = _with_one(entry, text, file) if sort.alone else with_entries(text, file, sort.section, [entry.written])
    try:
        read_car_text(new, file)
    except InputRefused as refused:
        raise InputRefused(tuple(_in_the_form(one, entry, new, file) for one in refused.problems)) from refused
    return new


def _in_order(parts: Iterable[str]) -> list[tuple[str, EntryName]]:
    """The entries, jobs and events first and one that is after another behind it as the form numbers them."""
    named: list[tuple[str, EntryName]] = []
    for part in parts:
        name = entry_named(part)
        if name is None:
            raise ValueError(f"{part} is no entry")
        named.append((part, name))
    return sorted(named, key=lambda one: one[1].sort.word not in _FIRST)


def _with_one(entry: NewEntry, text: str, file: str) -> str:
    """The text with an entry that the record has once. Raises InputRefused where it has another."""
    section = entry.name.sort.section
    root = read_document(text, file, ProblemList())
    before = None if root is None else root.get(section)
    if before is not None and not before.is_empty:
        first = entry.said[0]
        found = f"{first.words}another statement than the record has under `{section}:`"
        raise InputRefused((Problem(first.where, found, "what the record says", remedy="correct it by hand"),))
    plain = text.replace("\r\n", "\n")
    said = (f"{key}: {value if isinstance(value, date) else plain_text(value)}" for key, value in entry.written.items())
    line = f"{{{', '.join(said)}}}"
    try:
        return with_line_ends(text, plain, with_entry(plain, (section,), line))
    except CannotInsert as reason:
        first = entry.said[0]
        found = f"{first.words}it can't be written into the record: {reason}"
        raise InputRefused((Problem(first.where, found, "a place of its own", remedy="write it by hand"),)) from None


def _entry(
    name: EntryName, said: tuple[FurtherAnswer, ...], ids: Mapping[str, str], blank: Mapping[str, Place]
) -> NewEntry:  # fmt: skip
    """The entry as the record gets it, without its id. ids: of the jobs and events that the form names before it.
    Raises InputRefused for each field that it needs and lacks, at its own box."""
    values = {one.attribute: _value(one.attribute, str(one.value)) for one in said}
    named_by, label = name.sort.named_by
    if named_by and name.kind:
        values = {named_by: name.kind, **values}
    elif named_by and named_by not in values:
        where, words = blank.get(named_by, (said[0].where, said[0].words))
        found = f"{words}what {label} it is, is not said"
        raise InputRefused((Problem(where, found, f"the {label} chosen from the list"),))
    if name.at:
        values["at"] = [name.at]
    lacks = [field for field in name.sort.fields if field.key in _needed(name.sort) and not values.get(field.key)]
    if lacks:
        raise InputRefused(tuple(_lacking(field, said[0], blank) for field in lacks))
    if "after" in values:
        values["after"] = [ids.get(one, one) for one in values["after"]]
    if name.sort.section == "leaves":
        _limit_permission(values)
    first_keys = [key for key in (named_by, "on", "at", "by", "result") if key in values]
    return NewEntry(name, said, {**{key: values[key] for key in first_keys}, **values}, blank)


def _lacking(field: Field, first: FurtherAnswer, blank: Mapping[str, Place]) -> Problem:
    """What an entry needs and lacks, at its empty box; at the first of the entry where the form has no such box."""
    where, words = blank.get(field.key, (first.where, first.words))
    condition = field.how if field.key in CONDITIONS_OF_A_PERMISSION else ""
    expected = condition or "every field that such an entry needs, filled in"
    return Problem(where, f"{words}{one_line(first.part)} without: {field.label}", expected)


_HEADS: Mapping[str, type[Structure]] = {
    "tests": TestHead, "papers": PaperHead, "work": WorkHead, "events": EventHead, "moves_made": MoveMadeEntry,
    "spares": SpareHead, "log": LogHead, "leaves": LeaveEntry,
}  # fmt: skip


def _needed(sort: Sort) -> frozenset[str]:
    """The keys without which the record has no such entry. A permission without its parts would be for every part, and
    one without its day of signature or without any of its conditions would relieve nothing."""
    fields = msgspec.structs.fields(_HEADS[sort.section])
    needed = {one.encode_name for one in fields if one.required}
    of_permission = {"at", "signed_on", *CONDITIONS_OF_A_PERMISSION} if sort.section == "leaves" else set()
    return frozenset(needed | of_permission)


def _limit_permission(values: dict[str, Any]) -> None:
    """Puts what a permission leaves the car restricted to under its own key."""
    restricted = {key: values.pop(key) for key in CONDITIONS_OF_A_PERMISSION if key in values}
    if restricted:
        values["leaves"] = in_braces(restricted)


def _value(key: str, text: str) -> Any:
    if key in _LISTS:
        return [word.strip() for word in text.split(",") if word.strip()]
    if key in _DAYS:
        try:
            return date.fromisoformat(text)
        except ValueError:
            return text
    return text


def _on_record(entry: NewEntry, text: str, file: str) -> str | None:
    """The id of the entry that says the same, empty where such entries have none; None where there is none."""
    root = read_document(text, file, ProblemList())
    listed = None if root is None else root.get(entry.name.sort.section)
    nodes = () if listed is None else (listed,) if entry.name.sort.alone else listed.nodes
    for node in nodes:
        plain = node.plain() if node.kind == "mapping" else None
        if isinstance(plain, dict) and _as_texts({**plain, "id": ""}) == _as_texts({**entry.written, "id": ""}):
            return str(plain.get("id", ""))
    return None


def _as_texts(values: Mapping[str, Any]) -> dict[str, Any]:
    return {
        key: value if isinstance(value, list) else _as_texts(value) if isinstance(value, dict) else str(value)
        for key, value in values.items()
    }


def _free_id(beginning: str, text: str, file: str) -> str:
    root = read_document(text, file, ProblemList())
    taken: set[str] = set()
    for section in ("work", "events", "leaves"):
        listed = None if root is None else root.get(section)
        for node in () if listed is None or listed.kind != "sequence" else listed.nodes:
            given = node.get("id") if node.kind == "mapping" else None
            taken.add("" if given is None else given.text.strip())
    return next(one for one in (f"{beginning}-{number}" for number in count(1)) if one not in taken)


def _in_the_form(problem: Problem, entry: NewEntry, text: str, file: str) -> Problem:
    """A problem of a text with a new entry at the end of its list, at the box that it comes from: the empty one where
    something is missing; at the first of the entry where the form has none such."""
    if problem.lacks in entry.blank:
        return at_its_place(problem, entry.blank[problem.lacks])
    root = read_document(text, file, ProblemList())
    listed = None if root is None else root.get(entry.name.sort.section)
    node = listed.nodes[-1] if listed is not None and listed.kind == "sequence" and listed.nodes else listed
    answer = entry.said[0]
    for one in entry.said:
        value = None if node is None else node.get(one.attribute)
        if node is not None and value is not None and problem.where in _places(node, one.attribute, value):
            answer = one
    words = answer.words or f"{one_line(answer.part)}: "
    return at_its_place(problem, (answer.where, words))


def _places(node: Node, key: str, value: Node) -> tuple[Location, ...]:
    return node.key_where(key), value.where, *(one.where for one in value.nodes)
