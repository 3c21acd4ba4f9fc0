"""The car record: one YAML file, read whole or refused whole with every problem in it."""

import hashlib
from collections.abc import Iterable
from datetime import date
from pathlib import Path

from carknocker.documents import Location, Node, nearest, some
from carknocker.record.acceptances import Acceptances, hosts_named
from carknocker.record.contradictions import refuse_contradictions
from carknocker.record.corrections import with_corrections
from carknocker.record.corrections_in_place import CorrectedInPlace
from carknocker.record.descriptions import read_descriptions
from carknocker.record.entries import LogHead, read_entry
from carknocker.record.figures_of_tests import readings_of_tests
from carknocker.record.files import CAR_FORMAT, RecordReporter, read_file, read_whole
from carknocker.record.fittings import prove_mounted, prove_one_place, replay
from carknocker.record.model import CarRecord, Evidence, Fitting, LogStatement, MoveMade, SureEntry, Work
from carknocker.record.move_reader import prove_moves, read_moves_made
from carknocker.record.part_keys import serial_of
from carknocker.record.parts_reader import Layout, build_parts, read_layout
from carknocker.record.people_and_gauges import References, read_gauges, read_people, what_came_before
from carknocker.record.photographs import FOLDER, read_photographs
from carknocker.record.positions import Positions
from carknocker.record.possible_days import refuse_before_built
from carknocker.record.sheets_reader import read_sheets, without_repeats
from carknocker.record.spares_and_leaves import read_leaves, read_spares
from carknocker.record.standing import listed_now
from carknocker.record.tests_and_papers import read_papers, read_tests
from carknocker.record.told_by_events import told_by_events
from carknocker.record.unlisted_parts import prove_numbers
from carknocker.record.values import Bound, Day, Word, Words
from carknocker.record.work_log import LogEntry, read_changes, read_log, read_work
from carknocker.vocabulary.program_names import ACTS_ON, BUILT_ON, MOVE_KINDS

_GENERAL = (
    "format", "car", "people", "gauges", "sheets", "events", "moves_made", "tests", "work", "spares", "papers",
    "leaves", "log", "photographs", "corrections", "notes",
)  # fmt: skip


def read_car(path: Path) -> CarRecord:
    """The car record in a file. Raises InputRefused with every problem found."""
    return read_file(path, read_car_text)


def read_car_text(text: str, file: str) -> CarRecord:
    """The car record that `text` says; `file` names it. Raises InputRefused with every problem found."""
    return read_whole(text, file, CAR_FORMAT, lambda root, reporter: _read(root, text, file, reporter))


def _read(root: Node, text: str, file: str, reporter: RecordReporter) -> CarRecord:
    sections = [kind.section for kind in reporter.vocabulary.kinds.values() if kind.name not in MOVE_KINDS]
    for key in root.keys():
        if key not in _GENERAL and key not in sections:
            reporter.unknown_section(root, key, (*_GENERAL, *sections), "a car record")
    # Where a wheelset was on a day decides whose a reading is: so the log of work comes first.
    before_layout = len(reporter.problems)
    layout = read_layout(root, reporter)
    of_layout = len(reporter.problems) - before_layout
    log, days = read_log(root, reporter)
    before_history = len(reporter.problems)
    fittings = _history(layout, log, root, reporter)
    proven = not of_layout and len(reporter.problems) == before_history and _log_is_whole(log, root)
    parts = build_parts(root, layout, {one.axle: one for one in fittings if one.last is None}, reporter)
    positions = Positions(parts, layout.wheelsets, fittings, reporter, numbered=layout.numbered)
    before = what_came_before({entry.head.id: entry.head.after for entry in log}, fittings)
    people, gauges = read_people(root.get("people"), reporter), read_gauges(root.get("gauges"), reporter)
    events = frozenset(entry.head.id for entry in log if entry.event)
    references = References(people, gauges, days, before, events)
    readings = read_sheets(root.get("sheets"), positions, references, reporter, proven=proven)
    changes = {fitting.began_with: fitting.axle for fitting in fittings}
    work = read_work(log, changes, positions, references, hosts_named(root, people), reporter)
    acceptances = Acceptances(work)
    corrected = with_corrections(root.get("corrections"), readings, positions, references, acceptances, reporter)
    tests = read_tests(root.get("tests"), positions, references, reporter)
    of_tests = readings_of_tests(tests, parts, reporter)
    evidence = [
        *read_descriptions(root, layout, positions, reporter),
        *told_by_events(work, positions, reporter.vocabulary),
        *without_repeats([*corrected.readings, *of_tests], reporter),
        *tests,
        *read_papers(root.get("papers"), references, reporter),
    ]
    if proven:
        prove_mounted(fittings, positions.met, evidence, work, reporter)
    moves = read_moves_made(root.get("moves_made"), reporter)
    prove_moves(fittings, moves, reporter)
    _prove_days(evidence, work, moves, reporter)
    mark, name = _names(root, reporter)
    if corrected.corrections:
        in_place = CorrectedInPlace(root, people, acceptances, reporter)
        in_place.prove_entries(corrected.corrections)
        in_place.prove_descriptions(corrected.corrections, evidence, (mark, name), work, positions)
    car = CarRecord(
        mark=mark,
        name=name,
        file=file,
        digest=hashlib.sha256(text.encode()).hexdigest(),
        parts=parts,
        axle_trucks=dict(sorted(layout.axle_trucks.items())),
        fittings=fittings,
        evidence=_oldest_first(evidence),
        work=work,
        moves_made=moves,
        spares=read_spares(root.get("spares"), layout, reporter),
        leaves=read_leaves(root.get("leaves"), positions, reporter),
        people=references.people,
        gauges=references.gauges,
        log=_log_statement(root.get("log"), references, reporter),
        sure=_sure_entries(evidence, reporter),
        photographs=read_photographs(root.get(FOLDER), positions, references, evidence, reporter),
        corrections=corrected.corrections,
    )
    if proven:
        _prove_hand_brakes(evidence, layout, reporter)
        refuse_contradictions(car.parts, car.by_part, car.work, car.spares, reporter)
    if not len(reporter.problems):
        prove_numbers(listed_now(car), reporter)
    return car


def _log_statement(node: Node | None, references: References, reporter: RecordReporter) -> LogStatement | None:
    """Since when the log is complete, and who says so; None where the record does not say."""
    if node is None or node.is_empty:
        return None
    entry, _ = read_entry(node, LogHead, reporter, "the log")
    if entry is None:
        return None
    return LogStatement(entry.complete_since, references.person(entry.by, node, reporter), node.where)


def _prove_hand_brakes(evidence: Iterable[Evidence], layout: Layout, reporter: RecordReporter) -> None:
    """Reports an axle on which a hand brake is said to act, and which the car has not got."""
    for one in evidence:
        if one.attribute == ACTS_ON and isinstance(one.value, Words):
            axles = [str(number) for number in sorted(layout.fitted)]
            for axle in one.value.texts:
                if axle not in axles:
                    found = f"axle `{axle[:20]}` in `{one.attribute}` of {one.part}, which the car has not got"
                    reporter.note(one.where, found, f"one of {some(axles)}", nearest(axle, axles), "correct the number")


def _sure_entries(evidence: Iterable[Evidence], reporter: RecordReporter) -> tuple[SureEntry, ...]:
    """What the record says with `sure`, once for each place in the file."""
    found = {one.where: one for one in reporter.sure}
    for one in evidence:
        if one.sure:
            signer = one.by.name if one.by is not None else ""
            found.setdefault(
                one.where, SureEntry(one.part, one.attribute, one.value, one.sure, signer, one.where, one.on)
            )
    return tuple(found[where] for where in sorted(found))


def _history(layout: Layout, log: list[LogEntry], root: Node, reporter: RecordReporter) -> tuple[Fitting, ...]:
    before = what_came_before({entry.head.id: entry.head.after for entry in log})
    changes = read_changes(log, before, layout, reporter)
    fittings = replay(layout.fitted, changes, reporter)
    prove_one_place(fittings, {change.id: change.where for change in changes}, root.where, reporter)
    return fittings


def _log_is_whole(log: Iterable[LogEntry], root: Node) -> bool:
    """Whether every entry of `work` could be read: one that couldn't may be a change of wheelset."""
    work = root.get("work")
    return work is None or work.is_empty or sum(not entry.event for entry in log) == len(work.as_sequence())


def _names(root: Node, reporter: RecordReporter) -> tuple[str, str]:
    car = root.get("car")
    if car is not None and car.kind != "mapping" and not car.is_empty:
        return "", ""  # its description is told of
    if car is None or car.is_empty:
        reporter.note(car or root, "a record without `car`", "`car:` with `mark`, `name` and what describes the car")
        return "", ""
    mark = reporter.text(car.get("mark"), "mark")
    if not mark:
        reporter.note(car, "a car without `mark`", "`mark: …`: reporting mark and number")
    return mark, reporter.text(car.get("name"), "name")


def _oldest_first(evidence: Iterable[Evidence]) -> tuple[Evidence, ...]:
    """Descriptions first. Of one day the one that counts comes last: what was taken after work, a figure after the
    bounds of a go/no-go gauge, a failed test after a passed one, but for one that is written after it and says
    (`sure`) what failed it. Otherwise the order is that of the file."""

    def order(one: Evidence) -> tuple[date, int, bool, bool]:
        return (
            _day_of(one),
            len(one.after),
            not isinstance(one.value, Bound),
            one.value == Word("failed") or (one.sort == "test" and bool(one.sure)),
        )

    return tuple(sorted(evidence, key=order))


def _day_of(evidence: Evidence) -> date:
    start = evidence.facts.get("from")
    return evidence.on or (start.first if isinstance(start, Day) else date.min)


def _prove_days(
    evidence: Iterable[Evidence], work: Iterable[Work], moves: Iterable[MoveMade], reporter: RecordReporter
) -> None:
    """Nothing was done with the car, or read of its places, before it was built. A wheelset may be older than the car.

    A sheet with a wrong day is reported once.
    """
    built = next((one.value for one in evidence if one.part == "car" and one.attribute == BUILT_ON), None)
    if not isinstance(built, Day):
        return
    refuse_before_built(evidence, built, reporter)
    dated: list[tuple[str, date, Location]] = [(one.id, one.on, one.where) for one in work]
    dated += [("a move made", one.out, one.where) for one in moves]
    dated += [
        (f"a {one.sort}", one.on, one.where) for one in evidence if one.on is not None and serial_of(one.part) is None
    ]
    told: set[tuple[str, date]] = set()
    for what, on, where in dated:
        if on < built.first and (what, on) not in told:
            told.add((what, on))
            found = f"{what} of {on.isoformat()}, before the car was built ({built.written})"
            remedy = "correct the day, or `built_on` of the car"
            reporter.note(where, found, f"a day from {built.first.isoformat()} on", remedy=remedy)
