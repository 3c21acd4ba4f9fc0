"""What only one of two answers was made from: readings, tests, papers, work, events, spares, host's written
permissions, people, gauges, photographs, editions, the move, the day."""

from collections.abc import Hashable, Iterable, Iterator

from carknocker.judgement.model import Judgement
from carknocker.record.model import Evidence, Part, Work
from carknocker.record.part_keys import kind_of_key
from carknocker.record.photographs import photographs_by, state_of
from carknocker.rulebook.model import Edition
from carknocker.vocabulary.program_names import MOVE_KINDS, WHEELSET
from carknocker.whatif.differences.model import RecordChange, RecordChangeSort
from carknocker.wording.evidence import evidence_value, leave_words, spare_words, work_with_parts
from carknocker.wording.parts import attribute_words, part_words

_MOST_PARTS = 6
Known = dict[Hashable, RecordChange]


def record_changes(old: Judgement, new: Judgement) -> tuple[RecordChange, ...]:
    """What the new judgement was made from and the old one was not, in the order of the record."""
    known = _everything(old)
    return tuple(record_change for key, record_change in _everything(new).items() if key not in known)


def _everything(judgement: Judgement) -> Known:
    """All that a judgement rests on, keyed by what it says, not by where it is written."""
    found: Known = {}
    for source in (_day_and_move, _log, _editions, _evidence, _work, _fittings, _others, _photographs):
        for key, record_change in source(judgement):
            found.setdefault(key, record_change)
    return found


def _day_and_move(judgement: Judgement) -> Iterator[tuple[Hashable, RecordChange]]:
    move, day = judgement.move, judgement.as_of
    yield ("day", day), RecordChange("day", f"judged as of {day.isoformat()}")
    dates = f"{move.out.isoformat()} to {move.back.isoformat()}"
    said = f"move with {move.host}: {dates}, {move.train} train, {move.rides} ride"
    legs = tuple((leg.start, leg.end, leg.miles, tuple(sorted(leg.facts.items(), key=repr))) for leg in move.legs)
    facts = tuple(sorted(((*move.facts.items(), *move.train_facts.items())), key=repr))
    neighbors = repr(sorted((place, sorted(own.items(), key=repr)) for place, own in move.neighbors.items()))
    key = ("move", move.host, move.train, move.out, move.back, move.rides, legs, facts, neighbors)
    yield key, RecordChange("move", said, move.where)
    for made in judgement.situation.standing.car.moves_made:
        if made.back <= day:
            miles = f"{made.miles.amount} mi"
            told = f"move made {made.out.isoformat()} to {made.back.isoformat()}, {miles}, with {made.host}"
            yield ("made", made.out, made.back, made.miles, made.host), RecordChange("moves made", told, made.where)


def _log(judgement: Judgement) -> Iterator[tuple[Hashable, RecordChange]]:
    log = judgement.car.log
    if log is not None and log.complete_since <= judgement.as_of:
        said = f"log complete since {log.complete_since.isoformat()}"
        yield ("log", log.complete_since), RecordChange("log", said, log.where)


def _editions(judgement: Judgement) -> Iterator[tuple[Hashable, RecordChange]]:
    for edition in judgement.rulebook.editions:
        said = f"{edition.ruleset} {edition.name}, in force {edition.in_force.isoformat()}"
        yield (
            ("edition", edition.ruleset, edition.name, edition.digest),
            RecordChange("edition", said, edition.where, about=edition),
        )


def _evidence(judgement: Judgement) -> Iterator[tuple[Hashable, RecordChange]]:
    standing = judgement.situation.standing
    for key, attributes in standing.evidence.items():
        part = standing.parts.get(key)
        if part is not None and part.kind in MOVE_KINDS:
            continue
        for entries in attributes.values():
            for evidence in entries:
                yield evidence_key(evidence), evidence_change(evidence, part)


def evidence_key(evidence: Evidence) -> Hashable:
    """What identifies a piece of evidence in another record, wherever it is written there."""
    by = evidence.by.name if evidence.by is not None else ""
    gauge = evidence.gauge.name if evidence.gauge is not None else ""
    facts = tuple(sorted(evidence.facts.items(), key=repr))
    return (
        "evidence", evidence.part, evidence.attribute, evidence.sort, evidence.on, evidence.until, evidence.value, by,
        gauge, facts, evidence.after,
    )  # fmt: skip


def evidence_change(evidence: Evidence, part: Part | None) -> RecordChange:
    """A piece of evidence in words."""
    kind = part.kind if part is not None else kind_of_key(evidence.part)
    label = part_words(part) if part is not None else evidence.part
    told = [f"{attribute_words(kind, evidence.attribute)} {evidence_value(evidence)}"]
    if evidence.on is not None:
        told.append(evidence.on.isoformat())
    if evidence.by is not None:
        told.append(evidence.by.name)
    return RecordChange(evidence.sort, ", ".join(told), evidence.where, evidence.part, evidence, label)


def _work(judgement: Judgement) -> Iterator[tuple[Hashable, RecordChange]]:
    for work in judgement.situation.standing.work:
        sort: RecordChangeSort = "event" if work.event else "work"
        facts = tuple(sorted(work.facts.items(), key=repr))
        key = (sort, work.id, work.name, work.on, work.at, work.off, work.fitted, work.end_for_end, facts, work.after)
        said = work_with_parts(work) + _at(work, judgement)
        yield key, RecordChange(sort, said, work.where, work.at[0] if work.at else "", work)


def _at(work: Work, judgement: Judgement) -> str:
    """The parts that the work was done on, to tell equal work on several parts apart. A change of wheelset names its
    axle already, and a part that is the only one of its kind needs no label."""
    if work.axle is not None:
        return ""
    parts = judgement.parts
    labels = [
        part_words(parts[key]) if key in parts else key for key in work.at if key not in parts or parts[key].position
    ]
    rest = len(labels) - _MOST_PARTS
    more = f" and {rest} more" if rest > 0 else ""
    return f", at {', '.join(labels[:_MOST_PARTS])}{more}" if labels else ""


def _fittings(judgement: Judgement) -> Iterator[tuple[Hashable, RecordChange]]:
    """Which wheelset is where, for records that differ in this without a log entry."""
    for part in judgement.parts.values():
        if part.kind == WHEELSET and part.fitted and part.container is not None:
            said = f"{part.label} at {judgement.parts[part.container].label}"
            yield ("fitting", part.key, part.container), RecordChange("fitting", said, part.where, part.key)


def _others(judgement: Judgement) -> Iterator[tuple[Hashable, RecordChange]]:
    car = judgement.car
    for spare in car.spares:
        facts = tuple(sorted(spare.facts.items(), key=repr))
        key = ("spare", spare.name, spare.serial, spare.carried, spare.shelf, facts)
        yield key, RecordChange("spare", spare_words(spare), spare.where, about=spare)
    for leave in car.leaves:
        asked = (leave.speed, leave.place, leave.riders, leave.tag)
        said = ("leave", leave.id, leave.host, leave.criterion, leave.at, leave.first, leave.last, leave.purpose, asked)
        yield said, RecordChange("leave", leave_words(leave), leave.where, leave.at[0] if leave.at else "car", leave)
    for person in car.people.values():
        until = f" until {person.until.isoformat()}" if person.until is not None else ""
        accepted = f", accepted by {', '.join(person.accepted_by)}{until}" if person.accepted_by else ""
        who = ("person", person.name, person.role, person.accepted_by, person.until)
        yield who, RecordChange("person", f"{person.name} ({person.role}){accepted}", person.where, about=person)
    for gauge in car.gauges.values():
        due = f", due {gauge.due.isoformat()}" if gauge.due is not None else ""
        what = ("gauge", gauge.name, gauge.kind, gauge.reads_to, gauge.checked, gauge.due, gauge.uncertainty)
        yield what, RecordChange("gauge", f"gauge {gauge.name} ({gauge.kind}){due}", gauge.where, about=gauge)


def _photographs(judgement: Judgement) -> Iterator[tuple[Hashable, RecordChange]]:
    """Each photograph, and whether its file is as it was: one that is gone since is a change."""
    for one in photographs_by(judgement.car, judgement.as_of):
        state = state_of(one)
        now = "" if state == "on hand" else f": {state} since it was put on record"
        said = f"photograph {one.file} of {one.on.isoformat()}, {', '.join(one.of)}{now}"
        yield ("photograph", one.file, one.sha256, state), RecordChange("photograph", said, one.where)


_NEAREST = (
    "reading", "test", "paper", "description", "work", "event", "fitting", "spare", "leave", "edition", "person",
    "gauge", "move", "moves made", "log", "photograph", "day",
)  # fmt: skip


def entries(side: Iterable[RecordChange], ids: set[str]) -> Iterator[RecordChange]:
    """The work and events of one side with these ids."""
    return (one for one in side if isinstance(one.about, Work) and one.about.id in ids)


def editions(side: Iterable[RecordChange], ruleset: str) -> Iterator[RecordChange]:
    """The editions of a ruleset on one side."""
    return (one for one in side if isinstance(one.about, Edition) and one.about.ruleset == ruleset)


def nearest_first(found: Iterable[RecordChange]) -> tuple[RecordChange, ...]:
    """Each change once, those nearest to the part first. An exchange of wheelsets is left out if the work that made it
    is listed."""
    distinct: list[RecordChange] = []
    for record_change in found:
        if not any(record_change is other for other in distinct):
            distinct.append(record_change)
    if any(isinstance(record_change.about, Work) and record_change.about.fitted for record_change in distinct):
        distinct = [record_change for record_change in distinct if record_change.sort != "fitting"]
    return tuple(sorted(distinct, key=lambda record_change: _NEAREST.index(record_change.sort)))
