"""One value as a sheet writes it: a figure, a word, a go/no-go bound, a pressure drop, an opinion, not accessible."""

import re

import msgspec

from carknocker.documents import Node
from carknocker.record.bounds import BOUNDS, DROP, read_bound, read_drop
from carknocker.record.notes import Notes
from carknocker.record.plain_values import read_opinion, read_plain, read_words
from carknocker.record.value_text import in_words
from carknocker.record.values import NotAccessible, Value
from carknocker.vocabulary.model import Attribute

_FORMS = (("reads",), ("opinion", "says"), DROP, BOUNDS)
_KEYS = (*(key for form in _FORMS for key in form), "gauge")
_NOT_ACCESSIBLE = re.compile(r"not accessible\s*(?:\((?P<reason>.*)\))?", re.DOTALL)


class ReadValue(msgspec.Struct, frozen=True):
    """A value, and the gauge that the value itself names ("" for the sheet's)."""

    value: Value
    gauge: str = ""


def read_value(node: Node, attribute: Attribute, notes: Notes) -> ReadValue | None:
    """The value that a node says for an attribute; None, noted, if it says none."""
    if node.kind == "mapping":
        return _written_out(node, attribute, notes)
    value = _written_plainly(node, attribute, notes)
    return None if value is None else ReadValue(value)


def _written_plainly(node: Node, attribute: Attribute, notes: Notes) -> Value | None:
    refused = _NOT_ACCESSIBLE.fullmatch(node.text.strip()) if node.kind == "scalar" else None
    if refused is not None:
        reason = (refused["reason"] or "").strip()
        if not reason:
            notes.note(node, "`not accessible` without a reason", "`not accessible (car not moved)`: the reason")
        return NotAccessible(reason)
    if attribute.type == "list of" and not node.is_empty:
        return read_words(node, attribute, notes)
    return read_plain(node, attribute, notes)


def _written_out(node: Node, attribute: Attribute, notes: Notes) -> ReadValue | None:
    form = next((one for one in _FORMS if any(key in one for key in node.keys())), ())
    sound = True
    for key in node.keys():
        if key in form or key == "gauge":
            continue
        sound = False
        if key in _KEYS:
            found = f"`{key}` beside `{next(one for one in node.keys() if one in form)}`"
            notes.note(node.key_where(key), found, "one value, in one form", remedy="keep one of the two")
        else:
            notes.unknown_key(node, key, _KEYS, f"a value of `{attribute.name}`")
    gauge = notes.text(node.get("gauge"), "gauge")
    value = _of_form(form, node, attribute, notes) if sound else None
    return None if value is None else ReadValue(value, gauge)


def _of_form(form: tuple[str, ...], node: Node, attribute: Attribute, notes: Notes) -> Value | None:
    reads = node.get("reads")
    if reads is not None:
        if reads.kind == "mapping":
            notes.note(reads, reads.describe(), f"a value of `{attribute.name}`: {in_words(attribute)}")
            return None
        return _written_plainly(reads, attribute, notes)
    if "opinion" in form:
        return read_opinion(node.get("opinion"), node.get("says"), node, attribute, notes)
    if form == DROP:
        return read_drop(node, attribute, notes)
    return read_bound(node, attribute, notes)
