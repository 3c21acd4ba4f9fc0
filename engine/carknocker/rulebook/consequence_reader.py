"""Reads one consequence of a chapter: its causes and what follows."""

from carknocker.documents import Node, some
from carknocker.rulebook.cause_reader import Named, read_cause
from carknocker.rulebook.clause_reader import both, read_clause
from carknocker.rulebook.consequence_example_reader import read_consequence_example
from carknocker.rulebook.context import Context
from carknocker.rulebook.criterion_reader import Chapter, read_items, read_name
from carknocker.rulebook.lookup import Subject
from carknocker.rulebook.model import Consequence, ConsequenceExample, Yield
from carknocker.rulebook.source_reader import read_source
from carknocker.rulebook.yield_reader import YIELDS, read_yields

_KEYS = ("id", "title", "cause", "when", "source", "examples", *YIELDS)


def read_consequence(node: Node, chapter: Chapter, named: Named, context: Context) -> Consequence | None:
    """The consequence that a mapping says; None, with every problem noted, if anything in it is wrong."""
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
        when = both(when, read_clause(entries["when"], Subject(()), context))
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
        where=node.where, examples=examples,
    )  # fmt: skip
