"""The gauges on record: what each reads to, when it was checked and is due, and whether it is good on the day."""

from collections import Counter
from typing import Literal

import msgspec

from carknocker.judgement.evidence import needs_check, why_unchecked
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.set_aside import GaugeOverdue
from carknocker.quantities import write_quantity
from carknocker.record.model import NO_END, Gauge
from carknocker.record.values import Word
from carknocker.vocabulary import does_of
from carknocker.wording.sources import FilePlaces, lines_of

GaugeState = Literal["good", "needs no check", "overdue", "found wrong", "not on file"]
"""On the day of the judgement. `found wrong`: no check since has shown it good again. `not on file`: nothing says when
it was checked, or until when that is good."""


class GaugeOnRecord(msgspec.Struct, frozen=True):
    """One gauge. reads_to, uncertainty: with the unit, empty where the record names none. due: `never` where it is said
    to be due never. readings: how many of those on record, and how many of them that do not count, were taken with it.
    """

    name: str
    kind: str
    reads_to: str
    uncertainty: str
    checked: str
    due: str
    state: GaugeState
    readings: int
    not_counted: int
    at: FilePlaces


def gauges_of(index: JudgementIndex) -> tuple[GaugeOnRecord, ...]:
    """The gauges in the order of the record."""
    excluded = index.judgement.situation.excluded
    read = [
        (one.gauge.name, one.id) for one in index.evidence.values() if one.gauge is not None and one.sort == "reading"
    ]
    used = Counter(name for name, _ in read)
    void = Counter(name for name, reading in read if reading in excluded)
    return tuple(
        GaugeOnRecord(
            name=gauge.name,
            kind=gauge.kind,
            reads_to="" if gauge.reads_to is None else write_quantity(gauge.reads_to),
            uncertainty="" if gauge.uncertainty is None else write_quantity(gauge.uncertainty),
            checked="" if (last := gauge.last_check(index.day)) is None else last.isoformat(),
            due="" if gauge.due is None else "never" if gauge.due == NO_END else gauge.due.isoformat(),
            state=_state(gauge, index),
            readings=used[gauge.name],
            not_counted=void[gauge.name],
            at=lines_of((gauge.where,)),
        )
        for gauge in index.judgement.car.gauges.values()
    )


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
