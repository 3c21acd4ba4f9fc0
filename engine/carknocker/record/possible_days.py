"""Refuses days that can't be, seen from the day on which the car was built."""

from collections.abc import Iterable

from carknocker.documents import ProblemReporter
from carknocker.record.model import Evidence
from carknocker.record.part_keys import kind_of_key
from carknocker.record.possible_values import note_impossible
from carknocker.record.values import Day
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.ranges import Days

_BUILT = "built"


def refuse_before_built(evidence: Iterable[Evidence], built: Day, reporter: ProblemReporter) -> None:
    """Reports each day that a description or a reading tells, and that can't lie before the car was built."""
    kinds = load_vocabulary().kinds
    days: Days = {_BUILT: (built.first, built.last)}
    told = set()
    for entry in evidence:
        value = entry.value
        if not isinstance(value, Day) or entry.sure or entry.where in told:
            continue
        ranges = kinds[kind_of_key(entry.part)].attributes[entry.attribute].ranges
        possible = None if ranges is None else ranges.possible
        if possible is None or _BUILT not in possible.anchors or possible.meets_day(value.first, value.last, days):
            continue
        told.add(entry.where)
        found = f"`{value.written}` for `{entry.attribute}` of {entry.part}"
        note_impossible(entry.where, found, possible, reporter, days)
