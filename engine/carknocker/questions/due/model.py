"""What `due` answers, as plain data."""

from datetime import date
from typing import Literal

import msgspec

from carknocker.judgement.model import Outcome
from carknocker.page.model import Head
from carknocker.rulebook.model import Source
from carknocker.wording.duties import DuringTheMove

AHEAD = 400
"""Days from the day of the judgement that are looked at."""
LapseSort = Literal["criterion", "paper", "gauge", "person", "leave", "edition", "request"]


class Against(msgspec.Struct, frozen=True):
    """One item that keeps the car from moving on the first day that is not ready. fault: what is wrong, in one
    line. title: of its rule. verdict: of the findings; or `duty not done`, or `against the move`; empty where no
    rulebook binds the move. labels: the parts it is on. also: the sources of other rules whose faults the same test
    clears."""

    title: str
    fault: str
    verdict: str
    labels: tuple[str, ...]
    measured: str
    required: str
    reason: str
    source: Source | None
    also: tuple[Source, ...] = ()


class Lapse(msgspec.Struct, frozen=True):
    """What holds for the last time on a day. For an edition: the day before another one binds. title: what it is,
    without a day. said: the same with its parts, and with when it was read or made. sources: of the criteria that ask
    for it."""

    day: date
    sort: LapseSort
    title: str
    said: str
    labels: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()


class WearsOut(msgspec.Struct, frozen=True):
    """A rim that wears towards its limit. miles: left at the measured rate; least and most: with its uncertainty.

    earliest, latest: days at the planned miles; None without planned miles, or where no last day follows.
    """

    label: str
    title: str
    limit: str
    rate: str
    left: str
    miles: str
    since: date
    earliest: date | None
    latest: date | None
    source: Source | None


class NoRate(msgspec.Struct, frozen=True):
    """Rims whose rate of wear the record does not show, and why not."""

    reason: str
    labels: tuple[str, ...]


class MilesLimit(msgspec.Struct, frozen=True):
    """A limit of miles: how many are made since the day it counts from, how many are left, and when they are gone."""

    title: str
    labels: tuple[str, ...]
    limit: str
    made: str
    left: str
    day: date | None
    source: Source | None


class DueAnswer(msgspec.Struct, frozen=True):
    """first_bad: the first departure, on or after the day out, for which the car is not ready; None: none is found up
    to `last_tried`. outcome: of the move as planned. said: the same in capitals, as pages say it. restricted: what
    the car is restricted to on the departures for which it is ready, in few words, each once; empty where nothing
    restricts it. limits: how far ready goes where not all law is at hand; else "". miles_a_year: as planned, "" where
    none are. head: of each sheet of paper."""

    car: str
    as_of: date
    out: date
    back: date
    outcome: Outcome
    said: str
    restricted: tuple[str, ...]
    complete: bool
    limits: str
    first_bad: date | None
    first_bad_back: date | None
    last_tried: date
    because: tuple[Against, ...]
    until: date
    lapses: tuple[Lapse, ...]
    during: DuringTheMove
    miles_a_year: str
    wears: tuple[WearsOut, ...]
    no_rate: tuple[NoRate, ...]
    miles_limits: tuple[MilesLimit, ...]
    notes: tuple[str, ...]
    head: Head | None = None
