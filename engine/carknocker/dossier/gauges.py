"""The gauges on record: what each reads to, when it was checked and is due, whether it was good on the days on which it
read, and whether it is on the day of the judgement."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Literal

import msgspec

from carknocker.judgement.evidence import needs_check, why_unchecked
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.set_aside import (
    GaugeCheckedLater,
    GaugeDueUnsaid,
    GaugeFoundWrong,
    GaugeNeverChecked,
    GaugeOverdue,
    SetAside,
)
from carknocker.quantities import write_quantity
from carknocker.record.model import NO_END, Evidence, Gauge
from carknocker.record.values import Word
from carknocker.vocabulary import does_of
from carknocker.wording.sources import FilePlaces, lines_of

GaugeState = Literal["good", "needs no check", "overdue", "found wrong", "not on file"]
"""On a day. `found wrong`: no check since has shown it good again. `not on file`: nothing says when
it was checked, or until when that is good."""


class GaugeOnRecord(msgspec.Struct, frozen=True):
    """One gauge. reads_to, uncertainty: with the unit, empty where the record names none. due: `never` where it is said
    to be due never. state: on the day of the judgement. last_read: the newest day on which something was read with it.
    when_read: the worst state on the days of its readings; both None where nothing was. readings, not_counted: how many
    of those on record were taken with it, and how many of them do not count.
    """

    name: str
    kind: str
    reads_to: str
    uncertainty: str
    checked: str
    due: str
    state: GaugeState
    last_read: date | None
    when_read: GaugeState | None
    readings: int
    not_counted: int
    at: FilePlaces


def gauges_of(index: JudgementIndex) -> tuple[GaugeOnRecord, ...]:
    """The gauges in the order of the record."""
    excluded = index.judgement.situation.excluded
    read = [one for one in index.evidence.values() if one.gauge is not None and one.sort == "reading"]
    by_gauge: dict[str, list[Evidence]] = {}
    for one in read:
        if one.gauge is not None:
            by_gauge.setdefault(one.gauge.name, []).append(one)
    return tuple(
        GaugeOnRecord(
            name=gauge.name,
            kind=gauge.kind,
            reads_to="" if gauge.reads_to is None else write_quantity(gauge.reads_to),
            uncertainty="" if gauge.uncertainty is None else write_quantity(gauge.uncertainty),
            checked="" if (last := gauge.last_check(index.day)) is None else last.isoformat(),
            due="" if gauge.due is None else "never" if gauge.due == NO_END else gauge.due.isoformat(),
            state=_state(gauge, index),
            last_read=max((one.on for one in by_gauge.get(gauge.name, ()) if one.on is not None), default=None),
            when_read=_when_read(gauge, by_gauge.get(gauge.name, ()), excluded),
            readings=len(by_gauge.get(gauge.name, ())),
            not_counted=sum(one.id in excluded for one in by_gauge.get(gauge.name, ())),
            at=lines_of((gauge.where,)),
        )
        for gauge in index.judgement.car.gauges.values()
    )


def _when_read(gauge: Gauge, readings: Sequence[Evidence], excluded: Mapping[str, SetAside]) -> GaugeState | None:
    """As the judgement took it: the day of the reading decides, not the day of the judgement."""
    if not readings:
        return None
    reasons = [excluded.get(one.id) for one in readings]
    if any(isinstance(one, GaugeFoundWrong) for one in reasons):
        return "found wrong"
    if any(isinstance(one, GaugeOverdue) for one in reasons):
        return "overdue"
    if any(isinstance(one, GaugeDueUnsaid | GaugeNeverChecked | GaugeCheckedLater) for one in reasons):
        return "not on file"
    return "good" if needs_check(gauge.kind) else "needs no check"


def _state(gauge: Gauge, index: JudgementIndex) -> GaugeState:
    last = gauge.last_check(index.day)
    found_wrong = (
        one.on
        for one in index.standing.work
        if does_of(one.name) == "find a gauge wrong" and one.facts.get("gauge") == Word(gauge.name)
    )
    if any(last is None or last < day for day in found_wrong):
        return "found wrong"
    if not needs_check(gauge.kind):
        return "needs no check"
    reason = why_unchecked(gauge, index.day)
    return "good" if reason is None else "overdue" if isinstance(reason, GaugeOverdue) else "not on file"
