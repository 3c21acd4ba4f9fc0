"""`photograph`: a photograph put on record, proven by reading the record with it."""

from collections.abc import Sequence

import msgspec
from msgspec.structs import replace

from carknocker.documents import InputRefused, Location, Problem
from carknocker.documents.list_entries import list_text, with_entries
from carknocker.record import read_car_text
from carknocker.record.new_photographs import NewPhotograph, new_photograph
from carknocker.record.photographs import FOLDER


class Photographed(msgspec.Struct, frozen=True):
    """text: of the whole new record. new: what is to be kept beside it. added: the lines that the record gets."""

    text: str
    new: NewPhotograph
    added: str


def photographed(
    record: str, record_file: str, content: bytes, file: str, of: Sequence[str], on: str, by: str, *,
    reading: str = "", after: Sequence[str] = (),
) -> Photographed:  # fmt: skip
    """The record with a photograph of some things, taken on a day by somebody. file: its name, for messages.

    Raises InputRefused for a record that can't be read, for what is no photograph, for one that is on record already,
    and for what the record does not know.
    """
    known = read_car_text(record, record_file).photographs
    names = [one.file for one in known]
    new = new_photograph(content, file, [one.strip() for one in of], on, by, names, reading=reading, after=after)
    start = Location(file, 1, 1)
    if new.is_among(known):
        found = "a photograph that is on record already"
        raise InputRefused((Problem(start, found, "another one, or another `--of`"),))
    changed = with_entries(record, record_file, FOLDER, [new.entry])
    try:
        read_car_text(changed, record_file)
    except InputRefused as refused:  # what is wrong now is wrong with what was asked for, which has no line yet
        raise InputRefused(tuple(replace(one, where=start, line_text="") for one in refused.problems)) from None
    return Photographed(changed, new, f"{FOLDER}:\n{list_text([new.entry], 2)}")
