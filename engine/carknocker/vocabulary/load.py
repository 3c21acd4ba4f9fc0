"""Loads the vocabulary from its data files. Adding an attribute, a test or a spare there needs no code."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from carknocker.documents import Node, ProblemList, read_document
from carknocker.documents.kept import Keep, key_of
from carknocker.vocabulary.entries import entries_of, named, texts_of, unknown_kind
from carknocker.vocabulary.kinds import KindDraft, check_kinds, read_kinds
from carknocker.vocabulary.model import PaperKind, SpareKind, TestKind, Vocabulary, WorkKind
from carknocker.vocabulary.names import read_papers, read_spares, read_tests, read_work

_SECTIONS = frozenset(("kinds", "further_attributes", "tests", "papers", "work", "events", "spares", "roles"))


_keeps: list[Keep] = []


@cache
def load_vocabulary() -> Vocabulary:
    """The vocabulary that is installed with the package.

    Raises InputRefused, with every problem, if its data files are bad.
    """
    texts = vocabulary_texts()
    if not _keeps:
        return read_vocabulary(texts)
    key = key_of(("vocabulary", *texts, *texts.values()))
    kept = _keeps[0].get(key, Vocabulary)
    if kept is None:
        kept = read_vocabulary(texts)
        _keeps[0].put(key, kept)
    return kept


def keep_vocabulary(keep: Keep) -> None:
    """Lets `load_vocabulary`, from now on, answer from what an earlier run kept of the same files."""
    _keeps[:] = [keep]


def vocabulary_texts() -> dict[str, str]:
    """Name → text of the installed vocabulary files, in the order in which they are read."""
    found = sorted((Path(__file__).parent / "data").glob("*.yaml"), key=lambda file: file.name)
    return {file.name: file.read_text(encoding="utf-8") for file in found}


def read_vocabulary(texts: Mapping[str, str]) -> Vocabulary:
    """The vocabulary that the files (name → text) make up together; kinds keep the order of the files.

    Raises InputRefused with every problem found, each at its place.
    """
    problems = ProblemList()
    documents: list[Mapping[str, Node]] = []
    for file, text in texts.items():
        node = read_document(text, file, problems)
        if node is not None:
            documents.append(entries_of(node, _SECTIONS, "a vocabulary file", problems))
    drafts = _read_drafts(documents, problems)
    tests: dict[str, TestKind] = {}
    papers: dict[str, PaperKind] = {}
    work: dict[str, WorkKind] = {}
    events: dict[str, WorkKind] = {}
    spares: dict[str, SpareKind] = {}
    roles: list[str] = []
    for document in documents:
        read_tests(document.get("tests"), drafts, tests, problems)
        read_papers(document.get("papers"), drafts, papers, problems)
        read_work(document.get("work"), "work", drafts, work, events, problems)
        read_work(document.get("events"), "events", drafts, events, work, problems)
        read_spares(document.get("spares"), drafts, spares, problems)
        roles.extend(role for role in texts_of(document.get("roles"), "roles", problems) if role not in roles)
    problems.refuse_if_any()
    kinds = {name: draft.kind() for name, draft in drafts.items()}
    return Vocabulary(kinds, tests, papers, work, events, spares, tuple(roles))


def _read_drafts(documents: list[Mapping[str, Node]], problems: ProblemList) -> dict[str, KindDraft]:
    drafts: dict[str, KindDraft] = {}
    for document in documents:
        read_kinds(document.get("kinds"), drafts, problems)
    for document in documents:
        for kind, node in named(document.get("further_attributes"), "further attributes", problems):
            if kind in drafts:
                drafts[kind].take(node, problems)
            else:
                problems.add(unknown_kind(node, kind, drafts))
    check_kinds(drafts, problems)
    return drafts
