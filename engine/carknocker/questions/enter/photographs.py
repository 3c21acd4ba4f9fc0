"""The photographs that came in a form, put on record with it: each by itself, since what is wrong with one is no reason
to lose another."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import Any

import msgspec

from carknocker.documents import InputRefused
from carknocker.documents.list_entries import list_text, with_entries
from carknocker.documents.visible_text import one_line
from carknocker.record import read_car_text
from carknocker.record.new_photographs import NewPhotograph, photograph_in_form
from carknocker.record.photographs import FOLDER


class TakenPhotographs(msgspec.Struct, frozen=True):
    """text: of the record with them. new: those that are to be written beside it. added: the lines that the record
    gets. notes: which were not taken, and why. left: the numbers of those, as the form counts them from 1."""

    text: str
    new: tuple[NewPhotograph, ...] = ()
    added: str = ""
    notes: tuple[str, ...] = ()
    left: tuple[int, ...] = ()


def with_photographs(
    text: str, record_file: str, form_file: str, given: Iterable[Mapping[str, Any]], day: date | None = None,
    is_held: Callable[[Mapping[str, Any]], bool] = lambda _: False,
) -> TakenPhotographs:  # fmt: skip
    """The text of a record with the photographs of a form, each `{sheet, part, name, on, by, data, original}`.

    day: none may be of a later one; None: not asked. is_held: of one that its sheet keeps out. Raises InputRefused
    where the record itself can't be read.
    """
    car = read_car_text(text, record_file)
    on_record = car.photographs
    new: list[NewPhotograph] = []
    notes: list[str] = []
    left: list[int] = []
    for number, one in enumerate(given, start=1):
        place = one_line(f"{form_file}, sheet {one.get('sheet', '?')}, photograph {number} ({one.get('name', '')})")[
            :200
        ]
        if is_held(one):
            left.append(number)
            notes.append(f"Not taken: {place}: its sheet is held; put the form itself right and enter it again")
            continue
        try:
            short = str(one.get("by", "")).partition(" (")[0]  # chosen from a list of the form: `RE (owner)`
            said = {**one, "by": short} if short in car.people else one
            made = photograph_in_form(said, place, [own.file for own in on_record])
            if made.is_among(on_record):
                notes.append(f"{place}: on record already")
                continue
            if day is not None and str(made.entry["on"]) > day.isoformat():
                left.append(number)
                notes.append(f"Not taken: {place}: taken on {made.entry['on']}, after {day.isoformat()}")
                continue
            more = with_entries(text, record_file, FOLDER, [made.entry])
            on_record = read_car_text(more, record_file).photographs
        except InputRefused as refused:
            left.append(number)
            problem = refused.problems[0]
            expected = f"; expected {problem.expected}" if problem.expected else ""
            notes.append(f"Not taken: {place}: {problem.found}{expected}")
            continue
        text = more
        new.append(made)
    lines = f"{FOLDER}:\n{list_text([one.entry for one in new], 2)}" if new else ""
    return TakenPhotographs(text, tuple(new), lines, tuple(notes), tuple(left))
