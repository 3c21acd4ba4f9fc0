"""Reads one consequence of a chapter: its causes, and what follows from them."""

from typing import Literal

from carknocker.documents import Node, some
from carknocker.rulebook.cause_reader import KindsOfCriteria, read_cause
from carknocker.rulebook.clause_reader import both_clauses, read_clause
from carknocker.rulebook.criterion_reader import Chapter, full_id, read_items, read_name, read_source
from carknocker.rulebook.example_reader import read_consequence_example
from carknocker.rulebook.fault_reader import read_fault_of_consequence
from carknocker.rulebook.model import (
    CarriesUp,
    Consequence,
    ConsequenceExample,
    Relieves,
    Requires,
    Restriction,
    Restricts,
    Voids,
    Yield,
)
from carknocker.rulebook.occasion_reader import read_occasions
from carknocker.rulebook.reading_context import Context, Subject
from carknocker.rulebook.restriction_reader import read_restrictions

YIELDS = ("voids", "carries_up", "requires", "restricts", "relieves")
_TIMES: tuple[Literal["before departure", "on the way"], ...] = ("before departure", "on the way")
_EFFECTS: tuple[Literal["refuse", "advise"], ...] = ("refuse", "advise")
_PURPOSES: tuple[Literal["move", "repair"], ...] = ("move", "repair")


def read_yields(key: str, node: Node, ruleset: str, context: Context) -> list[Yield]:
    """The yields under one of the keys YIELDS. Problems are reported."""
    if key == "carries_up":
        kinds = tuple(context.kind(item) for item in node.as_sequence())
        if not kinds:
            context.note(node, "an empty list", "kinds of container, such as `[truck, car]`")
        return [CarriesUp(kinds)]
    found: list[Yield] = []
    for item in node.as_sequence():
        match key:
            case "voids":
                read: Yield | None = _voids(item, context)
            case "requires":
                read = _requires(item, context)
            case "restricts":
                restrictions = read_restrictions(item, context)
                read = None if restrictions is None else Restricts(restrictions)
            case _:
                read = _relieves(item, ruleset, context)
        if read is not None:
            found.append(read)
    if not node.as_sequence():
        context.note(node, "an empty list", f"what `{key}` means, in a mapping")
    return found


def _voids(node: Node, context: Context) -> Voids | None:
    entries = context.entries(node, ("test", "readings", "of"), "`voids`")
    if entries is None:
        return None
    if ("test" in entries) == ("readings" in entries):
        context.note(node, node.describe(), "either `test: NAME` or `readings: [attributes]`")
        return None
    if "test" in entries:
        test = context.known(entries["test"], context.lookup.vocabulary.tests, "test")
        return Voids(test, (), _test_of(test, entries.get("of"), context))
    of = context.kind(context.required(entries, "of", node, "`voids` of readings"))
    attributes = context.lookup.attributes(of)
    readings: list[str] = []
    for text, item in context.texts(entries["readings"], "an attribute") if of else ():
        name = context.known(item, attributes, f"attribute of the {of}")
        if name and (attributes[name].description or attributes[name].derived):
            sort = "derived" if attributes[name].derived else "a description, undated"
            context.note(item, f"`{text}`, which is {sort}", "attributes that are read and dated")
        readings.append(name)
    if of and not readings:
        context.note(entries["readings"], "no readings", "at least one attribute")
    return Voids("", tuple(readings), of)


def _test_of(test: str, node: Node | None, context: Context) -> str:
    """The kind of part that a test is made on; with any other kind, the test would never be found."""
    of = context.kind(node)
    if not test:
        return of
    on = context.lookup.vocabulary.tests[test].on
    if node is not None and of and of != on:
        context.note(node, f"`{of}`: the {test} stands on the {on}", f"`of: {on}`")
    return on


def _requires(node: Node, context: Context) -> Requires | None:
    keys = (
        "test", "spare", "duty", "of", "when", "effect", "within", "each", "number", "routine", "every", "within_first",
    )  # fmt: skip
    entries = context.entries(node, keys, "`requires`")
    if entries is None:
        return None
    sorts = [key for key in ("test", "spare", "duty") if key in entries]
    if len(sorts) != 1:
        context.note(node, node.describe(), "exactly one of `test`, `spare` and `duty`")
        return None
    test = context.known(entries.get("test"), context.lookup.vocabulary.tests, "test")
    spare = context.known(entries.get("spare"), context.lookup.vocabulary.spares, "spare")
    words = context.text(entries.get("duty"), "a duty, in words")
    if test:
        of = _test_of(test, entries.get("of"), context)
    elif words and "of" not in entries:
        of = "car"
    else:
        of = context.kind(context.required(entries, "of", node, "`requires`"))
    when = context.choice(entries.get("when"), _TIMES, "when a duty is done") or "before departure"
    routine = context.yes(entries.get("routine"), "routine")
    if routine and when != "on the way":
        context.note(entries["routine"], "a routine duty before departure", "`routine` only with `when: on the way`")
    every, within_first = read_occasions(entries, when, bool(spare), context)
    return Requires(
        test, spare, of, when, context.choice(entries.get("effect"), _EFFECTS, "an effect") or "refuse",
        context.period(entries.get("within"), "within"), context.yes(entries.get("each"), "each"), routine, words,
        every, within_first, _number(entries.get("number"), bool(spare), context),
    )  # fmt: skip


def _number(node: Node | None, of_spare: bool, context: Context) -> int:
    """How many spares are aboard; 1 where nothing is written."""
    if node is None:
        return 1
    text = context.text(node, "number")
    if not of_spare:
        context.note(node, "`number` of what is no spare", "`number` only with `spare`")
    elif not (text.isascii() and text.isdigit() and 0 < int(text) < 1000):
        context.note(node, node.describe(), "a whole number of spares, 1 or more")
    else:
        return int(text)
    return 1


def _relieves(node: Node, ruleset: str, context: Context) -> Relieves | None:
    entries = context.entries(node, ("finding", "criterion", "consequence", "of", "leaves", "for"), "`relieves`")
    if entries is None:
        return None
    sorts = [key for key in ("finding", "criterion", "consequence") if key in entries]
    if len(sorts) != 1:
        context.note(node, node.describe(), "exactly one of `finding: same`, `criterion: …` and `consequence: …`")
        return None
    context.choice(entries.get("finding"), ("same",), "the finding that is relieved")
    criteria = tuple(full_id(text, ruleset) for text, _ in context.texts(entries.get("criterion"), "criteria"))
    named = criteria == (full_id("named", ruleset),)
    consequences = tuple(full_id(text, ruleset) for text, _ in context.texts(entries.get("consequence"), "ids"))
    leaves: tuple[Restriction, ...] = ()
    if "leaves" in entries:
        leaves = read_restrictions(entries["leaves"], context) or ()
    return Relieves(
        "finding" in entries, named, () if named else criteria, consequences, context.kind(entries.get("of")), leaves,
        context.choice(entries.get("for"), _PURPOSES, "what a relief is for") or "move",
    )  # fmt: skip


_KEYS = ("id", "title", "cause", "when", "fault", "source", "examples", *YIELDS)


def read_consequence(node: Node, chapter: Chapter, named: KindsOfCriteria, context: Context) -> Consequence | None:
    """The consequence that a mapping states. None, with every problem reported, if anything in it is wrong."""
    before = len(context.problems)
    entries = context.entries(node, _KEYS, "a consequence")
    if entries is None:
        return None
    head = chapter.head
    name = read_name(entries.get("id"), node, "a consequence", context)
    title = context.text(context.required(entries, "title", node, "a consequence"), "a title")
    source = read_source(entries.get("source"), chapter.source, node, context)
    when = chapter.condition("", context)
    if "when" in entries:
        when = both_clauses(when, read_clause(entries["when"], Subject(()), context))
    cause_node = context.required(entries, "cause", node, "a consequence")
    causes = [read_cause(item, named, context) for item in cause_node.as_sequence()] if cause_node else []
    if cause_node is not None and not causes:
        context.note(cause_node, "an empty list", "at least one cause")
    yields: list[Yield] = []
    for key in YIELDS:
        if key in entries:
            yields.extend(read_yields(key, entries[key], head.ruleset, context))
    if not any(key in entries for key in YIELDS):
        context.note(node, "a consequence from which nothing follows", f"at least one of {some(YIELDS)}")
    fault = read_fault_of_consequence(entries.get("fault"), yields, context)
    found = tuple(cause for cause in causes if cause is not None)
    examples: tuple[ConsequenceExample, ...] = ()
    if chapter.with_examples and "examples" in entries and len(context.problems) == before:
        read = [
            read_consequence_example(item, found, named.kinds, context)
            for item in read_items(entries["examples"], context)
        ]
        examples = tuple(example for example in read if example is not None)
    if len(context.problems) != before or source is None:
        return None
    return Consequence(
        id=f"{head.ruleset}/{name}", name=name, ruleset=head.ruleset, edition=head.name, layer=head.layer, title=title,
        when=when, causes=found, yields=tuple(yields), source=source,
        where=node.where, examples=examples, fault=fault,
    )  # fmt: skip
