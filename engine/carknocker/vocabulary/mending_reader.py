"""Reads which jobs take damage, wear or what failed a test away, and which marks say that a part is a newer one."""

from collections.abc import Iterator, Mapping

from carknocker.documents import Node, ProblemList
from carknocker.vocabulary.attribute_reader import entries_of, named, texts_of, unknown_kind, unknown_word
from carknocker.vocabulary.kind_reader import KindDraft
from carknocker.vocabulary.model import Attribute, Mark, Mended, WorkKind

_KEYS = frozenset(("of", "by"))
_MARKS = frozenset(("made", "renewed"))


def read_mending(
    node: Node | None, drafts: Mapping[str, KindDraft], work: Mapping[str, WorkKind], found: Mended,
    problems: ProblemList,
) -> None:  # fmt: skip
    """Adds the rows of one file to `found`."""
    for row in () if node is None else node.as_sequence():
        entries = entries_of(row, _KEYS, "a row of `mending`", problems)
        jobs = texts_of(entries.get("by"), "jobs", problems)
        for job in jobs:
            if job not in work:
                problems.add(unknown_word(entries["by"], job, tuple(work), "a job"))
        for kind, value in named(entries.get("of"), "kinds of part", problems):
            if kind not in drafts:
                problems.add(unknown_kind(value, kind, drafts))
                continue
            for name, words in _attributes(value, drafts[kind].attributes, problems):
                own = found.setdefault(kind, {}).setdefault(name, {})
                for job in jobs:
                    before = own.get(job, words)
                    own[job] = (*before, *words) if before and words else ()


def _attributes(
    node: Node, known: Mapping[str, Attribute], problems: ProblemList
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The attributes that tell damage, wear or a test, each with the words that are meant; none for all of them."""
    damage = {name: one for name, one in known.items() if one.defect or one.wears or one.type == "test"}
    for item in node.as_sequence():
        pairs = item.pairs() if item.kind == "mapping" else [(item.text, None)]
        for name, given in pairs:
            words = () if given is None else texts_of(given, "words", problems)
            if name not in damage:
                problems.add(unknown_word(item, name, tuple(damage), "an attribute of damage, wear or a test:"))
                continue
            for word in words:
                if word not in damage[name].one_of:
                    problems.add(unknown_word(item, word, damage[name].one_of, f"`{name}`:"))
            yield name, words


def read_marked(
    node: Node | None, drafts: Mapping[str, KindDraft], found: dict[str, tuple[Mark, ...]], problems: ProblemList
) -> None:
    """Adds the marks of one file to `found`, by the kind of part."""
    for kind, value in named(node, "kinds of part", problems):
        if kind not in drafts:
            problems.add(unknown_kind(value, kind, drafts))
            continue
        marks = entries_of(value, _MARKS, f"the marks of `{kind}`", problems)
        for name, texts in marks.items():
            for text in texts_of(texts, "marks", problems):
                mark = _mark(text, texts, kind, drafts, problems)
                if mark is not None:
                    found[kind] = (*found.get(kind, ()), Mark(*mark, made=name == "made"))


def _mark(
    text: str, node: Node, kind: str, drafts: Mapping[str, KindDraft], problems: ProblemList
) -> tuple[str, str] | None:
    """The kind of part that has a mark, and its attribute."""
    owner, name = text.rsplit(".", 1) if "." in text else (kind, text)
    days = [one.name for one in drafts[owner].attributes.values() if one.type == "date"] if owner in drafts else []
    if name in days:
        return owner, name
    problems.add(unknown_word(node, text, days, "a day of the part or of what it is in:"))
    return None
