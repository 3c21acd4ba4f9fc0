"""Reads which values of an attribute are bad news."""

from collections.abc import Mapping

from msgspec.structs import replace

from carknocker.documents import Node, ProblemList, nearest
from carknocker.documents.structure import problem_at
from carknocker.vocabulary.attribute_reader import (
    entries_of,
    flag_of,
    named,
    texts_of,
    unknown_kind,
    unknown_word,
    word_of,
)
from carknocker.vocabulary.kind_reader import KindDraft
from carknocker.vocabulary.model import Attribute, TestKind

_KEYS = frozenset(("good", "bad"))
_FACT_KEYS = _KEYS | {"fails"}
_YES_OR_NO = ("yes", "no")


def give_bad_news(section: Node | None, drafts: Mapping[str, KindDraft], problems: ProblemList) -> None:
    """Gives the attributes of kinds of part the words that a file states as bad news."""
    for kind, node in named(section, "kinds of part", problems):
        if kind not in drafts:
            problems.add(unknown_kind(node, kind, drafts))
            continue
        attributes = drafts[kind].attributes
        for name, value in named(node, "attributes", problems):
            attribute = attributes.get(name)
            if attribute is None:
                found = f"`{name}`, which the kind `{kind}` lacks"
                problems.add(problem_at(value, found, "one of its attributes", nearest(name, attributes)))
            else:
                attributes[name] = replace(attribute, bad=_bad_words(value, attribute, problems))


def give_bad_facts(section: Node | None, tests: dict[str, TestKind], problems: ProblemList) -> None:
    """Gives the facts of tests the words that a file states as bad news, and says which of them are no failure."""
    for name, node in named(section, "tests", problems):
        test = tests.get(name)
        if test is None:
            problems.add(problem_at(node, f"the test `{name}`, which there is not", "a test", nearest(name, tests)))
            continue
        facts, alone = dict(test.facts), list(test.named_alone)
        for fact, value in named(node, "facts", problems):
            if fact not in facts:
                problems.add(
                    problem_at(value, f"`{fact}`, which `{name}` lacks", "one of its facts", nearest(fact, facts))
                )
            else:
                facts[fact] = replace(facts[fact], bad=_bad_words(value, facts[fact], problems, _FACT_KEYS))
                fails = value.get("fails") if value.kind == "mapping" else None
                if fails is not None and not flag_of(fails, "fails", problems):
                    alone.append(fact)
        tests[name] = replace(test, facts=facts, named_alone=tuple(alone))


def _bad_words(
    node: Node, attribute: Attribute, problems: ProblemList, keys: frozenset[str] = _KEYS
) -> tuple[str, ...]:
    """`good: yes` of a yes or no makes `no` bad news; of a choice the words are listed."""
    entries = entries_of(node, keys, f"what is bad news of `{attribute.name}`", problems)
    if attribute.type == "yes or no":
        good = word_of(entries.get("good"), _YES_OR_NO, "which of the two is good", problems)
        if "bad" in entries or not good:
            problems.add(problem_at(node, f"`{attribute.name}` is a yes or no", "`good: yes` or `good: no`"))
        return tuple(word for word in _YES_OR_NO if good and word != good)
    words = texts_of(entries.get("bad"), "the bad words", problems)
    if "good" in entries or not words:
        problems.add(problem_at(node, f"`{attribute.name}` is a choice", "`bad: [its bad words]`"))
    for word in words:
        if word not in attribute.one_of:
            problems.add(unknown_word(node, word, attribute.one_of, f"`{attribute.name}`:"))
    return words
