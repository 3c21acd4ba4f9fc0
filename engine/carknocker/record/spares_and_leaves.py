"""Spares, and a host's written permissions."""

from datetime import date

from carknocker.documents import Node
from carknocker.documents.structure import keys_of
from carknocker.quantities import Quantity
from carknocker.record.entries import (
    NO_CONDITION,
    LeaveConditions,
    LeaveEntry,
    SpareHead,
    kind_named,
    read_entry,
)
from carknocker.record.files import RecordReporter
from carknocker.record.model import Leave, Spare
from carknocker.record.parts_reader import Layout
from carknocker.record.positions import Positions
from carknocker.record.possible_values import refuse_impossible_entry
from carknocker.record.unlisted_parts import unlisted_key
from carknocker.vocabulary.model import Kind, SpareKind
from carknocker.vocabulary.program_names import WHEELSET


def read_spares(section: Node | None, layout: Layout, reporter: RecordReporter) -> tuple[Spare, ...]:
    """Spares; the wheelsets that `where` says are carried or on the shelf come after those that are listed."""
    spares: list[Spare] = []
    for number, node in enumerate(reporter.sequence(section, "spares"), start=1):
        kind = kind_named(node, "spare", reporter.vocabulary.spares, reporter, "spare")
        what = f"the spare `{kind.name}`" if kind is not None else "a spare"
        head, facts = read_entry(node, SpareHead, reporter, what, None if kind is None else kind.facts)
        if head is None or kind is None:
            continue
        if kind.thing:
            _refuse_whole_thing(kind, head.serial, node, layout, reporter)
            continue
        if not head.sure:
            refuse_impossible_entry("spares.carried", head.carried, node.get("carried") or node, reporter)
            refuse_impossible_entry("spares.shelf", head.shelf, node.get("shelf") or node, reporter)
        spares.append(Spare(f"spare {number}", head.spare, head.serial, head.carried, head.shelf, facts, node.where))
    for serial, where in layout.spare_serials().items():
        carried = where == "carried"
        place = layout.wheelsets[serial].where
        spares.append(Spare(serial, WHEELSET, serial, int(carried), int(not carried), {}, place))
    return tuple(spares)


def _refuse_whole_thing(kind: SpareKind, serial: str, node: Node, layout: Layout, reporter: RecordReporter) -> None:
    """A spare wheelset has readings and papers of its own, so that it is written once, under `wheelsets:`."""
    place = node.get("serial") or node
    remedy = f"write `where: carried` or `where: on the shelf` at the {kind.thing}, and take this entry out"
    stated = layout.stated.get(serial, "")
    if stated == "fitted":
        reporter.note(
            place, f"{serial} as a spare, but it is fitted", "fitted, or a spare", remedy="take this entry out"
        )
    elif serial and not stated:
        reporter.is_known(place, serial, layout.wheelsets, kind.thing)
    else:
        reporter.note(
            place, f"a spare {kind.thing} in this list", f"a spare {kind.thing} under `{kind.thing}s:`", "", remedy
        )


def read_leaves(section: Node | None, positions: Positions, reporter: RecordReporter) -> tuple[Leave, ...]:
    """A host's written permissions. `at` names parts (`wheel L3`, or `L3` with `of: wheel`), those that are not
    on record by what they are in (`B` with `of: spring`); without it one is for wherever its criterion applies."""
    leaves: list[Leave] = []
    lines: dict[str, int] = {}
    for node in reporter.sequence(section, "leaves"):
        entry, _ = read_entry(node, LeaveEntry, reporter, "a leave")
        if entry is None:
            continue
        if entry.id in lines:
            found = f"the id `{entry.id[:40]}` a second time (first on line {lines[entry.id]})"
            reporter.note(node.get("id") or node, found, "an id of its own for every leave")
        lines.setdefault(entry.id, node.where.line)
        if entry.until < entry.from_day:
            reporter.note(node.get("until") or node, "a last day before the first", "`until` on or after `from`")
        elif not entry.sure:
            since = {"from": (entry.from_day, entry.from_day)}
            refuse_impossible_entry("leaves.until", entry.until, node.get("until") or node, reporter, since)
        given = entry.leaves or LeaveConditions()
        if isinstance(given.speed, Quantity) and not entry.sure:
            asked = node.get("leaves")
            place = (None if asked is None else asked.get("speed")) or node
            refuse_impossible_entry("leaves.speed", given.speed, place, reporter)
        leaves.append(
            Leave(
                id=entry.id,
                host=entry.host,
                criterion=entry.criterion,
                at=_parts(entry, node, positions, reporter),
                first=entry.from_day,
                last=entry.until,
                purpose=entry.for_what,
                signed_by=entry.signed_by,
                paper=entry.paper,
                where=node.where,
                signed_on=entry.signed_on,
                speed=given.speed if isinstance(given.speed, Quantity) else None,
                place=_said(given.place),
                riders=_said(given.riders),
                tag=_said(given.tag),
                unsaid=tuple(name for name in keys_of(LeaveConditions) if not getattr(given, name)),
            )
        )
    return tuple(leaves)


def _said(condition: str | None) -> str:
    return "" if condition is None or condition == NO_CONDITION else condition


def _parts(entry: LeaveEntry, node: Node, positions: Positions, reporter: RecordReporter) -> tuple[str, ...]:
    kinds = reporter.vocabulary.kinds
    if entry.of and not reporter.is_known(node.get("of") or node, entry.of, kinds, "kind of part"):
        return ()
    place = node.get("at") or node
    found: list[str] = []
    for text in entry.at:
        kind = kinds[entry.of] if entry.of else positions.kind_named_in(text)
        if kind is None:
            reporter.note(place, f"the part `{text[:40]}`", "a kind of part and its position: `wheel L3`, `truck B`")
        elif entry.of and (unlisted := _not_on_record(kind, text, place, positions, reporter, entry.from_day)):
            found.extend(unlisted)
        else:
            found.extend(part for part, _ in positions.find(kind, text, place, entry.from_day))
    return tuple(dict.fromkeys(found))


def _not_on_record(
    kind: Kind, text: str, place: Node, positions: Positions, reporter: RecordReporter, day: date
) -> tuple[str, ...]:
    """The parts of a kind that are not on record, by the container that a text names in place of one of them."""
    if kind.positions != "listed" or positions.knows(kind, text, day):
        return ()
    for container in dict.fromkeys(row.container for row in kind.stands if row.number):
        holder = reporter.vocabulary.kinds[container]
        keys = [container] if text == container else []
        if not keys and positions.knows(holder, text, day):
            keys = [key for key, _ in positions.find(holder, text, place, day)]
        if keys:
            rows = [row for row in kind.stands if row.number and row.container == container]
            return tuple(unlisted_key(kind, row, key) for key in keys for row in rows)
    return ()
