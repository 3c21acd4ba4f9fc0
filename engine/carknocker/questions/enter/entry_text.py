"""What a form says of tests, papers, work, events, moves made and spares, put into the lists of the record: each entry
whole or refused at its place on the form."""

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import count
from typing import Any

import msgspec

from carknocker.documents import InputRefused, Location, Node, Problem, ProblemList, read_document
from carknocker.documents.list_entries import list_text, with_entries
from carknocker.documents.visible_text import one_line
from carknocker.forms.entries import EntryName, entry_named
from carknocker.questions.enter.filled_form import FurtherAnswer
from carknocker.record import read_car_text

_LISTS = ("at",)
_DAYS = ("on", "from", "to", "until")


class NewEntry(msgspec.Struct, frozen=True):
    """An entry of a list as a form has it. said: its answers, each by its key. written: as the record gets it."""

    name: EntryName
    said: tuple[FurtherAnswer, ...]
    written: dict[str, Any]


def with_new_entries(text: str, file: str, answers: Sequence[FurtherAnswer]) -> tuple[str, tuple[str, ...]]:
    """The text of a record with the entries that a form brings, and the lines that it gets. Raises InputRefused with
    the places of the form: for an entry that can't be read, or that names whom or what the record does not know. One
    that is on record already, word for word, is passed over."""
    added: list[str] = []
    by_part: dict[str, list[FurtherAnswer]] = {}
    for one in answers:
        by_part.setdefault(one.part, []).append(one)
    for part, own in by_part.items():
        name = entry_named(part)
        if name is None:
            raise ValueError(f"{part} is no entry")
        entry = _entry(name, tuple(own), text, file)
        if entry is None:
            continue
        section = name.sort.section
        new = with_entries(text, file, section, [entry.written])
        try:
            read_car_text(new, file)
        except InputRefused as refused:
            raise InputRefused(tuple(_in_the_form(one, entry, new, file) for one in refused.problems)) from refused
        text = new
        added.append(f"{section}:\n{list_text([entry.written], 2)}".rstrip())
    return text, tuple(added)


def _entry(name: EntryName, said: tuple[FurtherAnswer, ...], text: str, file: str) -> NewEntry | None:
    """The entry as the record gets it; None where it has it."""
    values = {one.attribute: _value(one.attribute, str(one.value)) for one in said}
    named_by, label = name.sort.named_by
    if named_by and name.kind:
        values = {named_by: name.kind, **values}
    elif named_by and named_by not in values:
        first = said[0]
        found = f"{first.words}what {label} it is, is not said"
        raise InputRefused((Problem(first.where, found, f"the {label} chosen from the list"),))
    if name.at:
        values["at"] = [name.at]
    if _as_texts(values) in list(_on_record(name.sort.section, text, file)):
        return None
    if name.sort.numbered:
        values = {"id": _free_id(name.sort.numbered, text, file), **values}
    first_keys = [key for key in ("id", named_by, "on", "at", "by", "result") if key in values]
    return NewEntry(name, said, {**{key: values[key] for key in first_keys}, **values})


def _value(key: str, text: str) -> Any:
    if key in _LISTS:
        return [word.strip() for word in text.split(",") if word.strip()]
    if key in _DAYS:
        try:
            return date.fromisoformat(text)
        except ValueError:
            return text
    return text


def _on_record(section: str, text: str, file: str) -> Iterator[dict[str, Any]]:
    """The entries of a list, without their ids."""
    root = read_document(text, file, ProblemList())
    listed = None if root is None else root.get(section)
    for node in () if listed is None or listed.kind != "sequence" else listed.nodes:
        if node.kind == "mapping":
            yield {key: value for key, value in node.plain().items() if key != "id"}


def _as_texts(values: dict[str, Any]) -> dict[str, Any]:
    return {key: value if isinstance(value, list) else str(value) for key, value in values.items()}


def _free_id(beginning: str, text: str, file: str) -> str:
    root = read_document(text, file, ProblemList())
    taken: set[str] = set()
    for section in ("work", "events"):
        listed = None if root is None else root.get(section)
        for node in () if listed is None or listed.kind != "sequence" else listed.nodes:
            given = node.get("id") if node.kind == "mapping" else None
            taken.add("" if given is None else given.text.strip())
    return next(one for one in (f"{beginning}-{number}" for number in count(1)) if one not in taken)


def _in_the_form(problem: Problem, entry: NewEntry, text: str, file: str) -> Problem:
    """A problem of a text with a new entry at the end of its list, at the box that it comes from; at the first of the
    entry where something is missing."""
    root = read_document(text, file, ProblemList())
    listed = None if root is None else root.get(entry.name.sort.section)
    node = listed.nodes[-1] if listed is not None and listed.kind == "sequence" and listed.nodes else None
    answer = entry.said[0]
    for one in entry.said:
        value = None if node is None else node.get(one.attribute)
        if node is not None and value is not None and problem.where in _places(node, one.attribute, value):
            answer = one
    words = answer.words or f"{one_line(answer.part)}: "
    return msgspec.structs.replace(problem, where=answer.where, found=f"{words}{problem.found}", line_text="")


def _places(node: Node, key: str, value: Node) -> tuple[Location, ...]:
    return node.key_where(key), value.where, *(one.where for one in value.nodes)
