"""Values that are one text, or a list of texts: a figure, a word, a count, a day; typed by their attribute."""

from carknocker.documents import Node, ProblemReporter
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.record.value_text import in_words, value_of
from carknocker.record.values import Opinion, Value, Word, Words
from carknocker.vocabulary.model import Attribute


def read_plain(node: Node, attribute: Attribute, notes: ProblemReporter) -> Value | None:
    """The value that a scalar says for an attribute; None, noted, if it says none."""
    if node.kind != "scalar" or node.is_empty:
        notes.note(node, node.describe(), f"a value of `{attribute.name}`: {in_words(attribute)}")
        return None
    try:
        return value_of(node.text.strip(), attribute)
    except QuantityError as error:
        notes.note_error(node, error, attribute.name)
        return None


def read_words(node: Node, attribute: Attribute, notes: ProblemReporter) -> Words | None:
    """The words of a list, or of one scalar; None, noted, if one of them is no word of the attribute."""
    values = [read_plain(member, attribute, notes) for member in node.as_sequence()]
    words = tuple(value.text for value in values if isinstance(value, Word))
    return Words(words) if len(words) == len(values) else None


def read_opinion(
    word: Node | None, says: Node | None, place: Node, attribute: Attribute, notes: ProblemReporter
) -> Opinion | None:
    """The opinion that a word and a text say; None, noted, if there is no word."""
    if word is None or word.is_empty:
        notes.note(place, "an opinion without a word", f"`{{opinion: …, says: …}}`: {in_words(attribute)}")
        return None
    value = read_plain(word, attribute, notes)
    if isinstance(value, Word):
        return Opinion(value.text, notes.text(says, "says"))
    if value is not None:
        notes.note(word, f"an opinion on `{attribute.name}`", f"{in_words(attribute)}: an opinion is for words")
    return None


def read_quantity_at(node: Node, dimension: str, notes: ProblemReporter) -> Quantity | None:
    """The quantity that a scalar says; None, noted, if it says none."""
    if node.kind != "scalar" or node.is_empty:
        notes.note(node, node.describe(), f"a {dimension}")
        return None
    try:
        return read_quantity(node.text.strip(), dimension)
    except QuantityError as error:
        notes.note_error(node, error)
        return None
