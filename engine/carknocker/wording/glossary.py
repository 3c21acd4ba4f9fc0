"""Trade terms in plain words: the terms of `terms.yaml`, and which of them occur in some texts."""

import re
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import msgspec

from carknocker.documents import Node, Problem, ProblemList, read_document

_FILE = "terms.yaml"


class Term(msgspec.Struct, frozen=True):
    """said: its meaning. forms: the spellings on a page, the term itself first. always: explained on every page.
    instead_of: what is not written for it."""

    term: str
    said: str
    forms: tuple[str, ...]
    always: bool
    instead_of: tuple[str, ...]


@cache
def terms() -> tuple[Term, ...]:
    """All terms that are explained, in the order of the file. Raises InputRefused if the file is bad."""
    return read_terms((Path(__file__).parent / _FILE).read_text(encoding="utf-8"), _FILE)


def read_terms(text: str, file: str) -> tuple[Term, ...]:
    """The terms of a glossary file. Raises InputRefused with every problem of it."""
    problems = ProblemList()
    root = read_document(text, file, problems)
    found = [] if root is None else [_term(name, node, problems) for name, _, node in root.items()]
    problems.refuse_if_any()
    return tuple(found)


def _term(name: str, node: Node, problems: ProblemList) -> Term:
    said, also, always, others = (node.get(key) for key in ("said", "also", "always", "not"))
    known = {"said", "also", "always", "not"}
    if said is None or not {key for key, _, _ in node.items()} <= known:
        problems.add(Problem(node.where, f"the term `{name}`", "`said`, and perhaps `also`, `always` and `not`"))
    return Term(
        name, "" if said is None else said.text, (name, *_texts(also)), always is not None and always.text == "yes",
        _texts(others),
    )  # fmt: skip


def _texts(node: Node | None) -> tuple[str, ...]:
    return () if node is None else tuple(one.text for one in node.nodes)


def terms_in(texts: Iterable[str]) -> tuple[Term, ...]:
    """The terms that occur in some texts as whole words, in alphabetical order."""
    whole = "\n".join(texts).casefold()
    return tuple(
        sorted(
            (term for term in terms() if term.always or any(_occurs(form.casefold(), whole) for form in term.forms)),
            key=lambda term: term.term.casefold(),
        )
    )


def _occurs(form: str, whole: str) -> bool:
    """Whether the form occurs as a whole word. A quick substring search comes first."""
    return form in whole and re.search(rf"(?<!\w){re.escape(form)}(?!\w)", whole) is not None
