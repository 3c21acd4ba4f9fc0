"""Reads one criterion of a chapter, with its source."""

from collections.abc import Mapping
from typing import Literal, get_args

import msgspec

from carknocker.documents import Node, ProblemList
from carknocker.quantities import Period
from carknocker.rulebook.clause_reader import both_clauses, read_clause
from carknocker.rulebook.clauses import Clause, Unanswered, comparisons
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.example_reader import read_example
from carknocker.rulebook.fault_reader import read_fault_of_criterion
from carknocker.rulebook.model import (
    Criterion,
    Example,
    NotAsked,
    Remedy,
    Renewal,
    Restriction,
    ShownBy,
    Source,
    SourceKind,
    Status,
)
from carknocker.rulebook.path_reader import read_path
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
    "examples", "may_be_relaxed", "tightens", "fault", "not_asked",
)  # fmt: skip
_SHOWN_BY: tuple[ShownBy, ...] = get_args(ShownBy)
_RENEWED_BY = ("crew", "host")
Effect = Literal["refuse", "restrict", "advise"]


class Chapter(msgspec.Struct, frozen=True):
    """What every entry of a chapter inherits: the head of the edition, a condition, a source, words not asked about."""

    head: EditionHead
    when: Node | None
    source: Mapping[str, Node]
    with_examples: bool
    conditions: dict[str, Clause | None]  # kind → the chapter's condition as read for that kind
    not_asked: Node | None = None
    looks_within: Period | None = None  # the age of the oldest look that its criteria for the host's inspector accept

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
    unanswered = _is_unanswered(entries.get("must"))
    shown_by: ShownBy | None = "owner before the move"
    if not unanswered:
        shown_by = context.choice(context.required(entries, "shown_by", node, "a criterion"), _SHOWN_BY, "shown_by")
    source = read_source(entries.get("source"), chapter.source, node, context)
    read_within = context.period(entries.get("read_within"), "read_within")
    inherits_age = read_within is None and chapter.looks_within is not None and shown_by == "host on the day"
    renewal = _renewal(entries.get("renewed"), context)
    relaxable = context.yes(entries.get("may_be_relaxed"), "may_be_relaxed")
    tightens = context.text(entries.get("tightens"), "the id of a criterion, with its ruleset")
    if tightens and "/" not in tightens:
        context.note(entries["tightens"], f"`{tightens[:60]}`", "`ruleset/criterion` of a lower layer")
    must_node = context.required(entries, "must", node, "a criterion")
    if not of:
        return None
    subject = Subject((of,))
    when = both_clauses(chapter.condition(of, context), _clause(entries.get("when"), subject, context))
    unless = _clause(entries.get("unless"), subject, context)
    must = _unanswered(must_node, entries, context) if unanswered else _clause(must_node, subject, context)
    fault = read_fault_of_criterion(entries.get("fault"), must, context)
    own = _not_asked(entries.get("not_asked"), subject, context, strict=True)
    _check_named(own, (when, unless), entries.get("not_asked"), context)
    not_asked = _not_asked(chapter.not_asked, subject, context, strict=False) + own
    remedies = _remedies(entries.get("remedies"), subject, context)
    examples: tuple[Example, ...] = ()
    if chapter.with_examples and "examples" in entries:
        read = [read_example(item, subject, context) for item in read_items(entries["examples"], context)]
        examples = tuple(example for example in read if example is not None)
    if len(context.problems) != before or must is None or shown_by is None or source is None:
        return None
    return Criterion(
        id=f"{head.ruleset}/{name}", name=name, ruleset=head.ruleset, edition=head.name, layer=head.layer, title=title,
        of=of, when=when, unless=unless, must=must,
        read_within=chapter.looks_within if inherits_age else read_within, age_of_chapter=inherits_age,
        effect=effect, restrictions=restrictions,
        shown_by=shown_by, renewal=renewal, source=source, remedies=remedies, examples=examples,
        may_be_relaxed=relaxable, borderline=head.borderline, where=node.where, tightens=tightens,
        fault=fault, not_asked=not_asked,
    )  # fmt: skip


def _clause(node: Node | None, subject: Subject, context: Context) -> Clause | None:
    return None if node is None else read_clause(node, subject, context)


_OF_EVIDENCE = ("shown_by", "read_within", "renewed", "remedies")


def _is_unanswered(node: Node | None) -> bool:
    return node is not None and node.kind == "mapping" and node.get("unanswered") is not None


def _unanswered(node: Node | None, entries: Mapping[str, Node], context: Context) -> Clause | None:
    """`must: {unanswered: …}`: nothing that is read or done meets it, so that nothing says how or by whom."""
    found = None if node is None else context.entries(node, ("unanswered",), "a `must` that is unanswered")
    for key in _OF_EVIDENCE:
        if key in entries:
            context.note(entries[key], f"`{key}` beside `unanswered`", "no such key: no evidence meets it")
    if node is None or found is None or "unanswered" not in found:
        return None
    if "when" not in entries:
        context.note(node, "`unanswered` without `when`", "`when: {…}` with the words that no rule answers")
        return None
    what = context.text(found["unanswered"], "what no rule says")
    return Unanswered(what, node.where) if what else None


def _not_asked(node: Node | None, subject: Subject, context: Context, *, strict: bool) -> tuple[NotAsked, ...]:
    """`not_asked: {bearing.class: {plain: why}}`. Not strict: paths that are none of this kind of part are left out
    (a chapter's, read for each kind in it)."""
    if node is None:
        return ()
    if node.kind != "mapping":
        context.note(node, node.describe(), "`{attribute: {word: why it is not asked}}`")
        return ()
    found: list[NotAsked] = []
    for key, where, words in node.items():
        path = read_path(key, where, subject, context if strict else Context(ProblemList(), context.lookup))
        if path is None:
            continue
        allowed = path.value_attribute.one_of if path.value_attribute.type == "one of" else ()
        if not allowed:
            context.note(
                where, f"`{path}`, which is a {path.value_attribute.type}", "a choice, which is `one of` words"
            )
        elif words.kind != "mapping":
            context.note(words, words.describe(), "`{word: why it is not asked}`")
        else:
            for word, place, reason in words.items():
                text = context.text(reason, "why it is not asked")
                if not text and (reason.is_empty or reason.kind == "scalar"):
                    context.note(place, f"`{word[:60]}` without a reason", "why it is not asked")
                if context.is_known(place, word, allowed, f"word of `{path}`") and text:
                    found.append(NotAsked(str(path), word, text))
    return tuple(found)


def _check_named(
    not_asked: tuple[NotAsked, ...], conditions: tuple[Clause | None, ...], at: Node | None, context: Context
) -> None:  # fmt: skip
    """Reports choices in a criterion's own `not_asked` that its conditions do not name: nothing is left out by them."""
    named = {str(comparison.path) for clause in conditions for _, comparison in comparisons(clause)}
    for path in dict.fromkeys(one.path for one in not_asked if one.path not in named):
        assert at is not None
        context.note(at, f"`{path}`, which neither `when` nor `unless` names", "a choice that one of them names",
                     remedy="take it out: the criterion asks whatever that word is")  # fmt: skip


def check_not_asked(chapter: Chapter, kinds: tuple[str, ...], context: Context) -> None:
    """Reports each choice in the chapter's `not_asked` that no criterion of it could name. kinds: of its criteria."""
    node = chapter.not_asked
    if node is None or node.kind != "mapping" or not kinds:
        return
    silent = Context(ProblemList(), context.lookup)
    for key, where, _ in node.items():
        if all(read_path(key, where, Subject((kind,)), silent) is None for kind in kinds):
            read_path(key, where, Subject(kinds[:1]), context)


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
