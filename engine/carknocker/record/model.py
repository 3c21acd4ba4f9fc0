"""The car record and the move, as read: frozen, with the place of every value."""

from collections.abc import Mapping
from datetime import date
from typing import Literal

import msgspec
from msgspec.structs import force_setattr

from carknocker.documents.node import Location
from carknocker.quantities import Quantity
from carknocker.record.values import Day, Value
from carknocker.vocabulary.model import Access

NO_END = date.max
"""The last day of what is said to have none: `until: no end`, `due: never`."""


class Person(msgspec.Struct, frozen=True):
    """Someone who reads, tests or signs. `accepted_by`: hosts that accept what he signs, `accepted_from` one day (None:
    not said) `until` another. telephone: as the record has it, else empty."""

    name: str  # the short name used in the record: `HM`
    role: str
    full_name: str
    accepted_by: tuple[str, ...]
    until: date | None
    where: Location
    accepted_from: date | None = None
    telephone: str = ""

    def is_same(self, other: "Person") -> bool:
        """Whether two entries are of one person: by the short name, or by the full name."""
        return self.name == other.name or (
            bool(self.full_name) and self.full_name.casefold().split() == other.full_name.casefold().split()
        )

    def is_named_by(self, host: str) -> bool:
        """Whether the host is among those that accept what this person signs, on whatever day."""
        wanted = host.casefold()
        return any(name.casefold() == wanted for name in self.accepted_by)

    def is_accepted(self, host: str, day: date) -> bool:
        """Whether the host accepts what this person signs on that day. Without a last day (`until`, or `until: no end`)
        nothing says that he still does."""
        begun = self.accepted_from is None or self.accepted_from <= day
        return self.is_named_by(host) and begun and self.until is not None and day <= self.until


class Gauge(msgspec.Struct, frozen=True):
    """A gauge: what it reads to, when it was last checked and is due. That it was found wrong is an event.

    uncertainty: expanded (k = 2), as the paper of its last check states it; None where none is stated. checked_before:
    earlier checks, for readings that are older than the last one.
    """

    name: str
    kind: str
    reads_to: Quantity | None
    checked: date | None
    due: date | None
    where: Location
    uncertainty: Quantity | None = None
    checked_before: tuple[date, ...] = ()

    def last_check(self, day: date) -> date | None:
        """The last check up to a day; None where none is on record."""
        checks = (*self.checked_before, self.checked)
        return max((one for one in checks if one is not None and one <= day), default=None)

    def always_in_date(self) -> "Gauge":
        """The same gauge, checked before any reading and never due: for readings that are only planned."""
        return msgspec.structs.replace(self, checked=date.min, due=NO_END)


class SureEntry(msgspec.Struct, frozen=True):
    """What a file says with `sure: WHY`, so that it is taken though it can hardly be.

    of: key of the part, or the entry in words (`the job J-1`, `the gauge G-1`). attribute: "" for an entry as a whole.
    value: None for an entry as a whole. by: short name of who signs, "" where nobody does. on: the day of the sheet.
    """

    of: str
    attribute: str
    value: Value | None
    why: str
    by: str
    where: Location
    on: date | None = None


class Evidence(msgspec.Struct, frozen=True):
    """One value of one attribute of one part, with who, when, and with what.

    part: key of the part it belongs to (readings follow the thing).
    place: key of the place where it was taken (`axle position 3`); the part itself for a place.
    on: None for a description. until: last day it holds, for papers.
    after: ids of work and events it was taken after, on the same day.
    resolution: what the gauge (or, without one, the usual tool) can resolve. gauge_uncertainty: of the gauge itself, as
    stated or, where it is not, the largest of its kind.
    facts: further facts of a test or paper (`device`, `code`).
    """

    id: str
    attribute: str
    part: str
    place: str
    value: Value
    sort: Literal["description", "reading", "test", "paper"]
    on: date | None
    where: Location
    until: date | None = None
    by: Person | None = None
    gauge: Gauge | None = None
    resolution: Quantity | None = None
    sheet: str = ""
    after: frozenset[str] = frozenset()
    facts: Mapping[str, Value] = msgspec.field(default_factory=dict)
    gauge_uncertainty: Quantity | None = None
    sure: str = ""  # why whoever signs is sure of a value that can hardly be
    ungauged: bool = False  # no gauge showed what one shows, a figure or a test: none is named, or one that can't
    photograph: str = ""  # the file of a photograph that shows the reading and is as it was
    access: tuple[Access, ...] = ()  # what its sheet says from where it was read

    @property
    def confirmed(self) -> bool:
        """Whether whoever signs is sure of it, or a photograph shows it."""
        return bool(self.sure or self.photograph)

    @property
    def uncertainty(self) -> Quantity | None:
        """How far the figure may be off: what the gauge resolves and its own uncertainty, added in full, the worst
        case; None where neither is known."""
        if self.resolution is None or self.gauge_uncertainty is None:
            return self.resolution or self.gauge_uncertainty
        return self.resolution.plus(self.gauge_uncertainty)

    @property
    def stated_uncertainty(self) -> Quantity | None:
        """The same as far as it is stated: what nobody stated makes a figure less sure, and excuses no doubt."""
        return self.uncertainty if self.gauge is None or self.gauge.uncertainty is not None else self.resolution

    @property
    def shown_from(self) -> date | None:
        """The day before which it shows nothing: that on which it was written down, and where it tells a day (wheels
        mounted, a reservoir drained), that day. None where no day matters."""
        if self.value.__class__ is Day and (self.on is None or self.on < self.value.first):
            return self.value.first
        return self.on

    @property
    def facts_by_name(self) -> Mapping[str, Value]:
        """The further facts in the order of their names, whatever order they were written in."""
        return dict(sorted(self.facts.items()))


class Work(msgspec.Struct, frozen=True):
    """A dated job, or (`event=True`) something that happened. `at`: keys of the parts it stands on.

    For a change of wheelsets: `off` came off and `fitted` went on at `axle`.
    """

    id: str
    event: bool
    name: str
    on: date
    at: tuple[str, ...]
    where: Location
    by: Person | None = None
    after: frozenset[str] = frozenset()
    facts: Mapping[str, Value] = msgspec.field(default_factory=dict)
    axle: int | None = None
    off: str = ""
    fitted: str = ""
    end_for_end: bool = False


class MoveMade(msgspec.Struct, frozen=True):
    out: date
    back: date
    miles: Quantity
    host: str
    where: Location


class LogStatement(msgspec.Struct, frozen=True):
    """Since which day the log has every event, every job and every move that was made, and who says so."""

    complete_since: date
    by: Person | None
    where: Location


class Spare(msgspec.Struct, frozen=True):
    """A spare. `serial`: of a wheelset, else empty. `carried`: how many are aboard; `shelf`: how many at home."""

    id: str
    name: str
    serial: str
    carried: int
    shelf: int
    facts: Mapping[str, Value]
    where: Location


class Leave(msgspec.Struct, frozen=True):
    """A host's written permission: for one criterion or consequence, on some parts, between two days."""

    id: str
    host: str
    criterion: str
    at: tuple[str, ...]  # part keys; empty: wherever it applies
    first: date
    last: date
    purpose: Literal["move", "repair"]
    signed_by: str
    paper: str
    where: Location
    signed_on: date | None = None
    speed: Quantity | None = None  # restrictions that the leave puts in place of the criterion
    place: str = ""
    riders: str = ""
    tag: str = ""
    unsaid: tuple[str, ...] = ()  # conditions of which it says neither what nor `none`


class Unlisted(msgspec.Struct, frozen=True):
    """What is known of parts that stand in a container without being listed.

    called: what they are together, `bolster springs`. missing: how many are not listed, None where nobody knows.
    stated: how many there are by the record, None where no number counts. number: the attribute of the container that
    says it; empty where there can be no more than one. undecided: descriptions without which nobody knows whether there
    are any, each as the key of its part and its attribute.
    """

    called: str
    number: str
    missing: int | None
    stated: int | None = None
    undecided: tuple[tuple[str, str], ...] = ()


class Part(msgspec.Struct, frozen=True):
    """A part of the car (or of the move) as it stood on one day.

    key names it for good (`wheel W-31 left`), label as a person says it (`wheel L3`).
    container: key of the part it is in; None for car, move, and what is not fitted.
    unlisted: it stands for parts that must be there and that the record does not list.
    """

    key: str
    kind: str
    position: str
    label: str
    container: str | None
    fitted: bool
    where: Location
    unlisted: Unlisted | None = None


class Fitting(msgspec.Struct, frozen=True):
    """A wheelset at an axle from one day to another (both included; None: from the start, to this day).

    began_with and ended_with: ids of the work that put it there and took it away.
    end_for_end: its left wheel stands on the right.
    """

    wheelset: str
    axle: int
    first: date | None
    last: date | None
    began_with: str
    ended_with: str
    end_for_end: bool


class Photograph(msgspec.Struct, frozen=True):
    """A photograph on record.

    file: the name of its reduced copy in the folder beside the record. of: what it shows, as the record says it; parts:
    the keys of the parts among that. reading: the attribute whose value it shows, else "". sha256: of the reduced copy,
    as it was put on record; original_sha256: of what the camera made, "" where nobody knows it. after: jobs and events
    of its day before it. found: SHA-256 of the file that lies there now, "" where there is none.
    """

    file: str
    of: tuple[str, ...]
    parts: tuple[str, ...]
    reading: str
    on: date
    by: Person | None
    sha256: str
    original_sha256: str
    after: frozenset[str]
    where: Location
    found: str = ""


class Correction(msgspec.Struct, frozen=True):
    """That something was written down wrongly: what was said of a part, and what is so.

    of, attribute: as the record says them. read_on: the day of a reading; None of a description, the mark or the name,
    which are put right in their own place. was: the reading as it was written; None where it was no reading.
    """

    of: str
    attribute: str
    said: str
    now: str
    read_on: date | None
    by: Person
    on: date
    why: str
    where: Location
    was: Evidence | None = None


class CarRecord(msgspec.Struct, frozen=True):
    """A whole car record. `parts`: as the file says the car stands now; `standing.py` gives another day.

    sure: what is said with `sure: WHY`, in the order of the file. corrections: what was put right. log: since when the
    log is complete; None where that is not said.
    by_part and last_day are worked out from the evidence once, since every judgement of the car needs them:
    part → attribute → oldest first; the latest day from which any evidence shows something.
    """

    mark: str
    name: str
    file: str
    digest: str  # sha256 of the text of the file
    parts: tuple[Part, ...]  # walking order
    axle_trucks: Mapping[int, str]  # axle number → A or B
    fittings: tuple[Fitting, ...]
    evidence: tuple[Evidence, ...]  # oldest first; same day in file order
    work: tuple[Work, ...]  # work and events, oldest first
    moves_made: tuple[MoveMade, ...]
    spares: tuple[Spare, ...]
    leaves: tuple[Leave, ...]
    people: Mapping[str, Person]
    gauges: Mapping[str, Gauge]
    sure: tuple[SureEntry, ...] = ()
    log: LogStatement | None = None
    photographs: tuple[Photograph, ...] = ()
    corrections: tuple[Correction, ...] = ()
    by_part: Mapping[str, Mapping[str, tuple[Evidence, ...]]] = {}
    last_day: date = date.min

    def __post_init__(self) -> None:
        grouped: dict[str, dict[str, list[Evidence]]] = {}
        for entry in self.evidence:
            grouped.setdefault(entry.part, {}).setdefault(entry.attribute, []).append(entry)
        by_part = {part: {name: tuple(found) for name, found in own.items()} for part, own in grouped.items()}
        force_setattr(self, "by_part", by_part)
        last_day = max((day for entry in self.evidence if (day := entry.shown_from) is not None), default=date.min)
        force_setattr(self, "last_day", last_day)

    def fittings_of(self, serial: str) -> tuple[Fitting, ...]:
        """Where a wheelset was under the car and when, as far as the log tells; none of one that never was."""
        return tuple(one for one in self.fittings if one.wheelset == serial)


class Leg(msgspec.Struct, frozen=True):
    """A leg of a move. on: the day it leaves; until: the day it arrives; None where the move does not say."""

    number: int
    start: str
    end: str
    miles: Quantity
    facts: Mapping[str, Value]
    where: Location
    on: date | None = None
    until: date | None = None


class Move(msgspec.Struct, frozen=True):
    """A planned move. `facts` are the attributes of the kind `move`; `train_facts` of the kind `train`.

    circular: False when the move says `circular: none` (no host's circular is wanted).
    host_is_not: railroads with names like the host's, which it is not.
    editions: ruleset → pinned edition.
    """

    host: str
    train: Literal["passenger", "freight", "excursion"]
    out: date
    back: date
    rides: Literal["passengers", "crew", "nobody"]
    legs: tuple[Leg, ...]
    facts: Mapping[str, Value]
    train_facts: Mapping[str, Value]
    editions: Mapping[str, str]
    circular: bool
    file: str
    digest: str
    where: Location
    neighbors: Mapping[str, Mapping[str, Value]] = msgspec.field(default_factory=dict)
    sure: tuple[SureEntry, ...] = ()
    host_is_not: tuple[str, ...] = ()
