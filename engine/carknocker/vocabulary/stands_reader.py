"""Reads where parts of a kind stand whether a record mentions them or not, and makes the numbers that records give."""

from collections.abc import Mapping

from carknocker.documents import Node, ProblemList, nearest
from carknocker.documents.structure import problem_at
from carknocker.vocabulary.attribute_reader import (
    NAME,
    Usual,
    entries_of,
    flag_of,
    named,
    text_of,
    texts_of,
    unknown_kind,
    unknown_word,
)
from carknocker.vocabulary.model import Attribute, Stands, Stated

_KEYS = frozenset(("in", "number", "which", "at_least", "usually", "only_if", "no_others", "bad_news"))
_CHOICES = {"yes or no": ("yes", "no")}


def read_stands(node: Node | None, kind: str, called: str, problems: ProblemList) -> tuple[Stands, ...]:
    """The rows of a kind: one mapping, or a list of them. called: its parts together, where a row has no number."""
    if node is None or node.is_empty:
        return ()
    return tuple(_row(item, kind, called, problems) for item in node.as_sequence())


def _row(node: Node, kind: str, called: str, problems: ProblemList) -> Stands:
    entries = entries_of(node, _KEYS, "where parts stand", problems)
    container = text_of(entries.get("in"), "kind of container", problems)
    number = text_of(entries.get("number"), "the name of the number", problems)
    if not container:
        problems.add(problem_at(node, f"a row of `{kind}` without `in`", "`in: …`: the kind of part they stand in"))
    if number and not NAME.fullmatch(number):
        problems.add(problem_at(entries["number"], f"the number `{number}`", "a name in lower case, joined by `_`"))
    least, by = _count(entries.get("at_least"), problems)
    usually = _count(entries.get("usually"), problems)
    which = tuple(
        (name, texts_of(words, "words", problems))
        for name, words in named(entries.get("which"), "descriptions", problems)
    )
    only_if = (
        ()
        if "only_if" not in entries
        else tuple(_conditions(one, container, problems) for one in entries["only_if"].as_sequence())
    )
    return Stands(
        container, number, _called(number, which) or called, which, least, by, only_if,
        flag_of(entries.get("no_others"), "no_others", problems),
        flag_of(entries.get("bad_news"), "bad_news", problems),
        *usually,
    )  # fmt: skip


def _called(number: str, which: tuple[tuple[str, tuple[str, ...]], ...]) -> str:
    """The name of the number in plain words, with the hyphens of the word that it counts: `cut_out_cocks`."""
    counted = {f"{word}s".replace("-", "_").replace(" ", "_"): f"{word}s" for _, words in which for word in words}
    return counted.get(number, number.replace("_", " "))


def _count(node: Node | None, problems: ProblemList) -> tuple[int, tuple[str, tuple[tuple[str, int], ...]]]:
    """A number; or `{by: attribute, word: number, …}`, of which the fewest holds while the word is not known."""
    if node is None:
        return 0, ("", ())
    if node.kind != "mapping":
        return number_of(node, problems), ("", ())
    attribute = text_of(node.get("by"), "description of the container", problems)
    if not attribute:
        problems.add(problem_at(node, "numbers without `by`", "`by: …`: the description that tells which number"))
    rows = tuple((word, number_of(value, problems)) for word, value in node.pairs() if word != "by")
    return min((number for _, number in rows), default=0), (attribute, rows)


def number_of(node: Node, problems: ProblemList) -> int:
    """A whole number of at most three digits; 0, reported, for anything else."""
    text = text_of(node, "a number", problems)
    if text.isdigit() and text.isascii() and len(text) < 4:
        return int(text)
    problems.add(problem_at(node, node.describe(), "a whole number"))
    return 0


def _conditions(node: Node, container: str, problems: ProblemList) -> tuple[Stated, ...]:
    """`{attribute: word}` of the container, `{kind.attribute: [word, …]}` of another part."""
    return tuple(
        Stated(path.rpartition(".")[0] or container, path.rpartition(".")[2], texts_of(words, "words", problems))
        for path, words in named(node, "descriptions", problems)
    )


def check_stands(
    node: Node, kind: str, rows: tuple[Stands, ...], attributes: Mapping[str, Mapping[str, Attribute]],
    problems: ProblemList,
) -> None:  # fmt: skip
    """Reports a kind, a description or a word that the vocabulary lacks. attributes: of each kind."""
    for row in rows:
        if row.container not in attributes:
            problems.add(unknown_kind(node, row.container, attributes))
            continue
        asked = [Stated(kind, name, words) for name, words in row.which]
        asked += [one for conditions in row.only_if for one in conditions]
        for by, numbers in (row.at_least_by, row.usually_by):
            if not by:
                continue
            asked.append(Stated(row.container, by, tuple(word for word, _ in numbers)))
        for one in asked:
            _check_words(node, one, attributes, problems)


def _check_words(
    node: Node, one: Stated, attributes: Mapping[str, Mapping[str, Attribute]], problems: ProblemList
) -> None:
    if one.kind not in attributes:
        problems.add(unknown_kind(node, one.kind, attributes))
        return
    attribute = attributes[one.kind].get(one.attribute)
    if attribute is None:
        found = f"the attribute `{one.attribute}`, which `{one.kind}` lacks"
        problems.add(problem_at(node, found, "one of its descriptions", nearest(one.attribute, attributes[one.kind])))
        return
    for word in one.words:
        choice = _CHOICES.get(attribute.type, attribute.one_of)
        if word not in choice:
            problems.add(unknown_word(node, word, choice, f"the word for `{one.attribute}`"))


def number_attribute(row: Stands, kind: str, usual: Usual) -> Attribute:
    """The attribute of the container that says how many there are, read as parts of the kind are looked at."""
    return Attribute(
        row.number, row.container, "count", f"number of {row.called}", counts=kind,
        measured="all of them counted; none fitted where there is none", tool="eye", access=usual.access,
        read_by=usual.read_by,
    )  # fmt: skip
