"""A sheet that goes to strangers, as plain data: sections of labelled lines, with what is missing said as missing."""

from datetime import date

import msgspec

from carknocker.questions.told import Told


class SheetSection(msgspec.Struct, frozen=True):
    """notes: sentences under the lines."""

    heading: str
    lines: tuple[Told, ...]
    notes: tuple[str, ...] = ()


class SheetAnswer(msgspec.Struct, frozen=True):
    """for_whom: the line under the title."""

    title: str
    for_whom: str
    as_of: date
    sections: tuple[SheetSection, ...]

    @property
    def missing(self) -> int:
        """How many lines the record does not fill."""
        return sum(not line.known for section in self.sections for line in section.lines)
