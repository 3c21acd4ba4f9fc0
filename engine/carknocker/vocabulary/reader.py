"""Reads the vocabulary's data files: tests, papers, work, events, spares and sheets beside the kinds of part."""

from collections.abc import Iterable, Iterator, Mapping
from string import Formatter
from typing import cast, get_args

from msgspec.structs import replace

from carknocker.documents import Node, ProblemList, nearest, read_document
from carknocker.documents.structure import problem_at
from carknocker.vocabulary.attribute_reader import (
    NAME,
    entries_of,
    flag_of,
    hazards_of,
    named,
    read_attributes,
    stage_of,
    text_of,
    texts_of,
    unknown_kind,
    unknown_word,
    word_of,
)
from carknocker.vocabulary.bad_news_reader import give_bad_facts, give_bad_news
from carknocker.vocabulary.gauge_reader import kind_and_attribute, read_gauge_kinds
from carknocker.vocabulary.kind_reader import KindDraft, add_numbers, check_kinds, read_kinds
from carknocker.vocabulary.mending_reader import read_marked, read_mending
from carknocker.vocabulary.model import (
    Attribute,
    Does,
    GaugeKind,
    Hazard,
    Mark,
    Mended,
    PaperKind,
    SheetLine,
    SheetName,
    SpareKind,
    TestKind,
    ValueType,
    Vocabulary,
    WorkKind,
    WorkStage,
)
from carknocker.vocabulary.range_reader import give_fact_ranges, give_ranges, read_entry_ranges
from carknocker.vocabulary.ranges import Ranges
from carknocker.vocabulary.together import Outside, Together
from carknocker.vocabulary.together_reader import read_outside, read_together

Drafts = Mapping[str, KindDraft]
_TEST_KEYS = frozenset(("attribute", "on", "whole_car", "hazards", "facts", "gauge", "no_gauge", "shows"))
_PAPER_KEYS = frozenset(("attribute", "facts"))
_EITHER_KEYS = frozenset(("on", "does", "facts"))
_EVENT_KEYS = _EITHER_KEYS | {"tells"}
_WORK_KEYS = _EITHER_KEYS | {"stage", "truck_out", "hazards"}
_DOES = frozenset(get_args(Does))
_SPARE_KEYS = frozenset(("thing", "fits", "hazards", "facts"))
# Keys that an entry of a record has before any fact.
_TEST_ENTRY = frozenset(("test", "on", "by", "result", "at", "after", "paper", "until", "gauge", "sure", "aged"))
_PAPER_ENTRY = frozenset(("paper", "on", "from", "until", "by", "left", "aged"))
_WORK_ENTRY = frozenset(
    ("id", "on", "did", "happened", "at", "by", "after", "off", "fitted", "end_for_end", "paper", "axle")
)
_SPARE_ENTRY = frozenset(("spare", "carried", "shelf", "serial"))


def read_tests(node: Node | None, drafts: Drafts, tests: dict[str, TestKind], problems: ProblemList) -> None:
    """Adds the tests of one file, each also as an attribute of the kind that it stands on."""
    for name, value in named(node, "tests", problems):
        entries = entries_of(value, _TEST_KEYS, f"the test `{name}`", problems)
        kind = text_of(entries.get("on"), "kind of part", problems)
        if kind not in drafts:
            problems.add(unknown_kind(entries.get("on", value), kind, drafts))
            continue
        facts = read_attributes(entries.get("facts"), kind, problems, reserved=_TEST_ENTRY)
        attribute = _attribute_name(name, value, entries, drafts[kind], drafts, problems)
        if _first(name, value, tests, "test", problems) and attribute:
            drafts[kind].attributes[attribute] = Attribute(
                attribute, kind, "test", name, access="shop", read_by=("shop",)
            )
            whole_car = flag_of(entries.get("whole_car"), "whole_car", problems)
            hazards = _hazards(entries, (kind,), drafts, problems)
            gauge = texts_of(entries.get("gauge"), "kinds of gauge", problems)
            tests[name] = TestKind(
                name, attribute, kind, facts, whole_car, hazards, gauge, _no_gauge(entries, facts, problems),
                _shows(entries, facts, drafts, problems),
            )  # fmt: skip


def _no_gauge(
    entries: Mapping[str, Node], facts: Mapping[str, Attribute], problems: ProblemList
) -> dict[str, tuple[str, ...]]:
    """The words of its facts with which a test is made without a gauge."""
    found: dict[str, tuple[str, ...]] = {}
    for name, node in named(entries.get("no_gauge"), "facts", problems):
        fact = facts.get(name)
        if fact is None:
            problems.add(problem_at(node, f"`{name}`, no fact of the test", "one of its facts", nearest(name, facts)))
            continue
        words = texts_of(node, "words", problems)
        for word in words:
            if word not in fact.one_of:
                problems.add(unknown_word(node, word, fact.one_of, f"word of `{name}`"))
        found[name] = words
    return found


def _shows(
    entries: Mapping[str, Node], facts: Mapping[str, Attribute], drafts: Drafts, problems: ProblemList
) -> dict[str, tuple[str, str]]:
    """Fact → kind and attribute of what it tells. Both must say the same: words of the one are words of the other."""
    found: dict[str, tuple[str, str]] = {}
    for name, node in named(entries.get("shows"), "facts", problems):
        fact = facts.get(name)
        if fact is None:
            problems.add(problem_at(node, f"`{name}`, no fact of the test", "one of its facts", nearest(name, facts)))
            continue
        kind, attribute = kind_and_attribute(node, text_of(node, "what it shows", problems), drafts, problems)
        told = drafts[kind].attributes.get(attribute) if kind in drafts else None
        if told is not None and (told.type != fact.type or not set(fact.one_of) <= set(told.one_of)):
            expected = f"a fact of the type and the words of `{attribute}`"
            problems.add(problem_at(node, f"`{name}`, which can't say what `{attribute}` says", expected))
        found[name] = (kind, attribute)
    return found


def read_papers(node: Node | None, drafts: Drafts, papers: dict[str, PaperKind], problems: ProblemList) -> None:
    """Adds the papers of one file, each also as an attribute of the car."""
    for name, value in named(node, "papers", problems):
        entries = entries_of(value, _PAPER_KEYS, f"the paper `{name}`", problems)
        car = drafts.get("car")
        if car is None:
            problems.add(unknown_kind(value, "car", drafts))
            continue
        facts = read_attributes(entries.get("facts"), "car", problems, reserved=_PAPER_ENTRY)
        attribute = _attribute_name(name, value, entries, car, drafts, problems)
        if _first(name, value, papers, "paper", problems) and attribute:
            car.attributes[attribute] = Attribute(attribute, "car", "paper", name, read_by=("owner",))
            papers[name] = PaperKind(name, attribute, facts)


def read_work(
    node: Node | None, drafts: Drafts, work: dict[str, WorkKind], events: Mapping[str, WorkKind], problems: ProblemList
) -> None:
    """Adds the work of one file. A job without a stage, of its own or of its kind of part, is refused."""
    for name, value in named(node, "work", problems):
        entries = entries_of(value, _WORK_KEYS, f"`{name}`", problems)
        entry = _work(name, value, entries, drafts, problems)
        if name in events:
            problems.add(problem_at(value, f"`{name}` is work and an event", "one of the two"))
        elif _first(name, value, work, "work", problems):
            work[name] = replace(
                entry,
                stages=_stages(name, value, entries, entry.on, drafts, problems),
                truck_out=flag_of(entries.get("truck_out"), "truck_out", problems),
                hazards=_hazards(entries, entry.on, drafts, problems),
            )


def read_events(
    node: Node | None, drafts: Drafts, events: dict[str, WorkKind], work: Mapping[str, WorkKind], problems: ProblemList
) -> None:
    """Adds the events of one file."""
    for name, value in named(node, "events", problems):
        entries = entries_of(value, _EVENT_KEYS, f"`{name}`", problems)
        entry = _work(name, value, entries, drafts, problems)
        if name in work:
            problems.add(problem_at(value, f"`{name}` is work and an event", "one of the two"))
        elif _first(name, value, events, "events", problems):
            tells = _damage(entries.get("tells"), drafts, problems)
            events[name] = replace(entry, tells=tells)
            for kind in tells.keys() - set(entry.on):
                problems.add(unknown_word(entries["tells"], kind, entry.on, "kind of part on which the event stands"))


def _work(name: str, node: Node, entries: Mapping[str, Node], drafts: Drafts, problems: ProblemList) -> WorkKind:
    """What a job and an event have alike."""
    kinds = texts_of(entries.get("on"), "kinds of part", problems)
    for kind in kinds:
        if kind not in drafts:
            problems.add(unknown_kind(entries["on"], kind, drafts))
    if not kinds:
        problems.add(problem_at(node, f"`{name}` stands on nothing", "`on: [kind, …]`"))
    does = cast(Does, word_of(entries.get("does"), _DOES, "what it does:", problems))
    facts = read_attributes(entries.get("facts"), kinds[0] if kinds else "", problems, reserved=_WORK_ENTRY)
    return WorkKind(name, kinds, does, facts)


def _stages(
    name: str, node: Node, entries: Mapping[str, Node], kinds: tuple[str, ...], drafts: Drafts, problems: ProblemList
) -> dict[str, WorkStage]:
    """The stage of a job on each kind of part that it can stand on: its own, else that of work on the kind."""
    own = stage_of(entries.get("stage"), problems)
    stages: dict[str, WorkStage] = {}
    for kind in kinds:
        stage = own or (drafts[kind].stage if kind in drafts else "")
        if stage:
            stages[kind] = stage
        elif kind in drafts and "stage" not in entries and "stage" not in drafts[kind].entries:
            expected = f"`stage: …` here or at the kind, one of {', '.join(get_args(WorkStage))}"
            problems.add(problem_at(node, f"`{name}` has no stage on `{kind}`", expected))
    return stages


def _damage(node: Node | None, drafts: Drafts, problems: ProblemList) -> dict[str, tuple[str, ...]]:
    """Kind of part → its attributes that tell damage or wear, as an event tells it."""
    found: dict[str, tuple[str, ...]] = {}
    for kind, value in named(node, "kinds of part", problems):
        if kind not in drafts:
            problems.add(unknown_kind(value, kind, drafts))
            continue
        damage = {name for name, one in drafts[kind].attributes.items() if one.defect or one.wears}
        found[kind] = texts_of(value, "attributes that tell damage or wear", problems)
        for name in set(found[kind]) - damage:
            problems.add(unknown_word(value, name, tuple(sorted(damage)), "an attribute with `defect` or `wears`"))
    return found


def _hazards(
    entries: Mapping[str, Node], kinds: tuple[str, ...], drafts: Drafts, problems: ProblemList
) -> tuple[Hazard, ...]:
    """What the entry says, else the hazards of the kinds of part that it can stand on."""
    if "hazards" in entries:
        return hazards_of(entries["hazards"], problems)
    return tuple(dict.fromkeys(hazard for kind in kinds if kind in drafts for hazard in drafts[kind].hazards))


def read_spares(node: Node | None, drafts: Drafts, spares: dict[str, SpareKind], problems: ProblemList) -> None:
    """Adds the spares of one file. A fact that only `fits` names takes its type from the part."""
    for name, value in named(node, "spares", problems):
        entries = entries_of(value, _SPARE_KEYS, f"the spare `{name}`", problems)
        thing = text_of(entries.get("thing"), "kind of part", problems)
        if thing and thing not in drafts:
            problems.add(unknown_kind(entries["thing"], thing, drafts))
        facts = read_attributes(entries.get("facts"), thing, problems, reserved=_SPARE_ENTRY)
        whole = drafts[thing].attributes if thing in drafts else {}
        fits: dict[str, Attribute] = {}
        for attribute, place in named(entries.get("fits"), "attributes that fit", problems):
            theirs = _fitted(place, drafts, problems)
            mine = facts.get(attribute) or whole.get(attribute)
            if theirs is None:
                continue
            if mine is None and thing:
                found = f"the attribute `{attribute}`, which the kind `{thing}` lacks"
                near = nearest(attribute, whole)
                problems.add(problem_at(place, found, "an attribute of the thing, or a fact of the spare", near))
            elif mine is None:
                facts[attribute] = replace(theirs, name=attribute, kind="")
            elif mine.type != theirs.type:
                problems.add(problem_at(place, f"{theirs.type}, where the spare has {mine.type}", "the same type"))
            fits[attribute] = theirs
        if _first(name, value, spares, "spare", problems):
            spares[name] = SpareKind(name, fits, thing, facts, hazards_of(entries.get("hazards"), problems))


def _fitted(place: Node, drafts: Drafts, problems: ProblemList) -> Attribute | None:
    """The attribute that a spare must equal, written `kind.attribute`."""
    kind, _, wanted = text_of(place, "kind.attribute", problems).rpartition(".")
    if kind not in drafts:
        problems.add(unknown_kind(place, kind, drafts))
        return None
    attributes = drafts[kind].attributes
    if wanted not in attributes:
        expected, near = "one of its attributes", nearest(wanted, attributes)
        problems.add(problem_at(place, f"`{kind}` has no attribute `{wanted}`", expected, near))
    return attributes.get(wanted)


def _attribute_name(
    name: str, node: Node, entries: Mapping[str, Node], kind: KindDraft, drafts: Drafts, problems: ProblemList
) -> str:
    """The attribute that a test or paper appears as; empty, with a problem, where it has none of its own."""
    written = entries.get("attribute")
    attribute = text_of(written, "attribute", problems)
    where = written or node
    # `truck.x` looks at a container and `single_car_test.device` at a fact: the words before the dot must differ.
    owners = {owner.replace(" ", "_") for owner in drafts}
    if not NAME.fullmatch(attribute) or attribute in owners:
        problems.add(problem_at(where, f"the attribute `{attribute}` of `{name}`", "a name of its own, no kind's"))
    elif attribute in kind.attributes:
        problems.add(problem_at(where, f"`{attribute}`, which `{kind.name}` has already", "a name of its own"))
    else:
        return attribute
    return ""


def _first(name: str, node: Node, known: Mapping[str, object], what: str, problems: ProblemList) -> bool:
    if name in known:
        problems.add(problem_at(node, f"the {what} `{name}` a second time", "each name once"))
    return name not in known


Lists = dict[str, tuple[SheetLine, ...]]
_SHEETS = get_args(SheetName)
# The headings of a sheet that the program fills in by their names; the others are free.
_HEADINGS: Mapping[SheetName, tuple[str, ...]] = {
    "set-out": ("car", "weights", "lifting", "truck", "axle", "wheels of the axle"),
    "order": ("wheelset there now", "bearings there now"),
    "serials": ("serial", "sort", "maker", "made", "dates"),
    "spares": (
        "age of a wheelset",
        "what speaks against a wheelset",
        "stowage of a wheelset",
        "lubricant of a bearing",
    ),
    "request": ("car", "wanted"),
}
_PLACEHOLDERS = frozenset(("part", "side", "value"))


def read_sheets(
    node: Node | None, drafts: Mapping[str, KindDraft], sheets: dict[SheetName, Lists], problems: ProblemList
) -> None:
    """Adds the lists of one file to those of the files before it. Kinds and attributes must be there."""
    for sheet, lists in named(node, "sheets", problems):
        if sheet not in _SHEETS:
            problems.add(unknown_word(lists, sheet, _SHEETS, "the sheet"))
            continue
        headings = _HEADINGS.get(cast(SheetName, sheet))
        own = sheets.setdefault(cast(SheetName, sheet), {})
        for heading, lines in named(lists, "headings", problems):
            if headings is not None and heading not in headings:
                problems.add(unknown_word(lines, heading, headings, f"the heading of `{sheet}`"))
            own[heading] = (*own.get(heading, ()), *_lines(lines, drafts, problems))


def _lines(node: Node, drafts: Mapping[str, KindDraft], problems: ProblemList) -> Iterator[SheetLine]:
    for item in node.as_sequence():
        if item.kind == "mapping":
            pairs = item.pairs()
        else:
            pairs = [(text_of(item, "kind.attribute, or that with a label", problems), item)]
        for path, value in pairs:
            kind, _, attribute = path.rpartition(".")
            label = "" if value is item else text_of(value, "label", problems)
            if kind not in drafts:
                problems.add(unknown_kind(item, kind or path, drafts))
            elif attribute not in drafts[kind].attributes:
                near = nearest(attribute, drafts[kind].attributes)
                found = f"`{kind}` has no attribute `{attribute}`"
                problems.add(problem_at(item, found, "one of its attributes", near))
            elif not _PLACEHOLDERS.issuperset(_placeholders(label)):
                expected = "`{part}`, `{side}` and `{value}`, or no braces"
                problems.add(problem_at(value, f"the label `{label}`", expected))
            else:
                yield SheetLine(kind, attribute, label)


def _placeholders(label: str) -> Iterator[str]:
    """The names in braces; for a brace that is not closed the whole label."""
    try:
        yield from (name for _, name, _, _ in Formatter().parse(label) if name is not None)
    except ValueError:
        yield label


_SECTIONS = frozenset((
    "kinds", "further_attributes", "tests", "papers", "work", "events", "spares", "roles", "own_roles", "sheets",
    "ranges", "fact_ranges", "entry_ranges", "together", "gauge_kinds", "bad_news", "bad_facts", "outside",
    "mending", "marked",
))  # fmt: skip
# What entries of a record say beside parts, and what has a range.
_ENTRY_TYPES: Mapping[str, ValueType] = {
    "people.until": "date", "gauges.checked": "date", "gauges.due": "date", "papers.from": "date",
    "papers.until": "date", "leaves.until": "date", "leaves.speed": "speed",
    "spares.carried": "count", "spares.shelf": "count", "moves_made.miles": "distance",
    "gauges.reads_to length": "length", "gauges.reads_to pressure": "pressure", "gauges.reads_to weight": "weight",
    "gauges.reads_to temperature difference": "temperature difference", "gauges.reads_to tapes": "tapes",
}  # fmt: skip


def _entry_types(papers: Iterable[str], spares: Iterable[str]) -> dict[str, ValueType]:
    """What entries say beside parts, with its type; of one kind of paper or spare under `papers.until KIND`."""
    of_kinds: dict[str, ValueType] = {f"papers.until {paper}": "date" for paper in papers}
    for spare in spares:
        of_kinds |= {f"spares.{key} {spare}": "count" for key in ("carried", "shelf")}
    return {**_ENTRY_TYPES, **of_kinds}


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
    own_roles: list[str] = []
    sheets: dict[SheetName, Lists] = {}
    for document in documents:
        read_tests(document.get("tests"), drafts, tests, problems)
        read_papers(document.get("papers"), drafts, papers, problems)
        read_work(document.get("work"), drafts, work, events, problems)
        read_events(document.get("events"), drafts, events, work, problems)
        read_spares(document.get("spares"), drafts, spares, problems)
        roles.extend(role for role in texts_of(document.get("roles"), "roles", problems) if role not in roles)
        own_roles.extend(texts_of(document.get("own_roles"), "roles", problems))
    entry_ranges: dict[str, Ranges] = {}
    together: list[Together] = []
    outside: list[Outside] = []
    gauge_kinds: dict[str, GaugeKind] = {}
    mended_by: Mended = {}
    marked: dict[str, tuple[Mark, ...]] = {}
    for document in documents:
        given = document.get("fact_ranges")
        give_fact_ranges(given, "tests", tests, problems)
        give_bad_facts(document.get("bad_facts"), tests, problems)
        give_fact_ranges(given, "papers", papers, problems)
        give_fact_ranges(given, "work", work, problems)
        give_fact_ranges(given, "events", events, problems)
        give_fact_ranges(given, "spares", spares, problems)
        entry_ranges.update(read_entry_ranges(document.get("entry_ranges"), _entry_types(papers, spares), problems))
        together.extend(read_together(document.get("together"), drafts, work, spares, problems))
        outside.extend(read_outside(document.get("outside"), drafts, problems))
        read_gauge_kinds(document.get("gauge_kinds"), drafts, gauge_kinds, problems)
        read_sheets(document.get("sheets"), drafts, sheets, problems)
        read_mending(document.get("mending"), drafts, work, mended_by, problems)
        read_marked(document.get("marked"), drafts, marked, problems)
    problems.refuse_if_any()
    kinds = {name: draft.kind(drafts) for name, draft in drafts.items()}
    return Vocabulary(
        kinds,
        tests,
        papers,
        work,
        events,
        spares,
        tuple(roles),
        sheets,
        entry_ranges,
        tuple(together),
        tuple(outside),
        gauge_kinds,
        frozenset(one for kind in gauge_kinds.values() for one in kind.reads),
        tuple(own_roles),
        mended_by,
        marked,
    )


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
    add_numbers(drafts, problems)
    check_kinds(drafts, problems)
    for document in documents:
        give_ranges(document.get("ranges"), drafts, problems)
        give_bad_news(document.get("bad_news"), drafts, problems)
    return drafts
