"""An entry of the log taken apart: the keys of its fixed shape, and the further facts that the vocabulary gives it."""

from collections.abc import Mapping
from typing import TypeVar

from carknocker.documents import Node
from carknocker.documents.structure import StructureType, keys_of, read_as
from carknocker.record.notes import Notes
from carknocker.record.value_reader import read_value
from carknocker.record.values import Value
from carknocker.vocabulary.model import Attribute

_Named = TypeVar("_Named")
_NONE: Mapping[str, Attribute] = {}


def read_entry(
    node: Node, model: type[StructureType], notes: Notes, what: str, facts: Mapping[str, Attribute] | None = _NONE
) -> tuple[StructureType | None, dict[str, Value]]:
    """The fixed part of an entry (None, noted, if something in it is wrong), and its further facts by name.

    facts: what else the entry may say; None where that is not known, and other keys go unread.
    """
    if node.kind != "mapping":
        notes.note(node, node.describe(), f"{what}: a mapping")
        return None, {}
    head = read_as(node.only(keys_of(model)), model, notes.problems)
    return head, ({} if facts is None else read_facts(node, keys_of(model), facts, notes, what))


def read_head(node: Node, model: type[StructureType], notes: Notes, what: str) -> StructureType | None:
    """The fixed part of an entry alone."""
    return read_entry(node, model, notes, what, None)[0]


def read_facts(
    node: Node, fixed: tuple[str, ...], facts: Mapping[str, Attribute], notes: Notes, what: str
) -> dict[str, Value]:
    """The further facts of a mapping, by name. Keys that are neither fixed nor facts are noted."""
    read: dict[str, Value] = {}
    for key, value in notes.mapping(node, what):
        if key in fixed:
            continue
        attribute = facts.get(key)
        if attribute is None:
            notes.unknown_key(node, key, dict.fromkeys((*fixed, *facts)), what)
            continue
        found = read_value(value, attribute, notes)
        if found is None:
            continue
        if found.gauge:
            notes.note(value, f"a gauge for `{key}`", "the value alone", remedy="a gauge is named on a sheet or a test")
        read[key] = found.value
    return read


def kind_named(node: Node, key: str, kinds: Mapping[str, _Named], notes: Notes, what: str) -> _Named | None:
    """What the vocabulary has under the name that a key of the entry gives; None, noted, for an unknown name."""
    given = node.get(key) if node.kind == "mapping" else None
    if given is None or given.kind != "scalar" or given.is_empty:
        return None  # the fixed part of the entry says so
    name = given.text.strip()
    return kinds[name] if notes.is_known(given, name, kinds, what) else None
