"""Refuses days of descriptions that can't be, seen from the day the car was built or from the day judged."""

from collections.abc import Iterable, Iterator
from datetime import date

from carknocker.documents import ProblemList, ProblemReporter
from carknocker.record.model import CarRecord, Evidence
from carknocker.record.part_keys import kind_of_key
from carknocker.record.possible_values import note_impossible
from carknocker.record.values import Day
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.ranges import Days, Range


def refuse_before_built(evidence: Iterable[Evidence], built: Day, reporter: ProblemReporter) -> None:
    """Reports each day that lies before the car was built, where it can't."""
    _refuse(evidence, "built", {"built": (built.first, built.last)}, reporter)


def refuse_after(car: CarRecord, as_of: date) -> None:
    """Raises InputRefused for descriptions dated after the day judged: a car that was built, or a wheelset that was
    mounted, on a day that has not come."""
    problems = ProblemList()
    _refuse(car.evidence, "as-of", {"as-of": (as_of, as_of)}, ProblemReporter(problems))
    problems.refuse_if_any()


def _refuse(evidence: Iterable[Evidence], anchor: str, days: Days, reporter: ProblemReporter) -> None:
    told = set()
    for entry, value, possible in _counted_from(anchor, evidence):
        if entry.sure or entry.where in told or possible.meets_day(value.first, value.last, days):
            continue
        told.add(entry.where)
        found = f"`{value.written}` for `{entry.attribute}` of {entry.part}"
        note_impossible(entry.where, found, possible, reporter, days)


def _counted_from(anchor: str, evidence: Iterable[Evidence]) -> Iterator[tuple[Evidence, Day, Range]]:
    """The days on record whose range counts from something, with that range."""
    kinds = load_vocabulary().kinds
    for entry in evidence:
        if isinstance(entry.value, Day):
            attribute = kinds[kind_of_key(entry.part)].attributes[entry.attribute]
            possible = None if attribute.ranges is None else attribute.ranges.possible
            if possible is not None and anchor in possible.anchors:
                yield entry, entry.value, possible
