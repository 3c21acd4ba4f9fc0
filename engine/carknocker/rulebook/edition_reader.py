"""Reads a whole edition: its head, its chapters, and the edition that it amends."""

from collections.abc import Mapping
from pathlib import Path

from carknocker.documents import Node, Problem, ProblemList, read_document
from carknocker.documents.suggestions import nearest
from carknocker.rulebook.cause_reader import KindsOfCriteria
from carknocker.rulebook.compose import amended
from carknocker.rulebook.consequence_checks import check_named_ids
from carknocker.rulebook.consequence_reader import read_consequence
from carknocker.rulebook.criterion_reader import Chapter, check_not_asked, read_criterion, source_entries
from carknocker.rulebook.edition_head import HEAD_FILE, EditionHead, edition_digest
from carknocker.rulebook.model import Consequence, Criterion, Edition
from carknocker.rulebook.reading_context import Context, VocabularyLookup

_CHAPTER_KEYS = ("chapter", "when", "source", "not_asked", "looks_within", "criteria", "consequences")


def read_edition(
    head: EditionHead,
    texts: Mapping[Path, str],
    base: Edition | None,
    lookup: VocabularyLookup,
    problems: ProblemList,
    *,
    with_examples: bool,
) -> Edition | None:
    """The edition of a head. `texts`: its files (`edition_texts`). `base`: the edition that it amends, already read.

    None, with every problem reported at its place, if anything in its files is wrong. Without `with_examples` the
    criteria have no examples, which judging does not need.
    """
    before = len(problems)
    context = Context(problems, lookup)
    chapters: list[tuple[Chapter, dict[str, Node]]] = []
    for file, text in texts.items():
        node = None if file.name == HEAD_FILE else read_document(text, str(file), problems)
        entries = None if node is None else context.entries(node, _CHAPTER_KEYS, "a chapter")
        if node is None or entries is None:
            continue
        context.text(context.required(entries, "chapter", node, "a chapter"), "the title of the chapter")
        source = source_entries(entries.get("source"), context)
        looks = context.period(entries.get("looks_within"), "looks_within")
        chapter = Chapter(head, entries.get("when"), source, with_examples, {}, entries.get("not_asked"), looks)
        chapters.append((chapter, entries))
    named = KindsOfCriteria(head.ruleset, _kinds(head.ruleset, chapters, base))
    criteria: list[Criterion] = []
    consequences: list[Consequence] = []
    for chapter, entries in chapters:
        for node in _list(entries.get("criteria"), context):
            criterion = read_criterion(node, chapter, context)
            if criterion is not None:
                criteria.append(criterion)
        known = context.lookup.vocabulary.kinds
        kinds = (of.text for node in _list(entries.get("criteria"), context) if (of := node.get("of")) is not None)
        check_not_asked(chapter, tuple(kind for kind in dict.fromkeys(kinds) if kind in known), context)
        for node in _list(entries.get("consequences"), context):
            consequence = read_consequence(node, chapter, named, context)
            if consequence is not None:
                consequences.append(consequence)
    _duplicates(chapters, context)
    if len(problems) != before:
        return None
    edition = Edition(
        ruleset=head.ruleset, name=head.name, title=head.title, layer=head.layer, publisher=head.publisher,
        host=head.host, in_force=head.in_force, until=head.until, checked=head.checked,
        builds_on=head.builds_on or (), amends=head.amends, regimes=head.regimes, criteria=tuple(criteria),
        consequences=tuple(consequences), relaxes=head.relaxes, routine_note=head.routine_note,
        digest=edition_digest(texts, "" if base is None else base.digest), where=head.where,
        typed_by=head.typed_by, confirmed_by=head.confirmed_by, complete=head.complete,
        checked_against=head.checked_against, revision=head.revision, corrections=head.corrections,
    )  # fmt: skip
    _corrected_rules(edition, problems)
    if base is not None:
        edition = amended(head, edition, base, problems)
    check_named_ids(edition, head, problems)
    return edition if len(problems) == before else None


def _corrected_rules(edition: Edition, problems: ProblemList) -> None:
    own: list[Criterion | Consequence] = [*edition.criteria, *edition.consequences]
    names = {entry.name for entry in own}
    for correction in edition.corrections:
        for name in correction.rules:
            if name not in names:
                problems.add(
                    Problem(
                        edition.where,
                        f"`{name[:60]}` under `corrections`",
                        "the id of a rule that stands in this edition",
                        nearest(name, names),
                        "a rule that was taken out is named in the words of `what`",
                    )
                )


def _list(node: Node | None, context: Context) -> tuple[Node, ...]:
    if node is None:
        return ()
    if node.kind != "sequence":
        context.note(node, node.describe(), "a list")
        return ()
    return node.nodes


def _entry_ids(chapters: list[tuple[Chapter, dict[str, Node]]]) -> list[tuple[str, Node, str]]:
    """(id, node, kind of part) of every entry, before any entry is read."""
    found: list[tuple[str, Node, str]] = []
    for _, entries in chapters:
        for key in ("criteria", "consequences"):
            section = entries.get(key)
            for node in section.nodes if section is not None else ():
                name, of = node.get("id"), node.get("of")
                if name is not None and name.kind == "scalar":
                    found.append((name.text, name, of.text if of is not None and of.kind == "scalar" else ""))
    return found


def _kinds(ruleset: str, chapters: list[tuple[Chapter, dict[str, Node]]], base: Edition | None) -> dict[str, str]:
    kinds = {} if base is None else {criterion.id: criterion.of for criterion in base.criteria}
    kinds.update((f"{ruleset}/{name}", of) for name, _, of in _entry_ids(chapters) if of)
    return kinds


def _duplicates(chapters: list[tuple[Chapter, dict[str, Node]]], context: Context) -> None:
    first: dict[str, Node] = {}
    for name, node, _ in _entry_ids(chapters):
        if name in first:
            context.note(node, f"the id `{name[:60]}` a second time", "one entry with each id", "",
                         f"the first is at {first[name].where}")  # fmt: skip
        first.setdefault(name, node)
