"""One value as a sheet writes it: a figure, a word, a go/no-go bound, a pressure drop, an opinion, not accessible."""

import re
from dataclasses import dataclass

from carknocker.documents import Node
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.record.notes import Notes
from carknocker.record.value_text import in_words, value_of
from carknocker.record.values import Bound, Figure, NotAccessible, Opinion, PressureDrop, Value, Word, Words
from carknocker.vocabulary.model import Attribute

BOUNDS = ("takes_at", "does_not_take_at", "over", "at_least", "under", "at_most")
_FORMS = (*BOUNDS, "reads", "before", "after", "minutes", "opinion", "says", "gauge")
_NOT_ACCESSIBLE = re.compile(r"not accessible\s*(?:\((?P<reason>.*)\))?", re.DOTALL)


@dataclass(frozen=True, slots=True)
class ReadValue:
    """A value, and the gauge that the value itself names ("" for the sheet's)."""

    value: Value
    gauge: str = ""


def read_value(node: Node, attribute: Attribute, notes: Notes) -> ReadValue | None:
    """The value that a node says for an attribute; None, noted, if it says none."""
    if node.kind == "mapping":
        return _written_out(node, attribute, notes)
    if attribute.type == "list of" and (node.kind == "sequence" or not node.is_empty):
        return _list(node, attribute, notes)
    if node.kind != "scalar" or node.is_empty:
        notes.note(node, node.describe(), f"a value of `{attribute.name}`: {in_words(attribute)}")
        return None
    text = node.text.strip()
    refused = _NOT_ACCESSIBLE.fullmatch(text)
    if refused is not None:
        reason = (refused["reason"] or "").strip()
        if not reason:
            notes.note(node, "`not accessible` without a reason", "`not accessible (car not moved)`: the reason")
        return ReadValue(NotAccessible(reason))
    value = _plain(node, text, attribute, notes)
    return None if value is None else ReadValue(value)


def _plain(node: Node, text: str, attribute: Attribute, notes: Notes) -> Value | None:
    try:
        return value_of(text, attribute)
    except QuantityError as error:
        notes.note(node, f"{error.found} for `{attribute.name}`", error.expected, error.nearest, error.remedy)
        return None


def _list(node: Node, attribute: Attribute, notes: Notes) -> ReadValue | None:
    words: list[str] = []
    for member in node.as_sequence():
        if member.kind != "scalar":
            notes.note(member, member.describe(), f"a word of `{attribute.name}`")
            return None
        value = _plain(member, member.text.strip(), attribute, notes)
        if not isinstance(value, Word):
            return None
        words.append(value.text)
    return ReadValue(Words(tuple(words)))


def _written_out(node: Node, attribute: Attribute, notes: Notes) -> ReadValue | None:
    for key in node.keys():
        if key not in _FORMS:
            notes.unknown_key(node, key, _FORMS, f"a value of `{attribute.name}`")
            return None
    gauge = notes.text(node.get("gauge"), "gauge")
    value: Value | None
    if node.get("reads") is not None:
        read = read_value(node.only(("reads",)).pairs()[0][1], attribute, notes)
        return None if read is None else ReadValue(read.value, gauge)
    if node.get("opinion") is not None:
        value = _opinion(node, attribute, notes)
    elif node.get("before") is not None or node.get("minutes") is not None:
        value = _drop(node, attribute, notes)
    else:
        value = _bound(node, attribute, notes)
    return None if value is None else ReadValue(value, gauge)


def _opinion(node: Node, attribute: Attribute, notes: Notes) -> Opinion | None:
    word = node.get("opinion")
    if word is None or word.kind != "scalar":
        notes.note(word or node, "an opinion without a word", f"`{{opinion: …, says: …}}`: {in_words(attribute)}")
        return None
    value = _plain(word, word.text.strip(), attribute, notes)
    return Opinion(value.text, notes.text(node.get("says"), "says")) if isinstance(value, Word) else None


def _bound(node: Node, attribute: Attribute, notes: Notes) -> Bound | None:
    low: Quantity | None = None
    high: Quantity | None = None
    low_open = high_open = False
    keys = [key for key in node.keys() if key in BOUNDS]
    if not keys:
        notes.note(node, node.describe(), f"a value of `{attribute.name}`: {in_words(attribute)}, or a go/no-go bound")
        return None
    for key in keys:
        member = node.get(key)
        value = (
            None if member is None or member.kind != "scalar" else _plain(member, member.text.strip(), attribute, notes)
        )
        word = _gauge_word(key, attribute, node, notes)
        if not isinstance(value, Figure) or not word:
            if value is not None and word:
                notes.note(node, node.describe(), f"{in_words(attribute)}: a bound is for figures")
            return None
        if word in ("over", "at_least"):
            low, low_open = value.quantity, word == "over"
        else:
            high, high_open = value.quantity, word == "under"
    if low is not None and high is not None and (high < low or (low == high and (low_open or high_open))):
        notes.note(node, "bounds with nothing between them", "a lower bound below the upper one")
        return None
    return Bound(low, low_open, high, high_open)


def _gauge_word(key: str, attribute: Attribute, node: Node, notes: Notes) -> str:
    """What a go/no-go gauge's answer means for the attribute, as a word of comparison; "" and noted if nothing."""
    if key not in ("takes_at", "does_not_take_at"):
        return key
    if not attribute.gauge_takes:
        expected = "a figure, or `over` or `under` a figure: no go/no-go gauge is known for it"
        notes.note(node.key_where(key), f"`{key}` for `{attribute.name}`", expected)
        return ""
    takes = key == "takes_at"
    if attribute.gauge_takes == "at most":
        return "at_most" if takes else "over"
    return "at_least" if takes else "under"


def _drop(node: Node, attribute: Attribute, notes: Notes) -> PressureDrop | None:
    members = [node.get(key) for key in ("before", "after", "minutes")]
    if attribute.type != "pressure per minute" or any(member is None for member in members):
        notes.note(node, node.describe(), "`{before: 110 psi, after: 107 psi, minutes: 1}`, for a leakage")
        return None
    texts = [notes.text(member, "a pressure drop") for member in members]
    if texts[2].replace(".", "", 1).isdigit():
        texts[2] += " min"
    quantities: list[Quantity] = []
    for text, member, dimension in zip(texts, members, ("pressure", "pressure", "minutes"), strict=True):
        try:
            quantities.append(read_quantity(text, dimension))
        except QuantityError as error:
            notes.note_error(member or node, error)
            return None
    before, after, minutes = quantities
    if minutes.n <= 0 or after > before:
        notes.note(node, "a drop over no time, or a pressure that rose", "minutes over zero, and `after` not higher")
        return None
    rate = Quantity.of("pressure per minute", (before.amount - after.amount) / minutes.amount, "psi/min")
    return PressureDrop(before, after, minutes, rate)
