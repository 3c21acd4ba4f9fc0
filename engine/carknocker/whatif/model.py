"""What would have to be otherwise, as plain data."""

from datetime import date
from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.record.model import Part
from carknocker.record.values import Value
from carknocker.rulebook.model import Verdict
from carknocker.vocabulary.model import Attribute

Side = Literal["or more", "or less", "to", "one of", "on or after", "on or before", "until", "exactly"]


class Change(msgspec.Struct, frozen=True):
    """One value that would be otherwise, all else as it stands.

    values: the nearest that does; with `to` the nearest and the farthest that do; with `one of` every one that does.
    side: on which side of the nearest the others lie. now: what is on record. dated: what changes is the day of the
    evidence, or the last day of the paper (`until`), not what it says. short: by how much the record misses the nearest
    value: a figure, or a number of days; empty for words, and for what a go/no-go gauge showed. fact: of a test or
    paper. replaces: ids of the evidence that would be otherwise. borderline: a limit between the two at which it would
    be borderline only, since the gauge reads no finer.
    """

    part: Part
    attribute: Attribute
    fact: Attribute | None
    values: tuple[Value, ...]
    side: Side
    now: Value | None
    short: str
    dated: bool
    replaces: tuple[str, ...]
    borderline: Value | None = None


class Way(msgspec.Struct, frozen=True):
    """Changes that together do it. verdict: what the finding then is: `met`, or where something else is still wanting,
    what that leaves it."""

    changes: tuple[Change, ...]
    verdict: Verdict


class Threshold(msgspec.Struct, frozen=True):
    """The values that do, as in `Change`. near: how far away they are, to choose the nearest."""

    values: tuple[Value, ...]
    side: Side
    short: str
    near: Fraction


class Stands(msgspec.Struct, frozen=True):
    """What keeps the car from moving, and on which parts (none for what is against the move). title: of its rule, or
    what is put on record. fault: what is wrong, in one line; empty where nothing is."""

    title: str
    labels: tuple[str, ...]
    fault: str = ""


class Window(msgspec.Struct, frozen=True):
    """Departures, day by day from `first` to `last`, each with its return as many days later. open_ended: `last` is
    only the last day that was tried."""

    first: date
    last: date
    first_back: date
    last_back: date
    open_ended: bool


class Dates(msgspec.Struct, frozen=True):
    """When the car would be ready as it stands. back_by: leaving as planned, with an earlier return up to this day;
    None: no earlier return helps. earlier, later: the departures nearest to the planned one. first_tried, last_tried:
    of the departures. whatever: where no date helps, what stands on every one of these days. judged: how many days were
    judged in full."""

    back_by: date | None
    earlier: Window | None
    later: Window | None
    first_tried: date
    last_tried: date
    judged: int
    whatever: tuple[Stands, ...]

    @property
    def helps(self) -> bool:
        """Whether any date does."""
        return self.back_by is not None or self.earlier is not None or self.later is not None


class JobSaid(msgspec.Struct, frozen=True):
    """A job and the parts it stands on. serial: as in a plan's job; jobs that are alike but for the part are one."""

    work: str
    labels: tuple[str, ...]
    serial: str


class WorkSet(msgspec.Struct, frozen=True):
    """A set of work of which no job can be left out. provisos: conditions that are yet to be shown. bought: wheelsets
    that the record has not got."""

    jobs: tuple[JobSaid, ...]
    provisos: tuple[str, ...]
    bought: int


class Sets(msgspec.Struct, frozen=True):
    """The smallest sets of work, lightest first. more: the search ended before all were found. beyond: what no work on
    offer clears; the sets clear all else. left: where no set does, what the one that leaves least leaves besides.
    assumed: readings, tests and papers that the first set takes to turn out good. put: parts that are put on record
    before anything else, by container. permitted: what now refuses the car, and a written permission of the host would
    let pass."""

    sets: tuple[WorkSet, ...]
    more: bool
    beyond: tuple[Stands, ...]
    assumed: int
    left: tuple[Stands, ...] = ()
    put: tuple[Stands, ...] = ()
    permitted: tuple[Stands, ...] = ()


class Otherwise(msgspec.Struct, frozen=True):
    """What would make the car ready."""

    work: Sets
    dates: Dates
