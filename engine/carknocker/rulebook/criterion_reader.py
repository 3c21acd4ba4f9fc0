"""Reads one criterion of a chapter, with its source."""

from collections.abc import Mapping
from typing import Literal, get_args

import msgspec

from carknocker.documents import Node
from carknocker.quantities import Period
from carknocker.rulebook.clause_reader import both_clauses, read_clause
from carknocker.rulebook.clauses import Clause
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.example_reader import read_example
from carknocker.rulebook.model import (
    Criterion,
    Example,
    Remedy,
    Renewal,
    Restriction,
    ShownBy,
    Source,
    SourceKind,
    Status,
)
from carknocker.rulebook.reading_context import NAME, Context, Subject
from carknocker.rulebook.restriction_reader import read_restrictions

_SOURCE_KEYS = ("document", "section", "words", "kind", "status", "year", "note")
_KINDS: tuple[SourceKind, ...] = get_args(SourceKind)
_STATUS: tuple[Status, ...] = get_args(Status)


def source_entries(node: Node | None, context: Context) -> Mapping[str, Node]:
    """The keys of a chapter's `source:`, which its entries inherit."""
    return {} if node is None else context.entries(node, _SOURCE_KEYS, "a source") or {}


def read_source(own: Node | None, chapter: Mapping[str, Node], at: Node, context: Context) -> Source | None:
    """The source of one entry. `chapter`: keys that hold unless the entry's own source has them."""
    if own is None and not chapter:
        context.note(at, "no source", "`source: {document: …, section: …, words: …, kind: …, status: …}`")
        return None
    entries = {**chapter, **source_entries(own, context)}
    place = at if own is None else own
    missing = [key for key in ("document", "kind", "status") if key not in entries]
    for key in missing:
        context.note(place, f"a source without `{key}`", f"`{key}: …` here, or in the source of the chapter")
    kind = context.choice(entries.get("kind"), _KINDS, "the kind of a source")
    status = context.choice(entries.get("status"), _STATUS, "the status of a source")
    if missing or kind is None or status is None:
        return None

    def text(key: str) -> str:
        return context.text(entries.get(key), key)

    return Source(text("document"), text("section"), text("words"), kind, status, text("year"), text("note"))


_KEYS = (
    "id", "title", "of", "when", "unless", "must", "read_within", "effect", "shown_by", "renewed", "source", "remedies",
    "examples", "may_be_relaxed", "tightens", "fault",
)  # fmt: skip
_SHOWN_BY: tuple[ShownBy, ...] = get_args(ShownBy)
_RENEWED_BY = ("crew", "host")
Effect = Literal["refuse", "restrict", "advise"]


class Chapter(msgspec.Struct, frozen=True):
    """What every entry of a chapter inherits: the head of the edition, a condition, a source."""

    head: EditionHead
    when: Node | None
    source: Mapping[str, Node]
    with_examples: bool
    conditions: dict[str, Clause | None]  # kind → the chapter's condition as read for that kind

    def condition(self, kind: str, context: Context) -> Clause | None:
        """The chapter's condition for a kind of part; "" for consequences, whose conditions look only at car, move and
        train."""
        if self.when is None:
            return None
        if kind not in self.conditions:
            self.conditions[kind] = read_clause(self.when, Subject((kind,) if kind else ()), context)
        return self.conditions[kind]


def read_name(node: Node | None, at: Node, what: str, context: Context) -> str:
    """The `id` of an entry. "", and reported, if it is missing or not formed like a name."""
    if node is None:
        context.note(at, f"{what} without `id`", "`id: a-name-with-hyphens`")
        return ""
    text = context.text(node, "an id")
    if text and NAME.fullmatch(text) is None:
        context.note(node, f"the id `{text[:60]}`", "small letters, digits and hyphens, such as `flange-thickness`")
        return ""
    return text


def full_id(text: str, ruleset: str) -> str:
    """`ruleset/name` for a bare name; an id with a ruleset stays as it is."""
    return text if "/" in text else f"{ruleset}/{text}"


def read_criterion(node: Node, chapter: Chapter, context: Context) -> Criterion | None:
    """The criterion that a mapping states. None, with every problem reported, if anything in it is wrong."""
    before = len(context.problems)
    entries = context.entries(node, _KEYS, "a criterion")
    if entries is None:
        return None
    head = chapter.head
    name = read_name(entries.get("id"), node, "a criterion", context)
    title = context.text(context.required(entries, "title", node, "a criterion"), "a title")
    of = context.kind(context.required(entries, "of", node, "a criterion"))
    effect, restrictions = _effect(context.required(entries, "effect", node, "a criterion"), context)
    shown_by = context.choice(context.required(entries, "shown_by", node, "a criterion"), _SHOWN_BY, "shown_by")
    source = read_source(entries.get("source"), chapter.source, node, context)
    read_within = context.period(entries.get("read_within"), "read_within")
    renewal = _renewal(entries.get("renewed"), context)
    relaxable = context.yes(entries.get("may_be_relaxed"), "may_be_relaxed")
    tightens = context.text(entries.get("tightens"), "the id of a criterion, with its ruleset")
    if tightens and "/" not in tightens:
        context.note(entries["tightens"], f"`{tightens[:60]}`", "`ruleset/criterion` of a lower layer")
    fault = context.text(entries.get("fault"), "the fault in a few words")
    must_node = context.required(entries, "must", node, "a criterion")
    if not of:
        return None
    subject = Subject((of,))
    when = both_clauses(chapter.condition(of, context), _clause(entries.get("when"), subject, context))
    unless = _clause(entries.get("unless"), subject, context)
    must = _clause(must_node, subject, context)
    remedies = _remedies(entries.get("remedies"), subject, context)
    examples: tuple[Example, ...] = ()
    if chapter.with_examples and "examples" in entries:
        read = [read_example(item, subject, context) for item in read_items(entries["examples"], context)]
        examples = tuple(example for example in read if example is not None)
    if len(context.problems) != before or must is None or shown_by is None or source is None:
        return None
    return Criterion(
        id=f"{head.ruleset}/{name}", name=name, ruleset=head.ruleset, edition=head.name, layer=head.layer, title=title,
        of=of, when=when, unless=unless, must=must, read_within=read_within, effect=effect, restrictions=restrictions,
        shown_by=shown_by, renewal=renewal, source=source, remedies=remedies, examples=examples,
        may_be_relaxed=relaxable, borderline=head.borderline, where=node.where, tightens=tightens,
        fault=fault,
    )  # fmt: skip


def _clause(node: Node | None, subject: Subject, context: Context) -> Clause | None:
    return None if node is None else read_clause(node, subject, context)


def read_items(node: Node, context: Context) -> tuple[Node, ...]:
    """The nodes of a list; none, and reported, for anything else."""
    if node.kind == "sequence":
        return node.nodes
    context.note(node, node.describe(), "a list")
    return ()


def _effect(node: Node | None, context: Context) -> tuple[Effect, tuple[Restriction, ...]]:
    if node is None:
        return "refuse", ()
    if node.kind == "mapping":
        entries = context.entries(node, ("restrict",), "an effect")
        if entries is not None and "restrict" in entries:
            return "restrict", read_restrictions(entries["restrict"], context) or ()
        if entries is not None:
            context.note(node, node.describe(), "`{restrict: {speed: 40 mph}}`")
        return "restrict", ()
    choice = context.choice(node, ("refuse", "advise"), "an effect")
    if choice is None and node.text.strip() == "restrict":
        context.note(node, "`restrict` without saying what", "`{restrict: {speed: 40 mph}}`")
    return ("advise" if choice == "advise" else "refuse"), ()


def _renewal(node: Node | None, context: Context) -> Renewal | None:
    if node is None:
        return None
    entries = context.entries(node, ("by", "every", "routine"), "`renewed`")
    if entries is None:
        return None
    by = context.choice(context.required(entries, "by", node, "`renewed`"), _RENEWED_BY, "who renews it")
    every = context.period(entries.get("every"), "every")
    if every == Period():
        context.note(entries["every"], "a period of no days", "one day or more")
    return Renewal(by or "", every, context.yes(entries.get("routine"), "routine"))


def _remedies(node: Node | None, subject: Subject, context: Context) -> tuple[Remedy, ...]:
    found: list[Remedy] = []
    for item in read_items(node, context) if node is not None else ():
        entries = context.entries(item, ("work", "if", "note"), "a remedy")
        if entries is None:
            continue
        work_node = context.required(entries, "work", item, "a remedy")
        work = context.known(work_node, context.lookup.vocabulary.work, "kind of work")
        found.append(Remedy(work, _clause(entries.get("if"), subject, context), context.text(entries.get("note"), "")))
    return tuple(found)
