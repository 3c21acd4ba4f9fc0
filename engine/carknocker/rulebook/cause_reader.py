"""Reads the causes of a consequence."""

from collections.abc import Mapping
from typing import cast, get_args

import msgspec
from msgspec.structs import replace

from carknocker.documents import Node, some
from carknocker.rulebook.clause_reader import read_clause
from carknocker.rulebook.clauses import Clause
from carknocker.rulebook.criterion_reader import Effect, full_id
from carknocker.rulebook.model import UNMET, Cause, CauseSort, Verdict
from carknocker.rulebook.reading_context import Context, Subject
from carknocker.rulebook.restriction_reader import SORTS
from carknocker.vocabulary.model import Attribute, WorkKind

_SORTS: tuple[CauseSort, ...] = get_args(CauseSort)
_FINDINGS: tuple[str, ...] = ("unmet", *UNMET, "borderline", "met")
_EFFECTS: tuple[Effect, ...] = ("refuse", "restrict", "advise")
_KEYS: Mapping[str, tuple[str, ...]] = {
    "work": ("of", "when"), "event": ("of", "when"), "state": ("of",), "test": ("of", "when"), "leave": ("when",),
    "finding": ("of", "criterion", "effect", "when"), "seen": ("of", "criterion", "when"), "unfit": ("when",),
    "restricted": (), "duty": ("of", "consequence"),
}  # fmt: skip


class KindsOfCriteria(msgspec.Struct, frozen=True):
    """The criteria of the edition, for causes that name them: id → kind of part."""

    ruleset: str
    kinds: Mapping[str, str]


def read_cause(node: Node, named: KindsOfCriteria, context: Context) -> Cause | None:
    """One cause. None, with the problems reported, if anything in it is wrong."""
    before = len(context.problems)
    sorts = [sort for sort in _SORTS if node.get(sort) is not None]
    if node.kind != "mapping" or len(sorts) != 1:
        found = node.describe() if not sorts else f"a cause with {' and '.join(sorts)} at once"
        context.note(node, found, f"one cause: a mapping with one of {some(_SORTS)}", remedy=_alternatives(sorts))
        return None
    sort = sorts[0]
    entries = context.entries(node, (sort, *_KEYS[sort]), f"a cause on `{sort}`")
    if entries is None:
        return None
    value = entries.get(sort)
    if value is None:
        context.note(node, f"`{sort}` with nothing behind it", f"what {sort} is meant")
        return None
    of = context.kind(entries.get("of"))
    criteria = tuple(full_id(text, named.ruleset) for text, _ in context.texts(entries.get("criterion"), "criteria"))
    names = _names(sort, node, value, entries, named, context)
    effect = context.choice(entries.get("effect"), _EFFECTS, "an effect")
    when: Clause | None = None
    if sort == "state":
        context.required(entries, "of", node, "a cause on `state`")
        always = value.kind == "scalar" and context.choice(value, ("always",), "a state without a condition")
        when = read_clause(value, Subject((of,)), context) if of and not always else None
    elif "when" in entries and len(context.problems) == before:
        subject = _subject(sort, of, names, criteria, entries["when"], named, context)
        when = None if subject is None else read_clause(entries["when"], subject, context)
    verdicts = _verdicts(sort, value, context)
    if len(context.problems) != before:
        return None
    return Cause(sort, names, of, criteria, verdicts, effect or "", when, node.where)


def _alternatives(sorts: list[CauseSort]) -> str:
    return "write alternatives as a list of causes" if len(sorts) > 1 else ""


def _names(
    sort: CauseSort, node: Node, value: Node, entries: Mapping[str, Node], named: KindsOfCriteria, context: Context
) -> tuple[str, ...]:
    vocabulary = context.lookup.vocabulary
    match sort:
        case "work" | "event" | "test" | "unfit":
            known = {
                "work": vocabulary.work, "event": vocabulary.events, "test": vocabulary.tests, "unfit": vocabulary.kinds
            }[sort]  # fmt: skip
            what = {"work": "kind of work", "unfit": "kind of part"}.get(sort, sort)
            return tuple(context.known(item, known, what) for item in value.as_sequence())
        case "restricted":
            return tuple(context.choice(item, SORTS, "a restriction") or "" for item in value.as_sequence())
        case "leave":
            context.choice(value, ("any",), "a leave")
        case "seen":
            context.choice(value, ("breached",), "what was seen")
            context.required(entries, "criterion", node, "a cause on `seen`")
        case "duty":
            context.choice(value, ("open",), "a duty that causes something")
            ids = context.texts(entries.get("consequence"), "consequences")
            return tuple(full_id(text, named.ruleset) for text, _ in ids)
    return ()


def _verdicts(sort: CauseSort, value: Node, context: Context) -> tuple[Verdict, ...]:
    """The verdicts that a cause names; none for `unmet`."""
    if sort == "seen":
        return ("breached",)
    if sort != "finding":
        return ()
    found = [choice for item in value.as_sequence() if (choice := context.choice(item, _FINDINGS, "a finding"))]
    if not value.as_sequence() or ("unmet" in found and len(found) > 1):
        context.note(value, value.describe(), "`unmet`, or a list of verdicts without it")
    return tuple(cast(Verdict, verdict) for verdict in dict.fromkeys(found) if verdict != "unmet")


def _subject(
    sort: CauseSort, of: str, names: tuple[str, ...], criteria: tuple[str, ...], when: Node, named: KindsOfCriteria,
    context: Context,
) -> Subject | None:  # fmt: skip
    """What the `when` of a cause looks at: the parts that the cause is on, and the facts of its work or event."""
    vocabulary = context.lookup.vocabulary
    if sort in ("work", "event"):
        known = vocabulary.work if sort == "work" else vocabulary.events
        kinds = [known[name] for name in names]
        on = tuple(dict.fromkeys(kind for work in kinds for kind in work.on))
        return Subject((of,) if of else on, facts=_shared_facts(kinds))
    if sort == "test":
        return Subject((of,) if of else tuple(dict.fromkeys(vocabulary.tests[name].on for name in names)))
    if sort == "unfit":
        return Subject(names)
    if sort == "leave":
        return Subject(("car",))
    if of:
        return Subject((of,))
    on = tuple(dict.fromkeys(named.kinds.get(criterion, "") for criterion in criteria))
    if not on or "" in on:
        context.note(when, "a `when` on parts whose kind is not said", "`of: KIND` beside it")
        return None
    return Subject(on)


def _shared_facts(kinds: list[WorkKind]) -> dict[str, Attribute]:
    """The facts that all of several works or events have; for list facts, the words they have in common."""
    shared: dict[str, Attribute] = {}
    for name, fact in kinds[0].facts.items() if kinds else ():
        if all(name in kind.facts and kind.facts[name].type == fact.type for kind in kinds):
            words = dict.fromkeys(word for kind in kinds for word in kind.facts[name].one_of)
            shared[name] = replace(fact, one_of=tuple(words))
    return shared
