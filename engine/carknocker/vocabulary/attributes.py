"""Reads attributes: of kinds, and the facts of tests, papers, work, events and spares."""

from collections.abc import Mapping
from typing import Literal, cast, get_args

from carknocker.documents import Node, ProblemList, nearest
from carknocker.documents.structure import problem_at
from carknocker.quantities import DIMENSIONS, Quantity, QuantityError, read_quantity
from carknocker.vocabulary.entries import NAME, entries_of, flag_of, named, text_of, texts_of, word_of
from carknocker.vocabulary.model import Attribute, ValueType
from carknocker.vocabulary.usual import NOTHING_USUAL, USUAL_KEYS, Usual, where_and_who

# `test` and `paper` are types too, but only the sections of tests and papers make such attributes.
_TYPES = frozenset(get_args(ValueType)) - {"test", "paper"}
_TAKES = frozenset(("at most", "at least"))
_WITH_WORDS = frozenset(("one of", "list of"))
_KEYS = frozenset(
    ("is", "one_of", "label", "description", "derived", "signed", "gauge_takes", "reads_to", "measured", "tool",
     "access", "read_by", "goes_with", "only_where", "to_disconnect")
)  # fmt: skip
_FIGURE_KEYS = frozenset(("signed", "gauge_takes", "reads_to"))
# Keys that mean something else where an attribute could stand: in a record, in a clause, in an example.
RESERVED = frozenset(("at", "where", "any", "all", "count", "each", "is", "parts", "move_lasts"))


def read_attributes(
    node: Node | None,
    kind: str,
    problems: ProblemList,
    *,
    usual: Usual = NOTHING_USUAL,
    description: bool = False,
    reserved: frozenset[str] = RESERVED,
) -> dict[str, Attribute]:
    """The attributes of a mapping by name. A bad one is noted in `problems` and left out.

    description: all of them are written undated. reserved: names that no attribute may have there.
    """
    attributes: dict[str, Attribute] = {}
    for name, value in named(node, "attributes", problems):
        assert node is not None
        if not NAME.fullmatch(name) or name in reserved:
            expected = "a name in lower case, words joined by `_`" if name not in reserved else "another name"
            found = f"the attribute name `{name}`" + (", which means something else here" if name in reserved else "")
            problems.add(problem_at(node.key_where(name), found, expected))
            continue
        attribute = _attribute(name, value, kind, usual, description, problems)
        if attribute is not None:
            attributes[name] = attribute
    return attributes


def _attribute(
    name: str, node: Node, kind: str, usual: Usual, description: bool, problems: ProblemList
) -> Attribute | None:
    before = len(problems)
    label = name.replace("_", " ")
    if node.kind == "scalar":  # the short form: only the type
        value_type = cast(ValueType, _known_type(node, node.text, problems))
        if len(problems) > before:
            return None
        return Attribute(
            name, kind, value_type, label, description=description,
            tool=usual.tool, access=usual.access, read_by=usual.read_by,
        )  # fmt: skip
    entries = entries_of(node, _KEYS, f"the attribute `{name}`", problems)
    type_word, words = _type_and_words(name, node, entries, problems)
    derived, measured = "", ""
    signed, gauge_takes, reads_to = False, "", None
    if "label" in entries:
        label = text_of(entries["label"], "label", problems) or label
    if "measured" in entries:
        measured = text_of(entries["measured"], "how it is measured", problems)
    if "description" in entries:
        description = flag_of(entries["description"], "description", problems) or description
    if "derived" in entries:
        derived = text_of(entries["derived"], "name of the working", problems)
        if description:
            problems.add(problem_at(entries["derived"], f"`{name}` is derived and a description", "one of the two"))
    if not entries.keys().isdisjoint(_FIGURE_KEYS):
        signed, gauge_takes, reads_to = _of_a_figure(type_word, entries, problems)
    if not entries.keys().isdisjoint(USUAL_KEYS):
        usual = where_and_who(entries, usual, problems)
    only_where = tuple(
        (other, texts_of(words_there, "words of that attribute", problems))
        for other, words_there in named(entries.get("only_where"), "attributes", problems)
    )
    if len(problems) > before:
        return None
    return Attribute(
        name, kind, cast(ValueType, type_word), label, words, description, derived, signed,
        cast(Literal["", "at most", "at least"], gauge_takes), reads_to, measured,
        usual.tool, usual.access, usual.read_by, text_of(entries.get("goes_with"), "attribute", problems), only_where,
        flag_of(entries.get("to_disconnect"), "to_disconnect", problems),
    )  # fmt: skip


def _of_a_figure(
    type_word: str, entries: Mapping[str, Node], problems: ProblemList
) -> tuple[bool, str, Quantity | None]:
    """Signed, what a gauge that takes means, and resolution: only a figure with a unit has them."""
    if type_word not in DIMENSIONS:
        for key in sorted(entries.keys() & _FIGURE_KEYS) if type_word else ():
            problems.add(problem_at(entries[key], f"`{key}` for {type_word}", "only for a figure with a unit"))
        return False, "", None
    get = entries.get
    signed = flag_of(get("signed"), "signed", problems)
    gauge_takes = word_of(get("gauge_takes"), _TAKES, "what it means when a gauge takes", problems)
    return signed, gauge_takes, _resolution(get("reads_to"), type_word, problems)


def _known_type(node: Node, text: str, problems: ProblemList) -> str:
    if text in _TYPES and text != "one of":
        return text
    expected = "`one_of: […]` with its words" if text == "one of" else "one of " + ", ".join(sorted(_TYPES))
    problems.add(problem_at(node, f"the type `{text}`", expected, nearest(text, _TYPES)))
    return ""


def _type_and_words(
    name: str, node: Node, entries: Mapping[str, Node], problems: ProblemList
) -> tuple[str, tuple[str, ...]]:
    written = entries.get("is")
    words = texts_of(entries["one_of"], "words to choose from", problems) if "one_of" in entries else ()
    if written is None:
        if "one_of" not in entries:
            problems.add(problem_at(node, f"`{name}` has no type", "`is: …`, or `one_of: […]`"))
            return "", ()
        value_type = "one of"
    else:
        value_type = text_of(written, "type", problems)
        if value_type != "one of":
            value_type = _known_type(written, value_type, problems)
    if value_type == "one of" and not words:
        problems.add(problem_at(node, f"`{name}` is one of a list, and has no list", "`one_of: […]` with its words"))
    elif words and value_type and value_type not in _WITH_WORDS:
        problems.add(problem_at(entries["one_of"], f"`one_of` for {value_type}", "only for `one of` and `list of`"))
    return value_type, words


def _resolution(node: Node | None, dimension: str, problems: ProblemList) -> Quantity | None:
    if node is None:
        return None
    try:
        return read_quantity(text_of(node, "resolution", problems), dimension)
    except QuantityError as error:
        problems.add(problem_at(node, error.found, error.expected, error.nearest, error.remedy))
        return None
