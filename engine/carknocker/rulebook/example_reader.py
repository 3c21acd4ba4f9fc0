"""Reads worked examples: of a criterion, with the verdict that must follow; of a consequence, with what must follow
from its cause."""

from collections.abc import Mapping, Sequence
from typing import get_args

import msgspec

from carknocker.documents import Location, Node, some
from carknocker.quantities import Period, Quantity
from carknocker.record.value_reader import (
    BOUNDS,
    DROP,
    TEST_RESULTS,
    read_bound,
    read_drop,
    read_opinion,
    read_plain,
    read_quantity_at,
    read_words,
)
from carknocker.record.values import Value, Word
from carknocker.rulebook.clauses import AttributePath
from carknocker.rulebook.model import Cause, ConsequenceExample, Example, Following, Occasion, Verdict, name_inside
from carknocker.rulebook.occasion_reader import read_interval
from carknocker.rulebook.path_reader import read_path
from carknocker.rulebook.reading_context import Context, Subject
from carknocker.vocabulary.model import Attribute

_VERDICTS: tuple[Verdict, ...] = get_args(Verdict)


class ExampleValues(msgspec.Struct):
    """What an example gives of its part, collected while it is read."""

    values: dict[str, Value] = msgspec.field(default_factory=dict)
    ages: dict[str, Period] = msgspec.field(default_factory=dict)
    left: dict[str, Period] = msgspec.field(default_factory=dict)
    miles_ago: dict[str, Quantity] = msgspec.field(default_factory=dict)


def read_example(node: Node, subject: Subject, context: Context) -> Example | None:
    """The example that a mapping states. None, with the problems reported, if anything in it is wrong."""
    if node.kind != "mapping":
        context.note(node, node.describe(), "an example such as `{flange_thickness: 7/8 in, is: breached}`")
        return None
    before = len(context.problems)
    given = ExampleValues()
    parts: list[tuple[str, dict[str, Value]]] = []
    verdict: Verdict | None = None
    lasts = Period()
    clears: tuple[str, ...] | None = None
    times: int | None = None
    capped_at: Quantity | None = None
    for key, where, value in node.items():
        if key == "is":
            verdict = context.choice(value, _VERDICTS, "a verdict")
        elif key == "parts":
            parts = read_parts(value, subject, given, context)
        elif key == "move_lasts":
            lasts = context.period(value, "how long the move lasts") or lasts
        elif key == "clears":
            work = context.lookup.vocabulary.work
            clears = tuple(context.known(item, work, "kind of work") for item in value.as_sequence())
        elif key == "times":
            times = read_times(value, context)
        elif key == "capped_at":
            capped_at = read_quantity_at(value, "speed", context)
        else:
            read_given(key, where, value, subject, given, context)
    if node.get("is") is None:
        context.note(node, "an example without `is`", "`is: VERDICT`")
    if verdict is None or len(context.problems) != before:
        return None
    return Example(
        given.values, given.ages, tuple(parts), verdict, node.where, given.left, given.miles_ago, lasts, clears, times,
        capped_at,
    )  # fmt: skip


def read_parts(
    node: Node, subject: Subject, given: ExampleValues, context: Context
) -> list[tuple[str, dict[str, Value]]]:
    """The parts inside: for each its kind and what is given of it. How old that is goes to the ages of the example."""
    parts: list[tuple[str, dict[str, Value]]] = []
    for item in node.as_sequence():
        part = _part(item, subject, context)
        if part is not None:
            kind, own = part
            parts.append((kind, own.values))
            given.ages |= {name_inside(kind, len(parts), name): age for name, age in own.ages.items()}
    return parts


def read_times(node: Node, context: Context) -> int | None:
    """How often something falls due on the way. Reported if it is not a whole number."""
    text = context.text(node, "how often it falls due on the way")
    if text.isascii() and text.isdigit() and len(text) < 5:
        return int(text)
    if node.kind == "scalar":
        context.note(node, node.describe(), "how often it falls due on the way: a whole number")
    return None


def _part(node: Node, subject: Subject, context: Context) -> tuple[str, ExampleValues] | None:
    if node.kind != "mapping":
        context.note(node, node.describe(), "a part inside, such as `{of: spring, coil_broken: yes}`")
        return None
    vocabulary = context.lookup.vocabulary
    names = {**vocabulary.kinds, **vocabulary.spares}
    of = node.get("of")
    kind = context.known(context.required({"of": of} if of else {}, "of", node, "a part"), names, "kind of part")
    if not kind:
        return None
    spare = vocabulary.spares.get(kind)
    inner = Subject((kind,)) if kind in vocabulary.kinds else Subject((), spare=spare.facts if spare else {})
    given = ExampleValues()
    for key, where, value in node.items():
        if key != "of":
            read_given(key, where, value, inner, given, context)
    return kind, given


def read_given(key: str, where: Location, node: Node, subject: Subject, given: ExampleValues, context: Context) -> None:
    """Reads one value that an example gives: of an attribute, or of a fact of the work or event. Reported if it can't
    be."""
    path = read_path(key, where, subject, context)
    if path is None:
        return
    name, attribute = str(path), path.value_attribute
    if node.kind != "mapping":
        value = _plain(node, attribute, context)
    else:
        value = _written_out(name, node, path, subject, given, context)
    if value is not None:
        given.values[name] = value


def _plain(node: Node, attribute: Attribute, context: Context) -> Value | None:
    if attribute.type == "list of":
        return read_words(node, attribute, context)
    return read_plain(node, attribute, context)


def _written_out(
    name: str, node: Node, path: AttributePath, subject: Subject, given: ExampleValues, context: Context
) -> Value | None:
    """A value written as a mapping: a bound, a reading with its age, a test, a paper, a date by its age, a pressure
    drop."""
    attribute = path.value_attribute
    keys = node.keys()
    for form, read in ((BOUNDS, read_bound), (DROP, read_drop)):
        if any(key in form for key in keys):
            entries = context.entries(node, form, f"a value of `{attribute.name}`")
            return read(node, attribute, context) if entries is not None and len(entries) == len(keys) else None
    facts = {} if path.fact else context.lookup.facts(path.owner or _kind_of(path, subject), attribute.name)
    known = ("aged", "left", "miles_ago", "reads", "opinion", "says", "result", *facts)
    entries = context.entries(node, known, f"a value of `{attribute.name}`")
    if entries is None:
        return None
    _times(name, entries, given, context)
    for fact in facts:
        if fact in entries:
            value = read_plain(entries[fact], facts[fact], context)
            if value is not None:
                given.values[f"{name}.{fact}"] = value
    if attribute.type == "test":
        result = context.choice(entries.get("result"), TEST_RESULTS, "the result of a test")
        return Word(result or "passed")
    if attribute.type == "paper":
        return Word("yes")
    if "opinion" in entries:
        return read_opinion(entries["opinion"], entries.get("says"), node, attribute, context)
    if "reads" in entries:
        return _plain(entries["reads"], attribute, context)
    if attribute.type != "date":
        context.note(node, node.describe(), f"`{{reads: value of {attribute.name}, aged: 30 days}}`")
    return None


def _kind_of(path: AttributePath, subject: Subject) -> str:
    return path.attribute.kind or (subject.kinds[0] if subject.kinds else "")


def _times(name: str, entries: dict[str, Node], given: ExampleValues, context: Context) -> None:
    for key, target in (("aged", given.ages), ("left", given.left)):
        period = context.period(entries.get(key), key)
        if period is not None:
            target[name] = period
    miles = entries.get("miles_ago")
    if miles is not None:
        quantity = read_quantity_at(miles, "distance", context)
        if quantity is not None:
            given.miles_ago[name] = quantity


_FOLLOWINGS: tuple[Following, ...] = get_args(Following)
KEYS = (
    "is", "parts", "happened", "move_lasts", "move_runs", "answered_by", "capped_at", "times", "due_after",
)  # fmt: skip
"""The keys of an example that are neither an attribute nor a fact."""


class _ExampleResult(msgspec.Struct):
    """What an example says besides the values of its part, collected while it is read."""

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
    """The example that a mapping states. None, with the problems reported, if anything in it is wrong.

    kinds: id of a criterion → the kind of part that it is about.
    """
    if node.kind != "mapping":
        context.note(node, node.describe(), "an example such as `{frame: built-up, is: follows}`")
        return None
    before = len(context.problems)
    subject = subject_of_causes(causes, kinds, context)
    given, told = ExampleValues(), _ExampleResult()
    for key, where, value in node.items():
        if key in KEYS:
            _key(key, value, told, given, causes, subject, context)
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


def _key(
    key: str, node: Node, told: _ExampleResult, given: ExampleValues, causes: Sequence[Cause], subject: Subject,
    context: Context,
) -> None:  # fmt: skip
    match key:
        case "is":
            told.following = context.choice(node, _FOLLOWINGS, "what comes of it")
        case "parts":
            told.parts = read_parts(node, subject, given, context)
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
    """What the examples of a consequence may give: attributes of the parts that its causes are on, and facts of the
    causes."""
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
