"""Reads limits, the figure or word after a word of comparison; and says which words fit which attribute."""

from carknocker.documents import Location, Node, nearest
from carknocker.quantities import DIMENSIONS, QuantityError, read_period, read_quantity
from carknocker.record.value_reader import read_plain, value_of
from carknocker.record.values import Figure, Interval, Value, Word
from carknocker.rulebook.clauses import AttributePath, ByTable, Fixed, FromPart, Limit, WordName
from carknocker.rulebook.path_reader import read_path
from carknocker.rulebook.reading_context import Context, Subject
from carknocker.vocabulary.model import Attribute

FIGURE_WORDS: tuple[WordName, ...] = ("over", "at_least", "under", "at_most")
LIST_WORDS: tuple[WordName, ...] = ("one_of", "none_of", "holds_all")
_PLAIN: tuple[WordName, ...] = ("is", "is_not", "one_of", "none_of", "shown")
WORDS: tuple[WordName, ...] = (
    "over", "at_least", "under", "at_most", "is", "is_not", "one_of", "none_of", "holds_all", "shown", "within",
    "in_force", "before", "after", "failed",
)  # fmt: skip


def words_for(attribute: Attribute) -> tuple[WordName, ...]:
    """The words of comparison that fit the type of an attribute."""
    dated: tuple[WordName, ...] = () if attribute.description else ("within",)
    kind = attribute.type
    if kind in DIMENSIONS or kind in ("period", "count"):
        return (*FIGURE_WORDS, *_PLAIN, *dated)
    if kind == "yes or no":
        return ("is", "is_not", "shown", *dated)
    if kind == "list of":
        return ("holds_all", "shown", *dated)
    if kind == "date":
        return ("before", "after", "within", "shown")
    if kind == "test":
        return ("shown", "within", "failed")
    if kind == "paper":
        return ("shown", "within", "in_force")
    return (*_PLAIN, *dated)


_TEXTS = frozenset({"identity", "text", "one of"})


def read_limit(word: WordName, node: Node, path: AttributePath, subject: Subject, context: Context) -> Limit | None:
    """The limit after a word of comparison. None, and reported, if it does not fit."""
    if node.kind == "mapping":
        return _other(word, node, path, subject, context)
    attribute = path.value_attribute
    if word in ("shown", "in_force"):
        if node.kind == "scalar" and node.text.strip() in ("yes", "true"):
            return Fixed((Word("yes"),))
        context.note(node, node.describe(), f"`{word}: yes`", remedy="leave the word out, or use `is`")
        return None
    if word == "failed":
        if node.kind == "scalar" and node.text.strip() in ("no", "false"):
            return Fixed((Word("no"),))
        context.note(node, node.describe(), "`failed: no`", remedy="leave the word out, or use `shown: yes`")
        return None
    if word == "within":
        return _within(node, context)
    if word in LIST_WORDS:
        items = node.as_sequence()
        if not items:
            context.note(node, "an empty list", f"at least one value of `{attribute.name}`")
            return None
        values = [read_plain(item, attribute, context) for item in items]
        found = tuple(value for value in values if value is not None)
        return Fixed(found) if len(found) == len(values) else None
    value = read_plain(node, attribute, context)
    return None if value is None else Fixed((value,))


def _within(node: Node, context: Context) -> Limit | None:
    values: list[Value] = []
    items = node.as_sequence()
    for item in items:
        text = context.text(item, "a period or a distance")
        if not text:
            if item.kind == "scalar":
                context.note(item, "nothing", "a period such as 12 months, or a distance such as 200000 mi")
            continue
        try:
            values.append(_age(text))
        except QuantityError as error:
            context.note_error(item, error)
    if not items:
        context.note(node, "an empty list", "a period, a distance, or both")
    return Fixed(tuple(values)) if values and len(values) == len(items) else None


def _age(text: str) -> Value:
    """A period or a distance run. Raises QuantityError, worded for a period, if it is neither."""
    try:
        return Interval(read_period(text))
    except QuantityError as error:
        try:
            return Figure(read_quantity(text, "distance"))
        except QuantityError:
            raise QuantityError(
                error.found, f"{error.expected}, or a distance such as `200000 mi`", error.nearest, error.remedy
            ) from None


def _other(word: WordName, node: Node, path: AttributePath, subject: Subject, context: Context) -> Limit | None:
    if word in (*LIST_WORDS, "shown", "in_force", "failed"):
        context.note(node, node.describe(), f"values of `{path.value_attribute.name}` behind `{word}`")
        return None
    keys = node.keys()
    if "by" in keys:
        return _table(word, node, path, subject, context)
    if keys == ("attribute",):
        return _from_part(word, node, path, subject, context)
    context.note(
        node, node.describe(), "a figure, `{by: attribute, VALUE: figure, otherwise: figure}` or `{attribute: name}`",
        nearest(keys[0], ("by", "attribute")) if keys else "",
    )  # fmt: skip
    return None


def _from_part(word: WordName, node: Node, path: AttributePath, subject: Subject, context: Context) -> Limit | None:
    name = node.get("attribute")
    text = context.text(name, "the name of an attribute")
    if name is None or not text:
        if name is not None and name.kind == "scalar":
            context.note(node, "no attribute", "the name of an attribute")
        return None
    other = read_path(text, name.where, subject, context)
    if other is None:
        return None
    wanted = ("period", "distance") if word == "within" else (path.value_attribute.type,)
    given = other.value_attribute.type
    if given not in wanted and not (given in _TEXTS and wanted[0] in _TEXTS):
        context.note(name, f"`{text}`, which is a {given}", f"an attribute that is a {' or a '.join(wanted)}")
        return None
    return FromPart(other)


def _table(word: WordName, node: Node, path: AttributePath, subject: Subject, context: Context) -> Limit | None:
    by = node.get("by")
    text = context.text(by, "the name of an attribute")
    if by is None or not text:
        if by is not None and by.kind == "scalar":
            context.note(by, "no attribute", "the name of the attribute that chooses the row")
        return None
    other = read_path(text, by.where, subject, context)
    rows: dict[str, Value] = {}
    otherwise: Value | None = None
    sound = other is not None
    for key, where, item in node.items():
        if key == "by":
            continue
        value = _row(word, item, path, context)
        sound = sound and value is not None
        if value is None:
            continue
        if key == "otherwise":
            otherwise = value
            continue
        row = None if other is None else _key(key, where, other.value_attribute, context)
        sound = sound and row is not None
        if row is not None:
            rows[row] = value
    if sound and not rows:
        context.note(node, "a table without rows", f"`VALUE of {text}: limit`")
        return None
    return ByTable(other, rows, otherwise) if sound and other is not None else None


def _row(word: WordName, node: Node, path: AttributePath, context: Context) -> Value | None:
    if word == "within":
        limit = _within(node, context)
        if isinstance(limit, Fixed) and len(limit.values) == 1:
            return limit.values[0]
        if limit is not None:
            context.note(node, node.describe(), "one period or one distance in each row of a table")
        return None
    return read_plain(node, path.value_attribute, context)


def _key(key: str, where: Location, attribute: Attribute, context: Context) -> str | None:
    """The key of a row. Only words and counts can choose a row: two measured figures are hardly ever equal."""
    if attribute.type not in ("one of", "yes or no", "identity", "text", "count"):
        context.note(
            where, f"a table by `{attribute.name}`, which is a {attribute.type}",
            "a table by an attribute that is one of a list, yes or no, or a count",
        )  # fmt: skip
        return None
    try:
        value = value_of(key, attribute)
    except QuantityError as error:
        context.note(where, error.found, f"{error.expected}, or `otherwise`", error.nearest, error.remedy)
        return None
    return value.text if isinstance(value, Word) else key
