"""The dated log: work, events, tests, papers, moves made; and spares and leaves."""

from collections.abc import Iterable
from datetime import date

from carknocker.documents import Location, Node
from carknocker.record.heads import read_facts, read_head
from carknocker.record.history import Change
from carknocker.record.model import Evidence, Leave, MoveMade, Spare, Work
from carknocker.record.notes import Notes
from carknocker.record.positions import Positions
from carknocker.record.sheets_reader import Named
from carknocker.record.structures import (
    EventHead,
    LeaveEntry,
    MoveMadeEntry,
    PaperHead,
    SpareHead,
    TestHead,
    WorkHead,
)  # fmt: skip
from carknocker.record.values import Day, Value, Word
from carknocker.vocabulary.model import WorkKind


def entry_places(root: Node, notes: Notes) -> dict[str, Location]:
    """The ids of work and events, each with its place. Notes an id that stands twice."""
    places: dict[str, Location] = {}
    for section in ("work", "events"):
        for node in notes.sequence(root.get(section), section):
            given = node.get("id") if node.kind == "mapping" else None
            if given is None:
                continue
            name = notes.text(given, "id")
            if name in places:
                found = f"the id `{name[:40]}` a second time (first on line {places[name].line})"
                notes.note(given, found, "an id of its own for every job and event")
            places[name] = given.where
    return places


def read_changes(section: Node | None, axles: Iterable[int], serials: Iterable[str], notes: Notes) -> list[Change]:
    """The jobs that change the wheelset at an axle. They are read first: every position depends on them."""
    changes: list[Change] = []
    known = {serial: None for serial in serials}
    numbers = {str(axle): axle for axle in axles}
    for order, node in enumerate(notes.sequence(section, "work")):
        did = node.get("did") if node.kind == "mapping" else None
        kind = notes.vocabulary.work.get(did.text.strip()) if did is not None and did.kind == "scalar" else None
        if kind is None or not kind.moves_wheelsets:
            continue
        head = read_head(node, WorkHead, notes, "a job")
        if head is None:
            continue
        axle = numbers.get(head.at[0].removeprefix("axle ").strip()) if len(head.at) == 1 else None
        if axle is None:
            expected = f"`at: AXLE`, one of {', '.join(numbers)}" if numbers else "`at: AXLE`"
            notes.note(node.get("at") or node, f"a change of wheelset {_at_words(head.at)}", expected)
        for word, serial in (("off", head.off), ("fitted", head.fitted)):
            place = node.get(word) or node
            if not serial:
                notes.note(place, f"a change of wheelset without `{word}`", f"`{word}: SERIAL`")
            else:
                notes.known(place, serial, known, "wheelset")
        if axle is not None and head.off and head.fitted:
            turned = head.end_for_end == "yes"
            after = frozenset(head.after)
            changes.append(Change(head.id, head.on, axle, head.off, head.fitted, turned, after, order, node.where))
    return changes


def _at_words(at: tuple[str, ...]) -> str:
    return f"at {', '.join(at)}" if at else "without `at`"


def read_work(root: Node, changes: Iterable[Change], positions: Positions, named: Named, notes: Notes) -> list[Work]:
    """Work and events, oldest first; on one day, in the order of the file."""
    by_id = {change.id: change for change in changes}
    work: list[Work] = []
    for node in notes.sequence(root.get("work"), "work"):
        head = read_head(node, WorkHead, notes, "a job")
        if head is not None and notes.known(node.get("did") or node, head.did, notes.vocabulary.work, "kind of work"):
            kind = notes.vocabulary.work[head.did]
            facts = read_facts(node, WorkHead, kind.facts, notes, f"the job `{head.did}`")
            after = named.after(head.after, node, notes)
            at = _at(node, head.at, kind, head.on, after, positions, notes)
            by = named.person(head.by, node, notes)
            change = by_id.get(head.id)
            work.append(
                Work(
                    head.id,
                    False,
                    head.did,
                    head.on,
                    at,
                    node.where,
                    by,
                    after,
                    facts,
                    None if change is None else change.axle,
                    head.off,
                    head.fitted,
                    head.end_for_end == "yes",
                )  # fmt: skip
            )
    for node in notes.sequence(root.get("events"), "events"):
        event = read_head(node, EventHead, notes, "an event")
        place = node.get("happened") or node
        if event is not None and notes.known(place, event.happened, notes.vocabulary.events, "kind of event"):
            kind = notes.vocabulary.events[event.happened]
            facts = read_facts(node, EventHead, kind.facts, notes, f"the event `{event.happened}`")
            after = named.after(event.after, node, notes)
            at = _at(node, event.at, kind, event.on, after, positions, notes)
            by = named.person(event.by, node, notes)
            work.append(Work(event.id, True, event.happened, event.on, at, node.where, by, after, facts))
    return sorted(work, key=lambda one: one.on)


def _at(
    node: Node, at: tuple[str, ...], kind: WorkKind, on: date, after: frozenset[str], positions: Positions, notes: Notes
) -> tuple[str, ...]:
    """The parts that a job or an event stands on, on that day."""
    kinds = [notes.vocabulary.kinds[name] for name in kind.on]
    place = node.get("at") or node
    if not at:
        single = next((one for one in kinds if one.positions == "single"), None)
        if single is not None and positions.knows(single, single.name, on):
            return (single.name,)
        if kinds:
            notes.note(place, f"`{kind.name}` without `at`", f"`at: …`: which {' or '.join(kind.on)}")
        return ()
    found: list[str] = []
    for text in at:
        fitting = next((one for one in kinds if positions.knows(one, text, on, after)), kinds[0] if kinds else None)
        if fitting is not None:
            found.extend(part for part, _ in positions.find(fitting, text, place, on, after))
    return tuple(dict.fromkeys(found))


def read_tests(section: Node | None, positions: Positions, named: Named, notes: Notes) -> list[Evidence]:
    """Tests as evidence of the part they stand on."""
    tests: list[Evidence] = []
    vocabulary = notes.vocabulary
    for number, node in enumerate(notes.sequence(section, "tests"), start=1):
        head = read_head(node, TestHead, notes, "a test")
        if head is None or not notes.known(node.get("test") or node, head.test, vocabulary.tests, "kind of test"):
            continue
        kind = vocabulary.tests[head.test]
        facts = read_facts(node, TestHead, kind.facts, notes, f"the test `{head.test}`")
        after = named.after(head.after, node, notes)
        as_work = WorkKind(head.test, (kind.on,))
        parts = _at(node, head.at, as_work, head.on, after, positions, notes)
        by = named.person(head.by, node, notes)
        gauge = named.gauge(head.gauge, node.get("gauge") or node, notes)
        if head.paper:
            facts["paper"] = Word(head.paper)
        for part in parts:
            place = positions.place_of(vocabulary.kinds[kind.on], part, head.on, after)
            tests.append(
                Evidence(
                    f"{part} {kind.attribute}, {head.on.isoformat()}, test {number}",
                    kind.attribute,
                    part,
                    place,
                    Word(head.result),
                    "test",
                    head.on,
                    node.where,
                    head.until,
                    by,
                    gauge,
                    None,
                    head.paper,
                    after,
                    facts,
                )  # fmt: skip
            )
    return tests


def read_papers(section: Node | None, named: Named, notes: Notes) -> list[Evidence]:
    """Papers as evidence of the car. A paper is there from the day it was signed, if that is given; the days between
    which it holds are its facts."""
    papers: list[Evidence] = []
    for number, node in enumerate(notes.sequence(section, "papers"), start=1):
        head = read_head(node, PaperHead, notes, "a paper")
        if head is None or not notes.known(node.get("paper") or node, head.paper, notes.vocabulary.papers, "paper"):
            continue
        kind = notes.vocabulary.papers[head.paper]
        facts = read_facts(node, PaperHead, kind.facts, notes, f"the paper `{head.paper}`")
        if head.from_day is not None:
            facts["from"] = Day(head.from_day, head.from_day, head.from_day.isoformat())
        if head.from_day is not None and head.until is not None and head.until < head.from_day:
            notes.note(node.get("until") or node, "a last day before the first", "`until` on or after `from`")
        by = named.person(head.by, node, notes)
        papers.append(
            Evidence(
                f"car {kind.attribute}, paper {number}",
                kind.attribute,
                "car",
                "car",
                Word("yes"),
                "paper",
                head.on,
                node.where,
                head.until,
                by,
                facts=facts,
            )  # fmt: skip
        )
    return papers


def read_moves_made(section: Node | None, notes: Notes) -> tuple[MoveMade, ...]:
    moves: list[MoveMade] = []
    for node in notes.sequence(section, "moves_made"):
        entry = read_head(node, MoveMadeEntry, notes, "a move made")
        if entry is None:
            continue
        read_facts(node, MoveMadeEntry, {}, notes, "a move made")
        if entry.to < entry.from_day:
            notes.note(node.get("to") or node, "a move that ends before it begins", "`to` on or after `from`")
        moves.append(MoveMade(entry.from_day, entry.to, entry.miles, entry.host, node.where))
    return tuple(sorted(moves, key=lambda one: (one.out, one.back)))


def read_spares(section: Node | None, fitted: Iterable[str], stated: "dict[str, str]", notes: Notes) -> list[Spare]:
    """Spares, those wheelsets included that the record says are carried or on the shelf."""
    spares: list[Spare] = []
    on_car = set(fitted)
    for number, node in enumerate(notes.sequence(section, "spares"), start=1):
        head = read_head(node, SpareHead, notes, "a spare")
        if head is None or not notes.known(node.get("spare") or node, head.spare, notes.vocabulary.spares, "spare"):
            continue
        kind = notes.vocabulary.spares[head.spare]
        facts: dict[str, Value] = read_facts(node, SpareHead, kind.facts, notes, f"the spare `{head.spare}`")
        if kind.thing and not head.serial:
            notes.note(node, f"a {head.spare} without `serial`", "`serial: …`, one of those under `wheelsets:`")
        elif head.serial in on_car:
            notes.note(node.get("serial") or node, f"{head.serial} as a spare, but it is fitted", "fitted or a spare")
        elif kind.thing and stated.get(head.serial, "gone") != "gone":
            where = f"`where: {stated[head.serial]}` there makes it a spare"
            notes.note(node, f"{head.serial} a second time: {where}", "one of the two", remedy="take this entry out")
        spares.append(Spare(f"spare {number}", head.spare, head.serial, head.carried, head.shelf, facts, node.where))
    return spares


def read_leaves(section: Node | None, positions: Positions, notes: Notes) -> tuple[Leave, ...]:
    """A host's written leaves. `of` says what kind of part `at` names; without `at` it is for the whole car."""
    leaves: list[Leave] = []
    for node in notes.sequence(section, "leaves"):
        entry = read_head(node, LeaveEntry, notes, "a leave")
        if entry is None:
            continue
        read_facts(node, LeaveEntry, {}, notes, "a leave")
        parts: list[str] = []
        if entry.at:
            of = node.get("of") or node
            if not entry.of:
                notes.note(of, "a leave with `at` and without `of`", "`of: KIND OF PART`, so that `at` can be told")
            elif notes.known(of, entry.of, notes.vocabulary.kinds, "kind of part"):
                kind = notes.vocabulary.kinds[entry.of]
                for text in entry.at:
                    found = positions.find(kind, text, node.get("at") or node, entry.from_day)
                    parts.extend(part for part, _ in found)
        if entry.until < entry.from_day:
            notes.note(node.get("until") or node, "a last day before the first", "`until` on or after `from`")
        given = entry.leaves
        leaves.append(
            Leave(
                entry.id,
                entry.host,
                entry.criterion,
                tuple(parts),
                entry.from_day,
                entry.until,
                entry.for_what,
                entry.signed_by,
                entry.paper,
                node.where,
                given.speed,
                given.place,
                given.riders,
                given.tag,
            )  # fmt: skip
        )
    return tuple(leaves)
