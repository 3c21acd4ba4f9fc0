"""The gauges of a sheet that was filled in: a figure that its gauge can't read is refused while the gauge is in hand,
and what will not be counted for the car is told."""

from collections import Counter

from carknocker.documents import InputRefused, Problem, some
from carknocker.judgement.evidence import uncounted
from carknocker.judgement.set_aside import (
    GaugeCheckedLater,
    GaugeDueUnsaid,
    GaugeNeverChecked,
    GaugeNotNamed,
    GaugeOverdue,
    GaugeReadsOther,
    SetAside,
)
from carknocker.record import CarRecord
from carknocker.record.model import Evidence
from carknocker.record.part_keys import kind_of_key
from carknocker.record.standing import car_on_day
from carknocker.vocabulary import load_vocabulary
from carknocker.wording.set_aside import set_aside_words

WRITE_ON_THE_FORM = "write it on the form's sheet for who read, and with what"
PUT_ON_RECORD = f"take one of these, or {WRITE_ON_THE_FORM}"
_NOT_IN_ORDER = GaugeNotNamed | GaugeDueUnsaid | GaugeOverdue | GaugeNeverChecked | GaugeCheckedLater


def refuse_other_gauges(before: CarRecord, after: CarRecord) -> None:
    """Raises InputRefused for each figure that a sheet brought and that its gauge can't read, at its line of the
    record."""
    problems = [
        Problem(one.where, set_aside_words(why), _that_read(one), remedy=PUT_ON_RECORD)
        for one, why in _set_aside(before, after)
        if isinstance(why, GaugeReadsOther)
    ]
    if problems:
        raise InputRefused(tuple(problems))


def gauges_not_in_order(before: CarRecord, after: CarRecord, title: str) -> list[str]:
    """What is said of figures that will not be counted for the car, since nothing says which gauge showed them, or it
    was not in date: each reason once."""
    counts = Counter(set_aside_words(why) for _, why in _set_aside(before, after) if isinstance(why, _NOT_IN_ORDER))
    return [
        f"{title}: {count:,} figure{'' if count == 1 else 's'} will not be counted for the car: {words}"
        for words, count in counts.items()
    ]


def _set_aside(before: CarRecord, after: CarRecord) -> list[tuple[Evidence, SetAside]]:
    """The readings that a sheet brought and that do not count, and why."""
    known = {one.id for one in before.evidence}
    reasons = uncounted(car_on_day(after, after.last_day))
    return [(one, reasons[one.id]) for one in after.evidence if one.id in reasons and one.id not in known]


def _that_read(reading: Evidence) -> str:
    """The kinds of gauge that read such a figure."""
    kinds = load_vocabulary().gauge_kinds.values()
    return some(tuple(kind.name for kind in kinds if (kind_of_key(reading.part), reading.attribute) in kind.reads))
