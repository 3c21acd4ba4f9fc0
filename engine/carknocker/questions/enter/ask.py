"""`enter`: a filled-in form put into a car record, all of it or nothing."""

import re
from datetime import date

import msgspec
from msgspec.structs import replace

from carknocker.cli.output import backup_name
from carknocker.documents import InputRefused, Location, Problem
from carknocker.judgement.record_doubts import doubts_on_record
from carknocker.questions.enter.form_reader import FilledForm, read_form
from carknocker.questions.enter.record_text import with_sheets
from carknocker.record import CarRecord, read_car_text
from carknocker.wording.doubts import doubt_words
from carknocker.wording.oddities import oddity_words

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


class Entered(msgspec.Struct, frozen=True):
    """The record with the form entered. text: of the whole new record. backup: name of the file for what was there.
    sheets: for each its day, who read, and how many values it brought. doubtful: what is to be read again at once,
    while the gauge is in hand."""

    text: str
    backup: str
    readings: int
    sheets: tuple[tuple[str, str, int], ...]
    doubtful: tuple[str, ...] = ()


def enter(record: str, record_file: str, form: str, form_file: str, day: date | None = None) -> Entered:
    """The record that the text of a record and the text of a form make. day: nothing is read after it; None: not
    asked.

    Raises InputRefused, and says so in words: for a record or a form that can't be read, a form of another car, a
    value, part or gauge that the record does not know, a reading that disagrees with one of that day, a day that has
    not come, a form that is entered already.
    """
    before = read_car_text(record, record_file)
    filled = read_form(form, form_file)
    if filled.mark != before.mark:
        whose = f"a form for `{filled.mark[:40]}`" if filled.mark else "a form that does not say for which car"
        found = f"{whose}, but the record is of {before.mark}"
        raise InputRefused((Problem(Location(form_file, 1, 1), found, "the form of this car"),))
    if day is not None:
        _refuse_later(filled, day)
    text = with_sheets(record, record_file, filled.sheets)
    after = _read_back(text, record_file, form_file)
    added = len(after.evidence) - len(before.evidence)
    if _known(after, before):
        found = "a form whose every reading is on record already, of the same day"
        raise InputRefused((Problem(Location(form_file, 1, 1), found, "a form that was not entered before"),))
    sheets = tuple(
        (str(sheet.head.get("on", "")), str(sheet.head.get("by", "")), sheet.count) for sheet in filled.sheets
    )
    return Entered(text, backup_name(record_file, record), added, sheets, _doubtful(after, before))


def _doubtful(after: CarRecord, before: CarRecord) -> tuple[str, ...]:
    """The doubts that came with the form."""
    day = after.last_day
    known = {(one.name, one.part.key, oddity_words(one.odd)) for one in doubts_on_record(before, day)}
    new = (one for one in doubts_on_record(after, day) if (one.name, one.part.key, oddity_words(one.odd)) not in known)
    return tuple(doubt_words(one) for one in new)


def _refuse_later(filled: FilledForm, day: date) -> None:
    """A reading of a day that has not come is a slip of the pen. Days are written so that their texts sort."""
    later = [sheet for sheet in filled.sheets if str(sheet.head.get("on", "")).strip() > day.isoformat()]
    problems = tuple(
        Problem(
            sheet.where, f"readings of {str(sheet.head['on'])[:40]}, a day that has not come by {day.isoformat()}",
            f"a day up to {day.isoformat()}", remedy="correct the day, or name the day of entering with --as-of",
        )
        for sheet in later
        if _DAY.fullmatch(str(sheet.head["on"]).strip())
    )  # fmt: skip
    if problems:
        raise InputRefused(problems)


def _read_back(text: str, record_file: str, form_file: str) -> CarRecord:
    """The new record, read. Its problems are shown with the lines that would stand in it."""
    try:
        return read_car_text(text, record_file)
    except InputRefused as refused:
        lines = text.splitlines()
        raise InputRefused(tuple(
            replace(
                problem,
                where=replace(problem.where, file=f"{record_file} with {form_file}"),
                line_text=lines[problem.where.line - 1] if 0 < problem.where.line <= len(lines) else "",
            )
            for problem in refused.problems
        )) from refused  # fmt: skip


def _known(after: CarRecord, before: CarRecord) -> bool:
    """Whether the new record says nothing that the old one did not say of the same part, attribute and day."""
    said = {(one.part, one.attribute, one.on, repr(one.value)) for one in before.evidence}
    return {(one.part, one.attribute, one.on, repr(one.value)) for one in after.evidence} == said
