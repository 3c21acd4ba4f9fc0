"""What `worksheet` answers, as plain data."""

from datetime import date

import msgspec

STATIONS = (
    "B end", "left side", "A end", "right side", "the car as a whole", "underneath", "inside", "carried spares",
)  # fmt: skip
"""In the order in which one walks: round the car, then under it, then in it."""


class WantedReading(msgspec.Struct, frozen=True):
    """One reading to take. part: as a form names it (`wheel L3`, `brake system`). why: each reason once.

    who: who must read it, "" where anyone may. limits: what the criteria of this move ask of it.
    last: the newest value on record, counted or not.
    """

    station: str
    access: str
    part: str
    attribute: str
    label: str
    why: tuple[str, ...]
    who: str
    limits: tuple[str, ...]
    measured: str
    tool: str
    last: str


class AlsoWanted(msgspec.Struct, frozen=True):
    """What no sheet holds: a test, a paper, a description, a statement of the move. where: where it is written."""

    sort: str
    part: str
    label: str
    why: str
    where: str


class WorksheetAnswer(msgspec.Struct, frozen=True):
    """readings: in walking order. people, gauges: those on record, for the head of the sheet."""

    mark: str
    car: str
    file: str
    as_of: date
    out: date
    back: date
    host: str
    readings: tuple[WantedReading, ...]
    also: tuple[AlsoWanted, ...]
    people: tuple[str, ...]
    gauges: tuple[str, ...]
    more_may_follow: bool
