"""Reads attributes: of kinds, and facts of tests, papers, work, events and spares; with the steps of all readers."""

import re
from collections.abc import Collection, Mapping
from typing import Literal, cast, get_args

import msgspec

from carknocker.documents import Node, Problem, ProblemList, nearest
from carknocker.documents.structure import problem_at
from carknocker.quantities import DIMENSIONS, Quantity, QuantityError, read_quantity
from carknocker.vocabulary.model import Access, Attribute, Hazard, ValueType, Wear, WorkStage

NAME = re.compile(r"[a-z][A-Za-z0-9_]*")
_STAGES = get_args(WorkStage)
_HAZARDS = get_args(Hazard)
_FLAGS = {"yes": True, "true": True, "no": False, "false": False}


def entries_of(node: Node, known: frozenset[str], what: str, problems: ProblemList) -> Mapping[str, Node]:
    """The values of a mapping by key; a key that is not `known` is a problem at its place."""
    if node.kind != "mapping":
        problems.add(problem_at(node, node.describe(), f"a mapping: {what}"))
        return {}
    found = dict(node.pairs())
    if found.keys() <= known:
        return found
    for key in found.keys() - known:
        problems.add(
            problem_at(
                node.key_where(key), f"the key `{key}` in {what}", "one of " + ", ".join(sorted(known)),
                nearest(key, known), "correct the key, or take it out",
            )
        )  # fmt: skip
    return found


def named(node: Node | None, what: str, problems: ProblemList) -> list[tuple[str, Node]]:
    """Names and values of a mapping of named entries; none where nothing is written."""
    if node is None or node.is_empty:
        return []
    if node.kind != "mapping":
        problems.add(problem_at(node, node.describe(), f"a mapping of {what} by name"))
        return []
    return node.pairs()


def text_of(node: Node | None, what: str, problems: ProblemList) -> str:
    """The text of a scalar; empty where there is none."""
    if node is None or node.is_empty:
        return ""
    if node.kind == "scalar":
        return node.text
    problems.add(problem_at(node, node.describe(), f"{what}: a word or a few"))
    return ""


def texts_of(node: Node | None, what: str, problems: ProblemList) -> tuple[str, ...]:
    """The texts of a list of scalars, each once; a single scalar stands for a list of one."""
    if node is None or node.is_empty:
        return ()
    texts: list[str] = []
    for item in node.as_sequence():
        text = text_of(item, what, problems)
        if text and text in texts:
            problems.add(problem_at(item, f"`{text}` a second time", f"{what}: each once"))
        elif text:
            texts.append(text)
        elif item.kind == "scalar":
            problems.add(problem_at(item, "nothing", f"{what}: a word or a few"))
    return tuple(texts)


def flag_of(node: Node | None, what: str, problems: ProblemList) -> bool:
    """A yes or a no; no where nothing is written."""
    if node is None:
        return False
    flag = _FLAGS.get(node.text) if node.kind == "scalar" else None
    if flag is None:
        problems.add(problem_at(node, node.describe(), f"{what}: yes or no"))
    return bool(flag)


def word_of(node: Node | None, known: Collection[str], what: str, problems: ProblemList) -> str:
    """One of the known words; empty, with a problem, for anything else; empty where nothing is written."""
    text = text_of(node, what, problems)
    if not text or text in known or node is None:
        return text
    problems.add(unknown_word(node, text, known, what))
    return ""


def stage_of(node: Node | None, problems: ProblemList) -> WorkStage | Literal[""]:
    """A stage of work; empty where nothing is written."""
    return cast(WorkStage, word_of(node, _STAGES, "the stage", problems))


def hazards_of(node: Node | None, problems: ProblemList) -> tuple[Hazard, ...]:
    """Hazards, each one of the known ones."""
    for item in () if node is None else node.as_sequence():
        word_of(item, _HAZARDS, "the hazard", problems)
    return cast(tuple[Hazard, ...], texts_of(node, "hazards", problems))


def unknown_word(node: Node, text: str, known: Collection[str], what: str) -> Problem:
    """The problem of a word that is not one of the known ones."""
    return problem_at(node, f"{what} `{text}`", "one of " + ", ".join(sorted(known)), nearest(text, known))


def unknown_kind(node: Node, name: str, kinds: Collection[str]) -> Problem:
    """The problem of a kind of part that the vocabulary lacks."""
    return problem_at(node, f"the kind `{name}`, which there is not", "a kind of the vocabulary", nearest(name, kinds))


USUAL_KEYS = frozenset(("tool", "access", "read_by"))
_ACCESSES = frozenset(get_args(Access))
_READERS = frozenset(("owner", "shop", "host"))


class Usual(msgspec.Struct, frozen=True):
    """What holds for the attributes of a kind that say nothing else."""

    tool: str = ""
    access: Access = "walking round"
    read_by: tuple[str, ...] = ()


NOTHING_USUAL = Usual()


def read_usual(node: Node | None, problems: ProblemList) -> Usual:
    """The usual tool, access and readers of a kind's attributes."""
    if node is None:
        return NOTHING_USUAL
    found = entries_of(node, USUAL_KEYS, "what is usual", problems)
    return where_and_who(found, NOTHING_USUAL, problems)


def where_and_who(entries: Mapping[str, Node], usual: Usual, problems: ProblemList) -> Usual:
    """What the entries of an attribute say, and what is usual where they say nothing."""
    get = entries.get
    tool, access, readers = get("tool"), get("access"), get("read_by")
    return Usual(
        text_of(tool, "tool", problems) or usual.tool,
        cast(Access, word_of(access, _ACCESSES, "access", problems) or usual.access),
        usual.read_by if readers is None else _readers(readers, problems),
    )


def _readers(node: Node, problems: ProblemList) -> tuple[str, ...]:
    """`owner or shop`, or a list."""
    readers = tuple(node.text.split(" or ")) if node.kind == "scalar" else texts_of(node, "who reads", problems)
    for reader in readers:
        if reader not in _READERS:
            expected = "owner, shop, host, joined by ` or `"
            problems.add(problem_at(node, f"`{reader}` as reader", expected, nearest(reader, _READERS)))
    return readers


# `test` and `paper` are types too, but only the sections of tests and papers make such attributes.
_TYPES = frozenset(get_args(ValueType)) - {"test", "paper"}
_TAKES = frozenset(("at most", "at least"))
_WITH_WORDS = frozenset(("one of", "list of"))
_KEYS = frozenset(
    ("is", "one_of", "label", "description", "derived", "signed", "below_zero", "gauge_takes", "reads_to",
     "measured", "tool", "access", "read_by", "goes_with", "only_where", "to_disconnect",
     "left_open", "en_route", "wears", "back_by", "taken_up_by", "defect", "none", "follows",
     "tells_presence")
)  # fmt: skip
_WEARS = frozenset(get_args(Wear))
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
    left_open, en_route = (
        _own_words(entries.get(key), words, which, problems)
        for key, which in (("left_open", "leaves the choice open"), ("en_route", "is said only once a train has left"))
    )
    if len(problems) > before:
        return None
    return Attribute(
        name, kind, cast(ValueType, type_word), label, words, description, derived, signed,
        cast(Literal["", "at most", "at least"], gauge_takes), reads_to, measured,
        usual.tool, usual.access, usual.read_by, text_of(entries.get("goes_with"), "attribute", problems), only_where,
        flag_of(entries.get("to_disconnect"), "to_disconnect", problems), left_open, None,
        cast(Literal[Wear, ""], word_of(entries.get("wears"), _WEARS, "which way it wears", problems)),
        flag_of(entries.get("defect"), "defect", problems),
        none=text_of(entries.get("none"), "how it is written that there is none", problems),
        follows=text_of(entries.get("follows"), "attribute", problems),
        tells_presence=flag_of(entries.get("tells_presence"), "tells_presence", problems), en_route=en_route,
        back_by=_back_by(entries.get("back_by"), type_word, problems),
        below_zero=_below_zero(entries, problems),
        taken_up_by=_taken_up_by(entries.get("taken_up_by"), problems),
    )  # fmt: skip


def _below_zero(entries: Mapping[str, Node], problems: ProblemList) -> str:
    """The word for a difference below zero: only where a figure can be."""
    node = entries.get("below_zero")
    if node is not None and "signed" not in entries:
        problems.add(problem_at(node, "`below_zero` of a figure that is never below zero", "`signed: yes` beside it"))
    return text_of(node, "the word for a figure below zero", problems)


def _own_words(node: Node | None, words: tuple[str, ...], which: str, problems: ProblemList) -> tuple[str, ...]:
    """Some of the words of the attribute itself."""
    found = texts_of(node, f"words of which each {which}", problems)
    for text in found:
        if text not in words and node is not None:
            problems.add(unknown_word(node, text, words, f"the word that {which}"))
    return found


def _back_by(node: Node | None, type_word: str, problems: ProblemList) -> Quantity | None:
    if node is None:
        return None
    try:
        return read_quantity(text_of(node, "a figure", problems), type_word)
    except QuantityError as error:
        problems.add(problem_at(node, error.found, error.expected, error.nearest, error.remedy))
        return None


def _taken_up_by(node: Node | None, problems: ProblemList) -> tuple[str, str] | None:
    kind, dot, attribute = text_of(node, "`kind.attribute`", problems).partition(".")
    if node is not None and not dot:
        problems.add(problem_at(node, f"`{node.text}`", "`kind.attribute`, as `brake rigging.slack_adjuster_fitted`"))
    return (kind, attribute) if attribute else None


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
