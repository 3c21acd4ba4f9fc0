"""What makes a reading sure: whoever signs says so, a photograph shows it, or a second person read it alike."""

from collections.abc import Iterator
from datetime import timedelta

from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.situation import Situation
from carknocker.record.model import Evidence
from carknocker.record.sheets_reader import agree

SECOND_READER_WITHIN = timedelta(days=31)
"""How far apart two readings that confirm each other may lie."""


def is_sure(evidence: Evidence, situation: Situation) -> bool:
    """Whether a value is said to be sure, a photograph shows it, or another person read it alike within a month."""
    if evidence.confirmed:
        return True
    return any(True for _ in second_readings(evidence, situation))


def second_readings(evidence: Evidence, situation: Situation) -> Iterator[Evidence]:
    """The readings of other persons that agree with one, of at most a month before or after it."""
    by, on = evidence.by, evidence.on
    if evidence.sort != "reading" or by is None or on is None:
        return
    for other in situation.standing.evidence.get(evidence.part, {}).get(evidence.attribute, ()):
        if (
            other.by is not None and not other.by.is_same(by) and other.on is not None
            and abs(other.on - on) <= SECOND_READER_WITHIN and other.id not in situation.excluded
            and _alike(other, evidence)
        ):  # fmt: skip
            yield other


def _alike(one: Evidence, other: Evidence) -> bool:
    """Whether two readings agree within what their gauges leave open."""
    if agree(one.value, other.value):
        return True
    first, second = ObservedValue(one.value, one), ObservedValue(other.value, other)
    mine, theirs = one.stated_uncertainty, other.stated_uncertainty
    if not first.d or not second.d or mine is None or theirs is None:
        return False
    apart = abs(first.n * second.d - second.n * first.d)
    within = (mine.amount + theirs.amount) * first.d * second.d
    return apart <= within
