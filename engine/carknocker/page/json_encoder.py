"""Answers as JSON, by one encoder for every question: the fields of the answer, in their own order.

A rule changes how the values of one type are written: as one text, or as chosen fields under the keys that the format
documents.
"""

import json
from collections.abc import Callable, Mapping, Set
from datetime import date
from fractions import Fraction
from typing import Any, TypeAlias

import msgspec

from carknocker.documents import Location
from carknocker.documents.visible_text import visible_json
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import CarRecord, Evidence, Gauge, Part, Person
from carknocker.record.value_words import value_words
from carknocker.record.values import (
    Bound,
    Count,
    Day,
    Figure,
    Interval,
    NotAccessible,
    Opinion,
    PressureDrop,
    Word,
    Words,
)
from carknocker.rulebook.model import Source
from carknocker.wording.sources import FilePlaces


class Key(msgspec.Struct, frozen=True):
    """One key of an object. path: the field it is read from, or a field of that field, and so on. blank: whether an
    empty value is written as null. items: the keys of the object that each tuple of a list becomes."""

    name: str
    path: tuple[str, ...]
    blank: bool = False
    items: tuple[str, ...] = ()


Rule: TypeAlias = Callable[[Any], Any] | tuple[Key, ...]
Rules: TypeAlias = Mapping[type, Rule]


def keys(*said: str) -> tuple[Key, ...]:
    """The keys of an object. `name`: the field of that name; `name=path.to.field`: another field; `?` at the end: null
    if empty; `name[one two]`: a list of pairs, each written as an object with these keys."""
    return tuple(map(_key, said))


def _key(said: str) -> Key:
    name, _, path = said.removesuffix("?").partition("=")
    name, _, items = name.partition("[")
    return Key(name, tuple((path or name).split(".")), said.endswith("?"), tuple(items.removesuffix("]").split()))


def every_field(kind: type[msgspec.Struct]) -> tuple[Key, ...]:
    """A rule that writes all fields of a type under their own names, for a format that differs from the others in
    this."""
    return tuple(Key(name, (name,)) for name in kind.__struct_fields__)


def where(place: Location) -> str:
    """A place in a file, under the name that the file was given: `car.yaml:12`."""
    return f"{place.file}:{place.line}"


_IN_EVERY_FORM: dict[type, Rule] = {
    Fraction: str,
    Quantity: write_quantity,
    Location: where,
    FilePlaces: str,
    Part: lambda part: part.key,
    CarRecord: keys("mark", "name", "file"),
    Source: keys(
        "document", "section", "words", "kind", "status", "check_current_text=to_be_checked", "year?", "note?"
    ),
    Person: keys("name", "full_name?", "role", "telephone?"),
    Gauge: keys("name", "kind", "reads_to", "uncertainty", "checked", "due"),
    Evidence: keys(
        "attribute", "part", "place", "value", "sort", "on", "until", "by", "gauge", "reads_to=resolution", "sheet?",
        "after", "facts=facts_by_name", "at=where",
    ),
    **dict.fromkeys(
        (Bound, Count, Day, Figure, Interval, NotAccessible, Opinion, PressureDrop, Word, Words), value_words
    ),
}  # fmt: skip


def encode(value: Any, rules: Rules = {}) -> Any:  # noqa: B006 (never written to)
    """A value as plain data: objects, lists, texts, numbers, null. rules: of this format; they come before the common
    ones."""
    if value is None or isinstance(value, str | int):
        return value
    kind = value.__class__
    rule = rules.get(kind) or _IN_EVERY_FORM.get(kind)
    if callable(rule):
        return encode(rule(value), rules)
    if rule is not None:
        return {key.name: _at(value, key, rules) for key in rule}
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(name): encode(one, rules) for name, one in value.items()}
    if isinstance(value, Set):
        return sorted(encode(one, rules) for one in value)
    if isinstance(value, tuple | list):
        return [encode(one, rules) for one in value]
    if isinstance(value, msgspec.Struct):
        return {name: encode(getattr(value, name), rules) for name in kind.__struct_fields__}
    raise TypeError(f"nothing says how a {kind.__name__} is written as JSON")


def _at(value: Any, key: Key, rules: Rules) -> Any:
    for name in key.path:
        if value is None:
            return None
        value = getattr(value, name)
    if key.items:
        return [dict(zip(key.items, encode(one, rules), strict=True)) for one in value]
    return None if key.blank and not value else encode(value, rules)


def named(format_name: str, form: Mapping[str, Any]) -> dict[str, Any]:
    """A form with the name of its format as first key."""
    return {"format": format_name, **form}


def json_text(form: Mapping[str, Any] | list[Any]) -> str:
    """A form as text, with nothing hidden in it. What has nothing nested in it is one line. Ends in a line feed."""
    pieces: list[str] = []
    _write(form, "\n", pieces)
    return visible_json("".join(pieces)) + "\n"


_WIDE = 200
"""An object that holds lists, but no object, is one line where that has at most so many characters."""


def _write(value: Any, line: str, pieces: list[str]) -> None:
    """The pieces of the text of plain data. line: how a line at its depth begins."""
    if not value or not isinstance(value, dict | list):
        pieces.append(_PLAIN(value))
        return
    inner = list(value.values()) if isinstance(value, dict) else value
    if all(map(_is_flat, inner)):
        pieces.append(_PLAIN(value))
        return
    if isinstance(value, dict) and all(_is_flat(one) or _is_list_of_flat(one) for one in inner):
        text = _PLAIN(value)
        if len(text) <= _WIDE:
            pieces.append(text)
            return
    deeper = f"{line}  "
    names = [f"{_PLAIN(name)}: " for name in value] if isinstance(value, dict) else [""] * len(inner)
    opening, closing = "{}" if isinstance(value, dict) else "[]"
    for number, (name, one) in enumerate(zip(names, inner, strict=True)):
        pieces.append(f"{',' if number else opening}{deeper}{name}")
        _write(one, deeper, pieces)
    pieces.append(f"{line}{closing}")


_PLAIN = json.JSONEncoder(ensure_ascii=False).encode


def _is_flat(value: Any) -> bool:
    return not value or not isinstance(value, dict | list)


def _is_list_of_flat(value: Any) -> bool:
    return isinstance(value, list) and all(map(_is_flat, value))


def answer_json(format_name: str, answer: Any, rules: Rules = {}, **more: Any) -> str:  # noqa: B006 (never written to)
    """An answer in the JSON format of that name. more: keys that come before the answer's own. Ends in a line feed."""
    return json_text(named(format_name, {**encode(more, rules), **encode(answer, rules)}))
