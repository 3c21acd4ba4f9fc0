"""An entry taken apart: the keys of its fixed shape, and the further facts that the vocabulary gives it."""

from collections.abc import Mapping

from carknocker.documents import Node
from carknocker.documents.structure import ModelType, read_as
from carknocker.record.notes import Notes
from carknocker.record.value_reader import read_value
from carknocker.record.values import Value
from carknocker.vocabulary.model import Attribute


def read_head(node: Node, model: type[ModelType], notes: Notes, what: str) -> ModelType | None:
    """The fixed part of an entry; None, noted, if something in it is wrong."""
    if node.kind != "mapping":
        notes.note(node, node.describe(), f"{what}: a mapping")
        return None
    return read_as(node.only(fixed_keys(model)), model, notes.problems)


def fixed_keys(model: type[ModelType]) -> tuple[str, ...]:
    return tuple(field.alias or name for name, field in model.model_fields.items())


def read_facts(
    node: Node, model: type[ModelType], facts: Mapping[str, Attribute], notes: Notes, what: str
) -> dict[str, Value]:
    """The further facts of an entry, by name. Keys that are neither fixed nor facts are noted."""
    fixed = fixed_keys(model)
    read: dict[str, Value] = {}
    for key, value in node.pairs():
        if key in fixed:
            continue
        attribute = facts.get(key)
        if attribute is None:
            notes.unknown_key(node, key, (*fixed, *facts), what)
            continue
        found = read_value(value, attribute, notes)
        if found is not None:
            read[key] = found.value
    return read
