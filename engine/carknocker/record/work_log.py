"""Work and events: dated entries with ids of their own, on the parts as they stood on that day."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

import msgspec

from carknocker.documents import Node, nearest, some
from carknocker.documents.structure import keys_of
from carknocker.record.acceptances import END_AN_ACCEPTANCE
from carknocker.record.entries import EventHead, WorkHead, kind_named, read_facts, read_head
from carknocker.record.files import RecordReporter
from carknocker.record.fittings import Change
from carknocker.record.host_names import same_railroad
from carknocker.record.model import Work
from carknocker.record.part_keys import axle_position_key
from carknocker.record.parts_reader import Layout
from carknocker.record.people_and_gauges import References, what_came_before
from carknocker.record.positions import Positions, parts_named_at
from carknocker.record.values import Value, Word
from carknocker.vocabulary.model import WorkKind

# What an event is about: without that it says nothing.
_ABOUT = {"gauge": ("find a gauge wrong", "find a gauge overdue"), "person": (END_AN_ACCEPTANCE,)}


class LogEntry(msgspec.Struct, frozen=True):
    """The head of a job or an event, read before the positions of the car on its day can be known."""

    node: Node
    head: WorkHead | EventHead
    kind: WorkKind
    event: bool

    @property
    def word(self) -> str:
        return f"the {'event' if self.event else 'job'} `{self.head.name}`"


def read_log(root: Node, reporter: RecordReporter) -> tuple[list[LogEntry], dict[str, date | None]]:
    """The heads of work and events; and every id, with the day of its entry, None if the day can't be read."""
    entries: list[LogEntry] = []
    days: dict[str, date | None] = {}
    lines: dict[str, int] = {}
    for event, section in ((False, "work"), (True, "events")):
        kinds = reporter.vocabulary.events if event else reporter.vocabulary.work
        model: type[WorkHead] | type[EventHead] = EventHead if event else WorkHead
        for node in reporter.sequence(root.get(section), section):
            _take_id(node, days, lines, reporter)
            head = read_head(node, model, reporter, f"an entry of `{section}`")
            kind = kind_named(
                node, "happened" if event else "did", kinds, reporter, "event" if event else "kind of work"
            )
            if head is not None:
                days[head.id] = head.on
            if head is not None and kind is not None:
                entries.append(LogEntry(node, head, kind, event))
            elif kind is not None:  # its facts are looked at all the same, so that every problem is told at once
                read_facts(node, keys_of(model), kind.facts, reporter, f"`{kind.name}`")
    _prove_order(entries, reporter)
    return entries, days


def _prove_order(entries: Iterable[LogEntry], reporter: RecordReporter) -> None:
    ids = [entry.head.id for entry in entries]
    before = what_came_before({entry.head.id: entry.head.after for entry in entries})
    for entry in entries:
        if entry.head.id in before[entry.head.id] and ids.count(entry.head.id) == 1:
            found = f"{entry.head.id[:40]}, which by its `after` comes after itself"
            reporter.note(entry.node.get("after") or entry.node, found, "`after` an entry that came before it")


def _take_id(node: Node, days: dict[str, date | None], lines: dict[str, int], reporter: RecordReporter) -> None:
    given = node.get("id")
    if given is None or given.kind != "scalar" or not given.text.strip():
        return
    name = given.text.strip()
    if name in lines:
        found = f"the id `{name[:40]}` a second time (first on line {lines[name]})"
        reporter.note(given, found, "an id of its own for every job and event")
    lines.setdefault(name, given.where.line)
    days.setdefault(name, None)


def read_changes(
    entries: Iterable[LogEntry], before: Mapping[str, frozenset[str]], layout: Layout, reporter: RecordReporter
) -> list[Change]:
    """The jobs that change the wheelset at an axle: every position depends on them.

    before: entry → those that it says (`after`) came before it.
    """
    changes: list[Change] = []
    numbers = {str(axle): axle for axle in sorted(layout.fitted)}
    for order, entry in enumerate(entries):
        head, node = entry.head, entry.node
        if not isinstance(head, WorkHead):
            continue
        if not entry.kind.moves_wheelsets:
            for key in ("off", "fitted", "end_for_end"):
                if key in node.keys():
                    expected = "`off`, `fitted` and `end_for_end` only where a wheelset is changed"
                    reporter.note(node.key_where(key), f"`{key}` at {entry.word}", expected)
            continue
        axle = numbers.get(head.at[0].removeprefix("axle ").strip()) if len(head.at) == 1 else None
        if axle is None:
            found = f"a change of wheelset at {', '.join(head.at)[:60]}" if head.at else "a change of wheelset anywhere"
            if layout.numbered or not head.at:
                expected = f"`at: AXLE`, one axle: {', '.join(numbers) or 'it has none'}"
                reporter.note(node.get("at") or node, found, expected, lacks="" if head.at else "at")
        known = [
            _serial(word, serial, node, layout, reporter)
            for word, serial in (("off", head.off), ("fitted", head.fitted))
        ]
        if axle is not None and all(known):
            turned = head.end_for_end == "yes"
            after = before.get(head.id, frozenset())
            changes.append(Change(head.id, head.on, axle, head.off, head.fitted, turned, after, order, node.where))
    return changes


def _serial(word: str, serial: str, node: Node, layout: Layout, reporter: RecordReporter) -> bool:
    place = node.get(word) or node
    if not serial:
        reporter.note(place, f"a change of wheelset without `{word}`", f"`{word}: SERIAL`", lacks=word)
        return False
    return reporter.is_known(place, serial, layout.wheelsets, "wheelset")


def read_work(
    entries: Iterable[LogEntry],
    axles: Mapping[str, int],
    positions: Positions,
    references: References,
    hosts: Sequence[str],
    reporter: RecordReporter,
) -> tuple[Work, ...]:
    """Work and events, oldest first; of one day, an entry that came after another follows it; otherwise the order is
    that of the file.

    axles: id of a change of wheelset → its axle. hosts: all that the record names.
    """
    work: list[Work] = []
    for entry in entries:
        head, node = entry.head, entry.node
        facts = read_facts(node, keys_of(type(head)), entry.kind.facts, reporter, entry.word)
        _prove_names(entry, facts, references, reporter)
        _prove_host(entry, facts, hosts, reporter)
        if head.paper:
            facts["paper"] = Word(head.paper)
        after = references.after(head.after, head.on, node, reporter) | references.before.get(head.id, frozenset())
        is_job = isinstance(head, WorkHead)
        work.append(
            Work(
                id=head.id,
                event=entry.event,
                name=head.name,
                on=head.on,
                at=_at(entry, after, positions, reporter),
                where=node.where,
                by=references.person(head.by, node, reporter),
                after=after - {head.id},
                facts=facts,
                axle=axles.get(head.id) if is_job else None,
                off=head.off if isinstance(head, WorkHead) else "",
                fitted=head.fitted if isinstance(head, WorkHead) else "",
                end_for_end=isinstance(head, WorkHead) and head.end_for_end == "yes",
            )
        )
    return tuple(sorted(work, key=lambda one: (one.on, len(one.after))))


def _at(entry: LogEntry, after: frozenset[str], positions: Positions, reporter: RecordReporter) -> tuple[str, ...]:
    if entry.kind.moves_wheelsets:
        return tuple(axle_position_key(at.removeprefix("axle ").strip()) for at in entry.head.at)
    return parts_named_at(entry.node, entry.head.at, entry.kind, entry.head.on, after, positions, reporter)


def _prove_names(
    entry: LogEntry, facts: Mapping[str, Value], references: References, reporter: RecordReporter
) -> None:  # fmt: skip
    """Reports an event about a gauge or a person that the record does not have, and one that does not say which."""
    node = entry.node
    for fact, known in (("gauge", references.gauges), ("person", references.people)):
        value = facts.get(fact)
        if value is None and entry.kind.does in _ABOUT.get(fact, ()):
            reporter.note(
                node, f"{entry.word} without `{fact}`", f"`{fact}: …`: which {fact} of the record", lacks=fact
            )
        if isinstance(value, Word):
            reporter.is_known(node.get(fact) or node, value.text, known, fact)


def _prove_host(
    entry: LogEntry, facts: Mapping[str, Value], hosts: Sequence[str], reporter: RecordReporter
) -> None:  # fmt: skip
    """Reports an acceptance that ended with a host that the record names nowhere else: a slip in the name would leave
    the person accepted."""
    host = facts.get("host")
    if entry.kind.does != END_AN_ACCEPTANCE or not isinstance(host, Word):
        return
    if not any(same_railroad(host.text, one) for one in hosts):
        expected = f"one of {some(hosts)}" if hosts else "a host of the record: it names none"
        reporter.note(
            entry.node.get("host") or entry.node, f"the host `{host.text[:60]}`, which is not known", expected,
            nearest(host.text, hosts), "write it as in `accepted_by`, or leave it out: then it ended for every host",
        )  # fmt: skip
