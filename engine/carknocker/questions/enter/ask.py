"""`enter`: a filled-in form put into a car record, each sheet of it whole or not at all."""

import re
from collections.abc import Collection, Mapping
from datetime import date

import msgspec
from msgspec.structs import replace

from carknocker.cli.output import backup_name
from carknocker.documents import InputRefused, Location, Node, Problem, ProblemList, nearest, read_document, some
from carknocker.documents.visible_text import one_line
from carknocker.forms.entries import entry_named, is_of_people_and_gauges
from carknocker.judgement.record_doubts import doubts_on_record
from carknocker.questions.enter.filled_form import HEAD_LABELS, NO, TAKEN, YES, FilledSheet, at_its_place, hidden_in
from carknocker.questions.enter.form_reader import read_form
from carknocker.questions.enter.gauges_used import (
    PUT_ON_RECORD,
    WRITE_ON_THE_FORM,
    gauges_not_in_order,
    refuse_other_gauges,
)
from carknocker.questions.enter.part_text import Texts, with_answers
from carknocker.questions.enter.photographs import with_photographs
from carknocker.questions.enter.preview import preview_of
from carknocker.questions.enter.record_text import with_sheets, written
from carknocker.record import CarRecord, read_car_text, read_move_text
from carknocker.record.model import Evidence
from carknocker.record.new_photographs import NewPhotograph
from carknocker.record.possible_values import WRITE_SURE
from carknocker.record.sheets_reader import KEEP_ONE
from carknocker.vocabulary import load_vocabulary
from carknocker.wording.doubts import doubt_words
from carknocker.wording.oddities import oddity_words

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_PAST = ("on", "checked", "complete_since", "signed_on")
_WRONG_OR_LATER = (
    "correct the one that is wrong, that on record on the sheet “work, tests and papers”; or say at the head of this "
    "sheet that it was read after a job of that day"
)
_LATER = "correct the day, or name the day of entering with --as-of"


class Held(msgspec.Struct, frozen=True):
    """A sheet that was not taken, and why. title: how the form calls it, or its day and reader. known: all of it is on
    record already, so that nothing is to be put right."""

    title: str
    sheet: FilledSheet
    problems: tuple[Problem, ...]
    known: bool = False


class Entered(msgspec.Struct, frozen=True):
    """The record with the form entered. text: of the whole new record. backup: name of the file for what was there.
    sheets: of each that was taken its day, who read, and how many values it brought. added: the lines that the record
    gets. shown: what the form brings, in its own words. held: the sheets that were not taken. doubtful: what is to be
    read again at once, while the gauge is in hand. notes: what else is to be said: values that another person had
    read alike, answers that have to wait. move: the whole new text of the move, None where it stays. photographs:
    their reduced copies are to be written beside the record. photographs_left: those of the form that were not taken,
    as it counts them from 1."""

    text: str
    backup: str
    readings: int
    sheets: tuple[tuple[str, str, int], ...]
    doubtful: tuple[str, ...] = ()
    added: str = ""
    shown: tuple[str, ...] = ()
    held: tuple[Held, ...] = ()
    notes: tuple[str, ...] = ()
    move: str | None = None
    photographs: tuple[NewPhotograph, ...] = ()
    photographs_left: tuple[int, ...] = ()


def enter(
    record: str, record_file: str, form: str | bytes, form_file: str, day: date | None = None,
    move: tuple[str, str] | None = None,
) -> Entered:  # fmt: skip
    """The record that the text of a record and a form make. Each sheet of the form is taken whole or held. day: nothing
    is read after it; None: not asked. move: text and name of the file of the move that statements go into.

    Raises InputRefused, and says so in words, where no sheet can be taken: for a record or a form that can't be read, a
    form of another car, a value, part or gauge that the record does not know, a reading that disagrees with one of that
    day, a description that disagrees with one on record, a day that has not come, a form that is entered already.
    """
    before = read_car_text(record, record_file)
    filled = read_form(form, form_file)
    if filled.mark not in (before.mark, *_earlier_marks(before)):
        whose = f"a form for `{filled.mark[:40]}`" if filled.mark else "a form that does not say for which car"
        found = f"{whose}, but the record is of {before.mark}"
        where, words = filled.mark_at
        raise InputRefused((Problem(where, f"{words}{found}", "the form of this car"),))
    texts = Texts(record, record_file, *(move or (None, "")))
    now = before
    taken: list[FilledSheet] = []
    held: list[Held] = []
    notes: list[str] = list(filled.notes)
    for sheet in sorted(filled.sheets, key=_order):
        _use_short_names(sheet, now)
        title = sheet.title or f"sheet of {sheet.head.get('on', '?')}, {sheet.head.get('by', '?')}"
        notes += _settle_when_taken(sheet, now, title)
        try:
            _refuse_unknown(sheet, now)
            new_texts, full = _with(sheet, texts, form_file, day, now)
            after = read_car_text(new_texts.record, record_file)
        except InputRefused as refused:
            held.append(Held(title, sheet, refused.problems))
            continue
        same = (new_texts.record, new_texts.move) == (texts.record, texts.move)
        if same or (new_texts.move == texts.move and full.count and _known(after, now)):
            found = "every reading of the sheet is on record already, of the same day"
            known = Problem(
                sheet.where, f"{title}: {found}" if sheet.title else found, "a form that was not entered before"
            )
            held.append(Held(title, sheet, (known,), known=True))
            continue
        notes += _alike(sheet, now, after, title)
        notes += gauges_not_in_order(now, after, title)
        taken.append(full)
        texts, now = new_texts, after
    held_names = {one.sheet.name for one in held if not one.known}
    photographs = with_photographs(
        texts.record, record_file, form_file, filled.photographs, day, lambda one: one.get("sheet") in held_names
    )
    if not taken and not photographs.new:
        raise InputRefused(_all_of(held, form_file))
    signed = tuple(one for one in taken if one.count)
    notes += [problem.found for one in held if one.known for problem in one.problems]
    return Entered(
        text=photographs.text,
        backup=backup_name(record_file, record),
        readings=len(now.evidence) - len(before.evidence),
        sheets=tuple((str(one.head.get("on", "")), str(one.head.get("by", "")), one.answers) for one in taken),
        doubtful=_doubtful(now, before),
        added="".join(f"{line}\n" for line in texts.added) + (written(signed) if signed else "") + photographs.added,
        shown=preview_of(taken),
        held=tuple(one for one in held if not one.known),
        notes=(*texts.notes, *notes, *photographs.notes),
        photographs=photographs.new,
        photographs_left=photographs.left,
        move=texts.move if move is not None and texts.move != move[0] else None,
    )


def _earlier_marks(record: CarRecord) -> list[str]:
    """Those under which the car was entered by mistake: a form printed before has one of them still."""
    return [one.said for one in record.corrections if one.was is None and (one.of, one.attribute) == ("car", "mark")]


def _use_short_names(sheet: FilledSheet, record: CarRecord) -> None:
    """A person or gauge chosen from the list of a form is written by the short name alone: `G-1 (caliper)` is G-1."""
    for key, known in (("by", record.people), ("gauge", record.gauges)):
        if isinstance(sheet.head.get(key), str):
            full = {one.full_name: name for name, one in record.people.items()} if key == "by" else {}
            sheet.head[key] = _short(sheet.head[key], known, full)
    sheet.further = [
        replace(one, value=_short(one.value, record.people))
        if one.attribute == "by" and isinstance(one.value, str) and entry_named(one.part) is not None
        else one
        for one in sheet.further
    ]  # fmt: skip
    for section in sheet.readings.values():
        for parts in section.values():
            for values in (parts, *(parts.values() if isinstance(parts, dict) else ())):
                if isinstance(values, dict) and isinstance(values.get("gauge"), str):
                    values["gauge"] = _short(values["gauge"], record.gauges)


def _refuse_unknown(sheet: FilledSheet, record: CarRecord) -> None:
    """Raises InputRefused where a sheet names a person or a gauge that nobody put on record: each once, with whatever
    else was found on it."""
    unseen = (hidden_in(text, sheet.head_place(key)) for key, text in sheet.head.items())
    problems: list[Problem] = [one for one in unseen if one is not None]
    if problems:
        raise InputRefused((*problems, *(() if sheet.problems is None else sheet.problems.problems)))
    if sheet.head.get("taken", TAKEN) != TAKEN:
        where, words = sheet.head_place("taken")
        found = f"{words}`{one_line(str(sheet.head['taken']))[:40]}`"
        problems.append(Problem(where, found, f"`{YES}` or `{NO}`, or nothing"))
    by = sheet.head.get("by")
    if sheet.is_signed and isinstance(by, str) and by not in record.people:
        where, words = sheet.head_place("by")
        problems.append(_not_known(where, f"{words}the person", by, record.people))
    named = {} if not isinstance(sheet.head.get("gauge"), str) else {sheet.head["gauge"]: sheet.head_place("gauge")}
    for section, parts in sheet.readings.items():
        for position, values in parts.items():
            for attribute, value in values.items() if isinstance(values, dict) else ():
                if isinstance(value, dict) and isinstance(value.get("gauge"), str):
                    place = sheet.places.get((section, position, attribute), (sheet.where, ""))
                    named.setdefault(value["gauge"], place)
            if isinstance(values, dict) and isinstance(values.get("gauge"), str):  # of a kind that the car has once
                at = sheet.places.get((section, "", position), (sheet.where, ""))
                named.setdefault(values["gauge"], sheet.places.get((section, position, "gauge"), at))
    for gauge, at in named.items():
        if gauge not in record.gauges:
            where, words = sheet.gauges_at.get(gauge, at)
            problems.append(_not_known(where, f"{words}the gauge", gauge, record.gauges))
    if problems:
        raise InputRefused((*problems, *(() if sheet.problems is None else sheet.problems.problems)))


def _not_known(where: Location, words: str, name: str, known: Collection[str]) -> Problem:
    found = f"{words} `{name[:40]}`, which is not known"
    if not known:
        return Problem(where, found, "one on record: there is none yet", remedy=WRITE_ON_THE_FORM)
    return Problem(where, found, some(known), nearest(name, known), PUT_ON_RECORD)


def _order(sheet: FilledSheet) -> int:
    """Who read is on record first, then what was done: a sheet of the same day may have been read after it."""
    if any(is_of_people_and_gauges(one.part) for one in sheet.further):
        return 0
    return 1 if sheet.further and not sheet.is_signed else 2


def _settle_when_taken(sheet: FilledSheet, record: CarRecord, title: str) -> list[str]:
    """The answer to whether a sheet was read after what was done or happened on its day, as a record writes it: after
    the events of that day, after its jobs by their ids. Where nothing of that day is on record, that is said and
    nothing is written."""
    said = str(sheet.head.get("taken", "")).strip().casefold()
    if said not in (YES, NO):
        return []
    sheet.head["taken"] = said
    on = str(sheet.head.get("on", "")).strip()
    if sheet.head.pop("taken") == NO:
        return []
    of_the_day = [work for work in record.work if str(work.on) == on]
    if any(work.event for work in of_the_day):
        sheet.head["taken"] = TAKEN
    jobs = [work.id for work in of_the_day if not work.event]
    if jobs:
        sheet.head["after"] = jobs
    if of_the_day:
        return []
    none = f"no job or event of {on} is on record"
    return [f"{title}: read after what was done or happened on that day, but {none}: that is not written"]


def _short(text: str, known: Collection[str], full: Mapping[str, str] = {}) -> str:
    """The short name that is meant: chosen with what stands behind it, in other letters, or by the full name."""
    if text in known:
        return text
    name = text.strip().partition(" (")[0]
    alike = [one for one in known if one.casefold() == name.casefold()]
    alike += [short for one, short in full.items() if one and one.casefold() == name.casefold()]
    return name if name in known else alike[0] if len(alike) == 1 else text


def _all_of(held: list[Held], form_file: str) -> tuple[Problem, ...]:
    """The problems of a form of which nothing can be taken."""
    problems = tuple(problem for one in held for problem in one.problems)
    found = "a form with nothing that can be entered"
    return problems or (Problem(Location(form_file, 1, 1), found, "a value behind a reading"),)


def _with(
    sheet: FilledSheet, texts: Texts, form_file: str, day: date | None, before: CarRecord
) -> tuple[Texts, FilledSheet]:
    """The texts with one sheet, and the sheet with the readings of parts that it brings. Raises InputRefused with the
    places of the form."""
    told = () if sheet.problems is None else sheet.problems.problems
    told += () if day is None else _later(sheet, day)
    if told and (sheet.is_signed or not sheet.further):
        raise InputRefused(told)  # of an entry's own sheet each other entry is looked at all the same
    texts, full, not_put_in = with_answers(texts, sheet)
    problems = [*told, *(one for one in not_put_in if one not in told)]
    if full.count:
        texts = replace(texts, record=with_sheets(texts.record, texts.record_file, (full,)))
    try:
        after = read_car_text(texts.record, texts.record_file)
        if texts.move is not None:
            read_move_text(texts.move, texts.move_file)
        refuse_other_gauges(before, after)
    except InputRefused as refused:
        problems += _in_the_form(refused.problems, texts, full)
    if problems:
        raise InputRefused(tuple(problems))
    return texts, full


def _doubtful(after: CarRecord, before: CarRecord) -> tuple[str, ...]:
    """The doubts that came with the form."""
    day = after.last_day
    known = {(one.name, one.part.key, oddity_words(one.odd)) for one in doubts_on_record(before, day)}
    new = (one for one in doubts_on_record(after, day) if (one.name, one.part.key, oddity_words(one.odd)) not in known)
    return tuple(doubt_words(one) for one in new)


def _later(sheet: FilledSheet, day: date) -> tuple[Problem, ...]:
    """A reading or an entry of a day that has not come is a slip of the pen. Days are written so that their texts
    sort."""
    days = [
        (one.where, one.words, str(one.value).strip())
        for one in sheet.further
        if one.attribute in _PAST and entry_named(one.part) is not None
    ]
    if sheet.is_signed:
        days.append((*sheet.head_place("on"), str(sheet.head.get("on", "")).strip()))
    expected = f"a day up to {day.isoformat()}"
    return tuple(
        Problem(where, f"{words}{told}, a day that has not come by {day.isoformat()}", expected, remedy=_LATER)
        for where, words, told in days
        if _is_day(told) and told > day.isoformat()
    )


def _is_day(text: str) -> bool:
    """Whether it is a whole day of the calendar, as a record writes it."""
    try:
        return _DAY.fullmatch(text) is not None and bool(date.fromisoformat(text))
    except ValueError:
        return False


def _in_the_form(problems: tuple[Problem, ...], texts: Texts, sheet: FilledSheet) -> tuple[Problem, ...]:
    """The problems of texts with a new sheet, at the places of the form that they come from: nothing else is new."""
    lines: dict[int, tuple[Location, str]] = {}
    exact: dict[tuple[int, int], tuple[Location, str]] = {}
    root = read_document(texts.record, texts.record_file, ProblemList())
    listed = None if root is None else root.get("sheets")
    last = listed.nodes[-1] if listed is not None and listed.kind == "sequence" and listed.nodes else None
    if last is not None and sheet.count:
        for line in range(last.where.line, texts.record.count("\n") + 2):
            lines[line] = (sheet.where, f"{sheet.title}: " if sheet.title else "")
        for key, key_at, value in last.items() if last.kind == "mapping" else []:
            for where in (key_at, value.where) if key in HEAD_LABELS else ():
                exact[where.line, where.column] = sheet.head_place(key)
        _places_of(last, sheet, exact)
    moved: list[Problem] = []
    for problem in problems:
        at = exact.get((problem.where.line, problem.where.column)) or lines.get(problem.where.line)
        if problem.where.file != texts.record_file or at is None:
            at = (sheet.where, f"{sheet.title}: " if sheet.title else "")
        problem = at_its_place(problem, at)
        if problem.remedy == KEEP_ONE:
            problem = replace(problem, remedy=_WRONG_OR_LATER)
        if sheet.sure_at and WRITE_SURE in problem.remedy:
            said = f"look again; if it is so, say how it was made sure {sheet.sure_at}"
            problem = replace(problem, remedy=problem.remedy.replace(WRITE_SURE, said))
        moved.append(problem)
    return tuple(moved)


def _places_of(node: Node, sheet: FilledSheet, exact: dict[tuple[int, int], tuple[Location, str]]) -> None:
    """Line and column of everything in the written sheet, with its place in the form."""
    readings = node.get("readings")
    if readings is None or readings.kind != "mapping":
        return
    kinds = {kind.section: kind for kind in load_vocabulary().kinds.values()}

    def note(where: Location, place: tuple[Location, str]) -> None:
        exact.setdefault((where.line, where.column), place)

    for section, where, parts in readings.items():
        single = section in kinds and kinds[section].positions == "single"
        members = [("", where, parts)] if single else parts.items() if parts.kind == "mapping" else []
        for position, at, values in members:
            for attribute, key_at, value in values.items() if values.kind == "mapping" else []:
                place = sheet.places.get((section, position, attribute))
                if place is None:
                    continue
                of_part, of_attribute = sheet.named_at.get((section, position, attribute), (place, place))
                for found in (value.where, *_inside(value)):
                    note(found, place)
                note(key_at, of_attribute)
                for found in (at, values.where, where):
                    note(found, of_part)


def _inside(node: Node) -> list[Location]:
    if node.kind == "mapping":
        return [place for _, where, value in node.items() for place in (where, value.where, *_inside(value))]
    return [one.where for one in node.nodes] if node.kind == "sequence" else []


def _known(after: CarRecord, before: CarRecord) -> bool:
    """Whether the new record says nothing that the old one did not say of the same part, attribute, day and reader: a
    gauge that nobody had named makes it a new reading."""
    said = {_as_read(one) for one in before.evidence}
    gauges = {(_as_read(one), one.gauge and one.gauge.name) for one in before.evidence}
    return all(
        _as_read(one) in said and (one.gauge is None or (_as_read(one), one.gauge.name) in gauges)
        for one in after.evidence
    )


def _as_read(one: Evidence) -> tuple[object, ...]:
    return one.part, one.attribute, one.on, repr(one.value), one.by and one.by.name


def _alike(sheet: FilledSheet, before: CarRecord, after: CarRecord, title: str) -> list[str]:
    """What is said where two people read the same on one day, and alike: both readings are written."""
    by, on = str(sheet.head.get("by", "")), str(sheet.head.get("on", ""))
    of_others = {
        (one.part, one.attribute, repr(one.value)): one.by.name
        for one in before.evidence
        if one.by is not None and one.by.name != by and str(one.on) == on
    }
    mine = {
        (one.part, one.attribute, repr(one.value))
        for one in after.evidence
        if one.by is not None and one.by.name == by and str(one.on) == on
    }
    both = mine & of_others.keys()
    if not both:
        return []
    who = ", ".join(sorted({of_others[one] for one in both}))
    values = f"{len(both):,} value{'' if len(both) == 1 else 's'}"
    return [f"{title}: {values} read alike on that day by {who}; both readings are written"]
