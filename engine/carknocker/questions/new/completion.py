"""`new --add`: what an older record and its move lack, put into them from the answers of their owner. What stands in
them stays."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TypeVar

import msgspec
from msgspec.structs import replace

from carknocker.cli.output import backup_name
from carknocker.documents import InputRefused, Location, Problem
from carknocker.documents.list_entries import with_line_ends
from carknocker.questions.new.answers import (
    ALIKE,
    BETWEEN_NAMES,
    HOST_IS_NOT,
    Answers,
    Values,
    missing_answers,
    positions_of,
    signer_of,
)
from carknocker.questions.new.draft import (
    ALL,
    Reading,
    described_parts,
    entries_of_row,
    gauge_that_reads,
    number_of_row,
    readings_said,
    short_name,
)
from carknocker.questions.new.people_and_gauges import GAUGES, PEOPLE, entry_text
from carknocker.questions.new.record_text import flow, reading_lines, scalar
from carknocker.record import CarRecord, Move, read_car_text, read_move_text
from carknocker.record.insertion import CannotInsert, plain_text, with_entry, with_item
from carknocker.record.model import Evidence
from carknocker.record.standing import listed_now
from carknocker.record.unlisted_parts import PartsThere, fewest_there, parts_there
from carknocker.record.value_words import value_words
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.interview import Interview, Question
from carknocker.vocabulary.program_names import BEARING, MOVE_KINDS, WHEEL, WHEELSET, WHEELSET_KINDS

_INSIDE = {WHEEL: ("wheels",), BEARING: ("bearings",), WHEELSET: ()}
_NOT_ASKED = ("mark", "name", "spares")
_OF_A_MOVE = ("move", "train")
"""What a move says of itself and of its train; the legs have nothing that only some moves say."""


class Completed(msgspec.Struct, frozen=True):
    """text: of the whole new record. backup: name of the file for what was there. added: how many parts, descriptions
    and readings. left_out: what could not be put in, and has to be written by hand. overruled: answers that were not
    taken, since the record says something else. move: the whole new text of the move; None where it stays."""

    text: str
    backup: str
    added: int
    left_out: tuple[str, ...]
    overruled: tuple[str, ...] = ()
    move: str | None = None


def to_complete(interview: Interview, move: Move | None) -> Interview:
    """The interview without what only a first record is asked for. move: the one beside the record, which is asked for
    what it may say besides host, days and route."""
    screens = (
        replace(screen, asks=tuple(one for one in screen.asks if _is_asked_later(one, move)))
        for screen in interview.screens
    )
    return replace(interview, screens=tuple(one for one in screens if one.asks))


def _is_asked_later(question: Question, move: Move | None) -> bool:
    if question.key == HOST_IS_NOT:
        return move is not None and not move.circular
    if question.about[0] in MOVE_KINDS:
        return move is not None and question.about[0] in _OF_A_MOVE and not question.must
    return question.entry not in _NOT_ASKED


def answers_on_record(car: CarRecord, interview: Interview, given_in: str, move: Move | None = None) -> Answers:
    """What a record and its move say already, as answers."""
    serials = {str(one.axle): one.wheelset for one in car.fittings if one.last is None}
    by_key: dict[str, Values] = {}
    for question in interview.questions:
        if question.about[0]:
            values = dict(_on_record(question, car, serials))
            if values:
                by_key[question.key] = values
    for there in parts_there(listed_now(car)):
        if there.number is not None and there.row.number:
            told = value_words(there.number.value)
            by_key.setdefault(there.row.number, {})
            by_key[there.row.number] = {**by_key[there.row.number], there.container.position: told}
    for key, listed in ((PEOPLE, car.people), (GAUGES, car.gauges)):
        if listed:
            by_key[key] = dict.fromkeys(listed, "on record")
    if move is not None:
        by_key |= {key: {ALIKE: said} for key, said in _said_of(move, interview)}
    return Answers(by_key, given_in)


def _said_of(move: Move, interview: Interview) -> Iterator[tuple[str, str]]:
    """Key of a question → what the move says."""
    for question in interview.questions:
        kind, name = question.about
        value = {"move": move.facts, "train": move.train_facts}.get(kind, {}).get(name)
        if value is not None:
            yield question.key, value_words(value)
    if move.host_is_not:
        yield HOST_IS_NOT, BETWEEN_NAMES.join(move.host_is_not)


def complete(
    text: str, file: str, answers: Answers, interview: Interview, move: tuple[str, str] | None = None
) -> Completed:  # fmt: skip
    """The record and its move with what the answers say and they do not, and with the parts that must be there.

    answers: those on record among them; what is on record counts. move: text and name of its file. Raises InputRefused
    for a record or a move that can't be read, for answers that are missing or do not go with it, and where nothing is
    added.
    """
    before = read_car_text(text, file)
    known = answers_on_record(before, interview, file, None if move is None else read_move_text(*move))
    problems = missing_answers(answers, interview, known)
    if problems:
        raise InputRefused(problems)
    adding = _Adding(text.replace("\r\n", "\n"))
    for key in (PEOPLE, GAUGES):
        for short, line in answers.by_key.get(key, {}).items():
            if short not in known.by_key.get(key, {}):
                adding.entry((key, short), entry_text(key, line))
    _add_descriptions(adding, answers, known, interview, before)
    rows = tuple(parts_there(listed_now(_read(adding.text, file))))
    usual = interview.kinds_of_car.get(answers.said("kind_of_car"), {})
    for there in rows:
        adding.parts(there, number_of_row(there, answers, usual), answers, interview)
    _add_descriptions(adding, answers, known, interview, _read(adding.text, file))  # of the parts that are new
    _sheets(adding, rows, answers, known, interview, usual, before)
    after = _read(adding.text, file)
    statements = None if move is None else _move_completed(*move, answers, known, interview)
    if statements is not None:
        adding.left_out += statements.left_out
    count = adding.added + (0 if statements is None else statements.added)
    if not count:
        found = "a record to which the answers add nothing"
        raise InputRefused((Problem(Location(file, 1, 1), found, "answers to what it lacks"),))
    _prove(before, after)
    return Completed(
        with_line_ends(text, text.replace("\r\n", "\n"), adding.text), backup_name(file, text), count,
        tuple(adding.left_out), tuple(_overruled(answers, known)),
        None if move is None or statements is None or not statements.added else with_line_ends(
            move[0], move[0].replace("\r\n", "\n"), statements.text
        ),
    )  # fmt: skip


def _move_completed(text: str, file: str, answers: Answers, known: Answers, interview: Interview) -> "_Adding":
    """The text of a move with what is answered and it does not say."""
    adding = _Adding(text.replace("\r\n", "\n"))
    for question in interview.questions:
        said = answers.said(question.key)
        if not said or known.said(question.key):
            continue
        attribute = load_vocabulary().attribute(*question.about)
        if question.key == HOST_IS_NOT:
            names = (plain_text(one) for one in said.split(BETWEEN_NAMES) if one)
            adding.entry(("move", HOST_IS_NOT), f"[{', '.join(names)}]")
        elif question.about[0] in _OF_A_MOVE and attribute is not None:
            adding.entry(question.about, scalar(said, attribute))
    _proven(adding.text, file, read_move_text)
    return adding


def _overruled(answers: Answers, known: Answers) -> Iterator[str]:
    """The answers that contradict the record, a line each."""
    for key, said, kept in answers.overruled:
        if kept in known.by_key.get(key, {}).values() and key not in (PEOPLE, GAUGES):
            yield f"{key}: the record says `{kept}`; the answer `{said}` was not taken"


def _add_descriptions(
    adding: "_Adding", answers: Answers, known: Answers, interview: Interview, car: CarRecord
) -> None:
    """What is answered of the parts on record, and not on record."""
    for question in interview.questions:
        adding.description(question, answers, known, car)


class _Adding:
    """A text while things are added to it."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.added = 0
        self.people: dict[str, str] = {}
        self._done: set[tuple[str, ...]] = set()
        self.left_out: list[str] = []

    def entry(self, path: tuple[str, ...], value: str) -> None:
        try:
            self.text = with_entry(self.text, path, value)
            self.added += 1
        except CannotInsert as reason:
            self.left_out.append(f"{'.'.join(path)}: {value} ({reason})")

    def description(self, question: Question, answers: Answers, known: Answers, car: CarRecord) -> None:
        """What is answered and not on record of each part."""
        attribute = load_vocabulary().attribute(*question.about)
        if attribute is None or not attribute.description or question.about[0] in MOVE_KINDS:
            return
        for path, position in _paths(question, car):
            said = answers.said(question.key, position)
            whole = (*path, attribute.name)
            if said and not known.said(question.key, position) and whole not in self._done:
                self._done.add(whole)
                self.entry(whole, scalar(said, attribute))

    def parts(self, there: PartsThere, said: str, answers: Answers, interview: Interview) -> None:
        """The parts of a row that are missing on record. said: how many there are, empty where that is not known."""
        if not there.only_if or there.unlisted is None:
            return
        kind = there.kind
        if not there.row.number:
            at = there.container.position
            path = (kind.section, at) if kind.positions != "single" else (kind.section,)
            described = described_parts(kind)
            self.entry(path, flow(described, kind))
            return
        stated = there.stated
        number = stated if stated is not None else int(said) if said.isdigit() else 0 if said else fewest_there(there)
        for entry in entries_of_row(there, number - len(there.listed), answers, interview):
            self.entry((kind.section, self._free_name(kind.section)), flow(entry, kind))

    def _free_name(self, section: str) -> str:
        from ruamel.yaml import YAML

        there = YAML(typ="rt").load(self.text).get(section) or {}
        names = {str(name) for name in there}
        return next(str(number) for number in range(1, 10_000) if str(number) not in names)


def _paths(question: Question, car: CarRecord) -> Iterator[tuple[tuple[str, ...], str]]:
    """Where a description of each part stands in a record, with the position by which it is answered."""
    kind = load_vocabulary().kinds[question.about[0]]
    if kind.name in WHEELSET_KINDS:
        for fitting in car.fittings:
            if fitting.last is None:
                inside = _INSIDE.get(kind.name, (kind.section,))
                yield ("wheelsets", fitting.wheelset, *inside), str(fitting.axle)
    elif kind.positions == "single":
        yield (kind.section,), ALIKE
    else:
        axles = sum(fitting.last is None for fitting in car.fittings)
        positions = positions_of(kind.name, axles) or (ALL,)
        for position in positions:
            if position != ALL or any(part.kind == kind.name for part in car.parts):
                yield (kind.section, position), "" if position == ALL else position


def _on_record(question: Question, car: CarRecord, serials: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    kind = load_vocabulary().kinds[question.about[0]]
    if kind.name in MOVE_KINDS:
        return
    name = question.about[1]
    positions = positions_of(kind.name, len(serials))
    if not positions:
        keys = [part.key for part in car.parts if part.kind == kind.name]
        found = [_newest(car, key, name) for key in keys]
        if found and all(one is not None for one in found):
            yield ALIKE, value_words(found[0].value) if found[0] is not None else ""
        return
    for position in positions:
        key = f"{kind.name} {position}"
        if kind.name in WHEELSET_KINDS:
            serial = serials[position]
            key = f"{kind.name} {serial}" if kind.name not in (WHEEL, BEARING) else f"{kind.name} {serial} left"
        one = _newest(car, key, name)
        if one is not None:
            yield position, value_words(one.value)


def _newest(car: CarRecord, key: str, name: str) -> Evidence | None:
    found = car.by_part.get(key, {}).get(name, ())
    return found[-1] if found else None


def _sheets(
    adding: _Adding, rows: Iterable[PartsThere], answers: Answers, known: Answers, interview: Interview,
    usual: Mapping[str, str], car: CarRecord,
) -> None:  # fmt: skip
    for screen in interview.screens:
        readings = readings_said(screen, answers, known)
        if any(question.entry == "numbers" for question in screen.asks):
            readings += [
                Reading(there.container.kind, there.container.position, there.row.number, said)
                for there in rows
                if there.row.number and there.only_if and there.number is None
                and (said := number_of_row(there, answers, usual))
            ]  # fmt: skip
        if readings:
            by = _person(adding, answers.said(f"{screen.signed}_by"), _read(adding.text, car.file))
            gauges = {name: one.kind for name, one in _read(adding.text, car.file).gauges.items()}
            gauge = gauge_that_reads(readings, gauges)
            head = [f"- on: {answers.said(f'{screen.signed}_on')}", f"  by: {by}"]
            head += [f"  gauge: {gauge}"] if gauge else []
            head.append("  readings:")
            adding.text = with_item(adding.text, "sheets", [*head, *reading_lines(readings, 4)])
            adding.added += len(readings)


def _person(adding: _Adding, signed: str, car: CarRecord) -> str:
    """The short name of who signed: one on record, by its short or its full name, or a new one."""
    name, role = signer_of(signed)
    for short, person in car.people.items():
        if name in (short, person.full_name):
            return short
    if name not in adding.people:
        short = short_name(name, {*car.people, *adding.people.values()})
        adding.people[name] = short
        adding.entry(("people", short), f"{{role: {scalar(role)}, full_name: {scalar(name)}}}")
    return adding.people[name]


def _read(text: str, file: str) -> CarRecord:
    """The new record, read."""
    return _proven(text, file, read_car_text)


_File = TypeVar("_File")


def _proven(text: str, file: str, read: Callable[[str, str], _File]) -> _File:
    """A new text, read. Its problems are shown with the lines that would stand in it."""
    try:
        return read(text, file)
    except InputRefused as refused:
        lines = text.splitlines()
        raise InputRefused(tuple(
            replace(
                problem, where=replace(problem.where, file=f"{file} with the answers"),
                line_text=lines[problem.where.line - 1] if 0 < problem.where.line <= len(lines) else "",
            )
            for problem in refused.problems
        )) from refused  # fmt: skip


def _prove(before: CarRecord, after: CarRecord) -> None:
    """What the record said it still says, of the same parts."""
    said = {(one.part, one.attribute, one.on, repr(one.value)) for one in after.evidence}
    kept = all((one.part, one.attribute, one.on, repr(one.value)) in said for one in before.evidence)
    parts = {part.key for part in after.parts}
    if not (kept and {part.key for part in before.parts} <= parts and len(after.work) == len(before.work)):
        raise AssertionError("what was added changed what the record says")
