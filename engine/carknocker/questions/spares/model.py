"""What `spares` answers, as plain data."""

from datetime import date

import msgspec

from carknocker.judgement.model import Outcome
from carknocker.rulebook.model import Source
from carknocker.whatif.spare_cover import Cell, Needed, Reason
from carknocker.wording.record_lines import RecordLine


class Demand(msgspec.Struct, frozen=True):
    """A spare wheelset that a rule asks for. state: `done`, `open`, `on the way`, or `does not apply`."""

    title: str
    labels: tuple[str, ...]
    state: str
    note: str
    source: Source


class SpareWheelset(msgspec.Struct, frozen=True):
    """A spare wheelset itself. sound: no refusing finding stands on it; against: those that do. signs_of_standing: of
    long standing, that are on record and that no rule need ask about."""

    serial: str
    carried: bool
    sound: bool
    against: tuple[Reason, ...]
    signs_of_standing: tuple[str, ...]
    ageing: tuple[RecordLine, ...]
    stowage: tuple[RecordLine, ...]


class OtherSpare(msgspec.Struct, frozen=True):
    name: str
    carried: int
    shelf: int
    facts: str
    asked_by: tuple[str, ...]


class Consumable(msgspec.Struct, frozen=True):
    """A lubricant. used: put in during the year before the day, as the record has it."""

    product: str
    labels: tuple[str, ...]
    told: tuple[RecordLine, ...]
    used: tuple[str, ...]


class SparesAnswer(msgspec.Struct, frozen=True):
    """outcome: of the car as it stands. limits: how far ready goes where not all law is at hand; else "". uncovered:
    axles that no spare serves; uncovered_on_the_way: none carried."""

    car: str
    as_of: date
    out: date
    back: date
    host: str
    outcome: Outcome
    complete: bool
    limits: str
    cells: tuple[Cell, ...]
    uncovered: tuple[int, ...]
    uncovered_on_the_way: tuple[int, ...]
    needed: tuple[Needed, ...]
    demands: tuple[Demand, ...]
    wheelsets: tuple[SpareWheelset, ...]
    weights: tuple[RecordLine, ...]
    others: tuple[OtherSpare, ...]
    consumables: tuple[Consumable, ...]
