"""Reads the vocabulary's data files, and notes every problem in them at its place."""

from collections.abc import Mapping

from carknocker.documents import Node, ProblemList, read_document
from carknocker.vocabulary.entries import entries_of, named, texts_of, unknown_kind
from carknocker.vocabulary.kinds import KindDraft, check_kinds, read_kinds
from carknocker.vocabulary.model import PaperKind, SheetName, SpareKind, TestKind, Vocabulary, WorkKind
from carknocker.vocabulary.names import read_events, read_papers, read_spares, read_tests, read_work
from carknocker.vocabulary.sheets import Lists, read_sheets

_SECTIONS = frozenset(("kinds", "further_attributes", "tests", "papers", "work", "events", "spares", "roles", "sheets"))


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
    sheets: dict[SheetName, Lists] = {}
    for document in documents:
        read_tests(document.get("tests"), drafts, tests, problems)
        read_papers(document.get("papers"), drafts, papers, problems)
        read_work(document.get("work"), drafts, work, events, problems)
        read_events(document.get("events"), drafts, events, work, problems)
        read_spares(document.get("spares"), drafts, spares, problems)
        roles.extend(role for role in texts_of(document.get("roles"), "roles", problems) if role not in roles)
    for document in documents:
        read_sheets(document.get("sheets"), drafts, sheets, problems)
    problems.refuse_if_any()
    kinds = {name: draft.kind() for name, draft in drafts.items()}
    return Vocabulary(kinds, tests, papers, work, events, spares, tuple(roles), sheets)


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
