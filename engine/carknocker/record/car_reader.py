"""The car record: one YAML file, read whole or refused whole with every problem in it."""

import hashlib
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from carknocker.documents import InputRefused, Location, Node, ProblemList, load_text, nearest, read_document
from carknocker.quantities import QuantityError, read_quantity
from carknocker.quantities.units import DIMENSIONS
from carknocker.record.heads import read_facts, read_head
from carknocker.record.history import prove, prove_moves, replay
from carknocker.record.log_reader import (
    entry_places,
    read_changes,
    read_leaves,
    read_moves_made,
    read_papers,
    read_spares,
    read_tests,
    read_work,
)  # fmt: skip
from carknocker.record.model import CarRecord, Evidence, Gauge, Person, Spare
from carknocker.record.notes import Notes
from carknocker.record.parts_reader import OUTSIDE_THE_CAR, build_parts, read_descriptions, read_layout
from carknocker.record.positions import Positions
from carknocker.record.sheets_reader import Named, read_sheets
from carknocker.record.structures import GaugeEntry, PersonEntry
from carknocker.record.values import Day
from carknocker.vocabulary import load_vocabulary

FORMAT = "carknocker-car/1"
_GENERAL = (
    "format", "car", "people", "gauges", "sheets", "events", "moves_made", "tests", "work", "spares", "papers",
    "leaves", "notes",
)  # fmt: skip


def read_car(path: Path) -> CarRecord:
    """The car record in a file. Raises InputRefused with every problem found."""
    problems = ProblemList()
    text = load_text(path, problems)
    if text is None:
        raise InputRefused(problems.problems)
    return read_car_text(text, str(path))


def read_car_text(text: str, file: str) -> CarRecord:
    """The car record that `text` says; `file` names it. Raises InputRefused with every problem found."""
    problems = ProblemList()
    root = read_document(text, file, problems)
    notes = Notes(load_vocabulary(), problems)
    car = None if root is None else _read(root, text, file, notes)
    problems.refuse_if_any()
    if car is None:
        raise AssertionError("a record is refused without a problem")
    return car


def check_format(root: Node, wanted: str, notes: Notes) -> bool:
    """Whether a document says that it is of the wanted format; noted if not."""
    if root.kind != "mapping":
        notes.note(root, root.describe(), f"a mapping that begins with `format: {wanted}`")
        return False
    given = root.get("format")
    if given is None or notes.text(given, "format") != wanted:
        found = "no `format`" if given is None else given.describe()
        notes.note(given or root, found, f"`format: {wanted}`", nearest(given.text, [wanted]) if given else "")
        return False
    return True


def _read(root: Node, text: str, file: str, notes: Notes) -> CarRecord | None:
    if not check_format(root, FORMAT, notes):
        return None
    sections = [kind.section for kind in notes.vocabulary.kinds.values() if kind.name not in OUTSIDE_THE_CAR]
    for key in root.keys():
        if key not in _GENERAL and key not in sections:
            notes.unknown_key(root, key, (*_GENERAL, *sections), "a car record")
    layout = read_layout(root, notes)
    places = entry_places(root, notes)
    changes = read_changes(root.get("work"), layout.fitted, layout.wheelsets, notes)
    fittings = replay(layout.fitted, changes, notes)
    prove(fittings, {change.id: change.where for change in changes}, root.where, notes)
    now = {fitting.axle: fitting for fitting in fittings if fitting.last is None}
    parts = build_parts(root, layout, now, notes)
    positions = Positions(parts, layout.wheelsets, fittings, notes)
    named = Named(_people(root.get("people"), notes), _gauges(root.get("gauges"), notes), places)
    evidence = read_descriptions(root, layout, positions, notes)
    evidence += read_sheets(root.get("sheets"), positions, named, notes)
    evidence += read_tests(root.get("tests"), positions, named, notes)
    evidence += read_papers(root.get("papers"), named, notes)
    work = read_work(root, changes, positions, named, notes)
    moves = read_moves_made(root.get("moves_made"), notes)
    prove_moves(fittings, moves, notes)
    fitted = [serial for serial, _ in layout.fitted.values()]
    spares = read_spares(root.get("spares"), fitted, layout.stated, notes)
    spares += _spare_wheelsets(layout.stated, layout.wheelsets)
    _prove_days(evidence, [(one.id, one.on, one.where) for one in work], notes)
    mark, name = _names(root, notes)
    return CarRecord(
        mark=mark, name=name, file=file, digest=hashlib.sha256(text.encode()).hexdigest(), parts=parts,
        axle_trucks=dict(sorted(layout.axle_trucks.items())), fittings=fittings, evidence=_oldest_first(evidence),
        work=tuple(work), moves_made=moves, spares=tuple(spares),
        leaves=read_leaves(root.get("leaves"), positions, notes), people=named.people, gauges=named.gauges,
    )  # fmt: skip


def _names(root: Node, notes: Notes) -> tuple[str, str]:
    car = root.get("car")
    if car is None or car.kind != "mapping":
        notes.note(car or root, "a record without `car`", "`car:` with `mark`, `name` and what describes the car")
        return "", ""
    mark = notes.text(car.get("mark"), "mark")
    if not mark:
        notes.note(car, "a car without `mark`", "`mark: …`: reporting mark and number")
    return mark, notes.text(car.get("name"), "name")


def _people(section: Node | None, notes: Notes) -> Mapping[str, Person]:
    people: dict[str, Person] = {}
    for name, node in notes.mapping(section, "people"):
        entry = read_head(node, PersonEntry, notes, "a person")
        if entry is None:
            continue
        read_facts(node, PersonEntry, {}, notes, "a person")
        roles = {role: None for role in notes.vocabulary.roles}
        notes.known(node.get("role") or node, entry.role, roles, "role")
        people[name] = Person(name, entry.role, entry.full_name, entry.accepted_by, entry.until, node.where)
    return people


def _gauges(section: Node | None, notes: Notes) -> Mapping[str, Gauge]:
    gauges: dict[str, Gauge] = {}
    for name, node in notes.mapping(section, "gauges"):
        entry = read_head(node, GaugeEntry, notes, "a gauge")
        if entry is None:
            continue
        read_facts(node, GaugeEntry, {}, notes, "a gauge")
        reads_to = None
        if entry.reads_to:
            for dimension in DIMENSIONS:
                try:
                    reads_to = read_quantity(entry.reads_to, dimension)
                    break
                except QuantityError:
                    continue
            if reads_to is None or reads_to.n == 0:
                found = f"`{entry.reads_to[:40]}`"
                notes.note(
                    node.get("reads_to") or node, found, "what the gauge reads to, with its unit: `1/16 in`, `1 psi`"
                )
        gauges[name] = Gauge(name, entry.kind, reads_to, entry.checked, entry.due, node.where)
    return gauges


def _spare_wheelsets(stated: Mapping[str, str], wheelsets: Mapping[str, Node]) -> list[Spare]:
    return [
        Spare(serial, "wheelset", serial, int(where == "carried"), int(where != "carried"), {}, wheelsets[serial].where)
        for serial, where in stated.items()
        if where in ("carried", "on the shelf")
    ]


def _oldest_first(evidence: list[Evidence]) -> tuple[Evidence, ...]:
    """Descriptions first; on one day what was taken after work comes last, else as the file has it."""
    return tuple(sorted(evidence, key=lambda one: (one.on or date.min, bool(one.after))))


def _prove_days(evidence: list[Evidence], work: list[tuple[str, date, Location]], notes: Notes) -> None:
    """Nothing was read or done before the car was built."""
    built = next(
        (
            one.value.first
            for one in evidence
            if one.part == "car" and one.attribute == "built_on" and isinstance(one.value, Day)
        ),
        None,
    )
    if built is None:
        return
    dated = work + [(f"a {one.sort}", one.on, one.where) for one in evidence if one.on is not None]
    for what, on, where in dated:
        if on < built:
            notes.note(where, f"{what} of {on.isoformat()}, before the car was built", f"a day from {built.year} on")
