"""Worked examples of a consequence: how the part is, what was done or happened to it, and what comes of that."""

from collections.abc import Mapping, Sequence
from typing import get_args

import msgspec

from carknocker.documents import Node, some
from carknocker.quantities import Period, Quantity
from carknocker.record.plain_values import read_quantity_at
from carknocker.record.values import Value
from carknocker.rulebook.context import Context
from carknocker.rulebook.example_model import ConsequenceExample, Following
from carknocker.rulebook.example_reader import Given, read_given, read_parts, read_times
from carknocker.rulebook.lookup import Subject
from carknocker.rulebook.model import Cause
from carknocker.rulebook.occasion_reader import read_interval
from carknocker.rulebook.occasions import Occasion
from carknocker.vocabulary.model import Attribute

_FOLLOWINGS: tuple[Following, ...] = get_args(Following)
KEYS = (
    "is", "parts", "happened", "move_lasts", "move_runs", "answered_by", "capped_at", "times", "due_after",
)  # fmt: skip
"""The keys of an example that are no attribute and no fact."""


class _Told(msgspec.Struct):
    """What an example says beside what it gives of the part, gathered while it is read."""

    following: Following | None = None
    parts: list[tuple[str, dict[str, Value]]] = msgspec.field(default_factory=list)
    happened: str = ""
    lasts: Period = msgspec.field(default_factory=Period)
    runs: Quantity | None = None
    answered_by: Period | None = None
    capped_at: Quantity | None = None
    times: int | None = None
    due_after: Occasion | None = None


def read_consequence_example(
    node: Node, causes: Sequence[Cause], kinds: Mapping[str, str], context: Context
) -> ConsequenceExample | None:
    """The example that a mapping says; None, with the problems noted, if something in it is wrong.

    kinds: id of a criterion → the kind of part that it is about.
    """
    if node.kind != "mapping":
        context.note(node, node.describe(), "an example such as `{frame: built-up, is: follows}`")
        return None
    before = len(context.problems)
    subject = subject_of_causes(causes, kinds, context)
    given, told = Given(), _Told()
    for key, where, value in node.items():
        if key in KEYS:
            _key(key, value, told, causes, subject, context)
        else:
            read_given(key, where, value, subject, given, context)
    if node.get("is") is None:
        context.note(node, "an example without `is`", f"`is: …`, one of {some(_FOLLOWINGS)}")
    if told.following is None or len(context.problems) != before:
        return None
    return ConsequenceExample(
        given.values, given.ages, tuple(told.parts), told.following, node.where, given.left, given.miles_ago,
        told.lasts, told.happened, told.runs, told.answered_by, told.capped_at, told.times, told.due_after,
    )  # fmt: skip


def _key(key: str, node: Node, told: _Told, causes: Sequence[Cause], subject: Subject, context: Context) -> None:
    match key:
        case "is":
            told.following = context.choice(node, _FOLLOWINGS, "what comes of it")
        case "parts":
            told.parts = read_parts(node, subject, context)
        case "happened":
            names = [name for cause in causes if cause.sort in ("work", "event") for name in cause.names]
            told.happened = context.known(node, names, "work or event of the causes")
        case "move_lasts":
            told.lasts = context.period(node, "how long the move lasts") or told.lasts
        case "move_runs":
            told.runs = read_quantity_at(node, "distance", context)
        case "answered_by":
            entries = context.entries(node, ("aged",), "`answered_by`")
            told.answered_by = None if entries is None else context.period(entries.get("aged"), "aged")
        case "capped_at":
            told.capped_at = read_quantity_at(node, "speed", context)
        case "times":
            told.times = read_times(node, context)
        case _:
            told.due_after = read_interval(node, context)


def subject_of_causes(causes: Sequence[Cause], kinds: Mapping[str, str], context: Context) -> Subject:
    """What the examples of a consequence may give: attributes of the parts that its causes are on, and their facts."""
    on: dict[str, None] = {}
    facts: dict[str, Attribute] = {}
    vocabulary = context.lookup.vocabulary
    for cause in causes:
        if cause.of:
            on[cause.of] = None
        if cause.sort in ("work", "event"):
            known = vocabulary.work if cause.sort == "work" else vocabulary.events
            for name in cause.names:
                facts.update(known[name].facts)
                on.update(dict.fromkeys(() if cause.of else known[name].on))
        elif cause.sort == "test":
            on.update(dict.fromkeys(() if cause.of else (vocabulary.tests[name].on for name in cause.names)))
        elif cause.sort == "unfit":
            on.update(dict.fromkeys(cause.names))
        else:
            on.update({kind: None for name in cause.criteria if (kind := kinds.get(name, ""))})
    return Subject(tuple(on) or ("car",), facts=facts)
