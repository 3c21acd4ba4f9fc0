"""Reads clauses (`when`, `unless`, `must`, `if`, `state`) and checks every word in them against the vocabulary."""

import re
from collections.abc import Iterable
from typing import Literal, cast

from msgspec.structs import replace

from carknocker.documents import Location, Node, nearest, one_of, some
from carknocker.rulebook.clauses import AllOf, AnyOf, AttributePath, Clause, Comparison, CountOf, EachOf, WordName
from carknocker.rulebook.limit_reader import FIGURE_WORDS, WORDS, read_limit, words_for
from carknocker.rulebook.path_reader import read_path
from carknocker.rulebook.reading_context import Context, Subject


def with_papers_joined(clauses: Iterable[Clause]) -> tuple[Clause, ...]:
    """The members of an *all of*. Each comparison of a paper gets what the others require of that paper's facts, so
    that all of them look at one paper. For a test only names (`identity`) do this: a newer test replaces an older one
    in all that it measured."""
    members = tuple(clauses)
    facts: dict[tuple[str, str], list[Comparison]] = {}
    for member in members:
        if isinstance(member, Comparison) and _tells_which(member.path):
            facts.setdefault(_paper(member), []).append(member)
    return tuple(
        replace(member, path=replace(member.path, beside=tuple(facts[_paper(member)])))
        if isinstance(member, Comparison) and _paper(member) in facts
        else member
        for member in members
    )


def _tells_which(path: AttributePath) -> bool:
    if path.fact is None:
        return False
    return path.attribute.type == "paper" or (path.attribute.type == "test" and path.fact.type == "identity")


def _paper(comparison: Comparison) -> tuple[str, str]:
    return comparison.path.owner, comparison.path.attribute.name


_GROUPS = ("any", "all", "count", "each")
_COUNT_WORDS = (*FIGURE_WORDS, "is")
_CountWord = Literal["over", "at_least", "under", "at_most", "is"]
_NUMBER = re.compile(r"\d{1,4}")


def read_clause(node: Node, subject: Subject, context: Context) -> Clause | None:
    """The clause that a mapping states about a part of `subject`. None, with the problems reported, if it states
    none."""
    if node.kind != "mapping" or not node.keys():
        context.note(node, node.describe(), "a clause such as `{flange_thickness: {over: 7/8 in}}`")
        return None
    found: list[Clause] = []
    sound = True
    for key, where, value in node.items():
        clauses = _group(key, where, value, subject, context) if key in _GROUPS else None
        if clauses is None and key not in _GROUPS:
            clauses = _comparisons(key, where, value, subject, context)
        if clauses is None:
            sound = False
        else:
            found.extend(clauses)
    if not sound:
        return None
    return found[0] if len(found) == 1 else AllOf(with_papers_joined(found))


def both_clauses(first: Clause | None, second: Clause | None) -> Clause | None:
    """A clause that holds if both hold. None stands for no condition."""
    if first is None or second is None:
        return first or second
    return AllOf((first, second))


def _comparisons(key: str, where: Location, node: Node, subject: Subject, context: Context) -> list[Clause] | None:
    path = read_path(key, where, subject, context)
    if path is None:
        return None
    if node.kind != "mapping":
        word: WordName = "one_of" if node.kind == "sequence" else "is"
        return _comparison(word, where, node, path, subject, context)
    if not node.keys():
        context.note(node, "no word", f"one of {some(words_for(path.value_attribute))}")
        return None
    found: list[Clause] = []
    sound = True
    for name, word_where, limit in node.items():
        if name not in WORDS:
            fitting = words_for(path.value_attribute)
            context.note(word_where, f"the word `{name[:60]}`", f"one of {some(fitting)}", nearest(name, WORDS))
            sound = False
            continue
        clauses = _comparison(name, word_where, limit, path, subject, context)
        if clauses is None:
            sound = False
        else:
            found.extend(clauses)
    return found if sound else None


def _comparison(
    word: WordName, where: Location, node: Node, path: AttributePath, subject: Subject, context: Context
) -> list[Clause] | None:
    attribute = path.value_attribute
    fitting = words_for(attribute)
    if word not in fitting:
        context.note(
            where, f"the word `{word}` on `{path}`, which is a {attribute.type}", f"one of {some(fitting)}",
            remedy="write the word that is meant, as in `{attribute: {shown: yes}}`" if word == "is" else "",
        )  # fmt: skip
        return None
    limit = read_limit(word, node, path, subject, context)
    if limit is None:
        return None
    return [Comparison(path, word, limit, where)]


def _group(key: str, where: Location, node: Node, subject: Subject, context: Context) -> list[Clause] | None:
    items = node.as_sequence()
    if not items:
        context.note(node, f"`{key}` with an empty list", "at least one clause")
        return None
    read = _count if key == "count" else _each if key == "each" else read_clause
    clauses = [read(item, subject, context) for item in items]
    sound = [clause for clause in clauses if clause is not None]
    if len(sound) != len(clauses):
        return None
    if key == "any":
        return [sound[0] if len(sound) == 1 else AnyOf(tuple(sound))]
    return sound


def _inner(node: Node | None, subject: Subject, context: Context) -> tuple[str, Subject] | None:
    """The kind of part inside (or of spare carried) that `count` and `each` look at."""
    vocabulary = context.lookup.vocabulary
    name = context.known(node, {**vocabulary.kinds, **vocabulary.spares}, "kind of part")
    if not name or node is None:
        return None
    if name in vocabulary.kinds and any(kind in context.lookup.ancestors(name) for kind in subject.kinds):
        return name, Subject((name,))
    if name in vocabulary.spares:
        return name, Subject((), spare=vocabulary.spares[name].facts)
    inside = [
        kind for kind in vocabulary.kinds if any(outer in context.lookup.ancestors(kind) for outer in subject.kinds)
    ]
    expected = one_of(inside, "a part inside it: there is none")
    context.note(node, f"`{name}`, which is not inside {_with_article(subject)}", expected, nearest(name, inside))
    return None


def _count(node: Node, subject: Subject, context: Context) -> Clause | None:
    entries = context.entries(node, ("of", "when", *_COUNT_WORDS), "a count")
    if entries is None:
        return None
    inner = _inner(context.required(entries, "of", node, "a count"), subject, context)
    words = [word for word in _COUNT_WORDS if word in entries]
    if len(words) != 1:
        context.note(node, f"a count with {len(words)} limits", f"exactly one of {some(_COUNT_WORDS)}")
    if inner is None:
        return None
    when = read_clause(entries["when"], inner[1], context) if "when" in entries else None
    if len(words) != 1 or ("when" in entries and when is None):
        return None
    text = context.text(entries[words[0]], "a number of parts")
    if _NUMBER.fullmatch(text) is None:
        if entries[words[0]].kind == "scalar":
            context.note(entries[words[0]], entries[words[0]].describe(), "a whole number of parts")
        return None
    return CountOf(inner[0], when, cast(_CountWord, words[0]), int(text), node.where)


def _each(node: Node, subject: Subject, context: Context) -> Clause | None:
    entries = context.entries(node, ("of", "when", "must"), "`each`")
    if entries is None:
        return None
    inner = _inner(context.required(entries, "of", node, "`each`"), subject, context)
    must_node = context.required(entries, "must", node, "`each`")
    if inner is None or must_node is None:
        return None
    when = read_clause(entries["when"], inner[1], context) if "when" in entries else None
    must = read_clause(must_node, inner[1], context)
    if must is None or ("when" in entries and when is None):
        return None
    return EachOf(inner[0], when, must, node.where)


def _with_article(subject: Subject) -> str:
    return f"a {' or '.join(subject.kinds)}" if subject.kinds else subject.named
