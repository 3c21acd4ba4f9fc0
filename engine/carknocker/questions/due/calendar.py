"""The dates of a horizon as an iCalendar file (RFC 5545): whole days, in no time zone, nothing that blocks a day."""

import hashlib
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta

import msgspec
from icalendar import Calendar, Event

from carknocker.documents.visible_text import visible
from carknocker.page.leg_lines import leg_line, leg_name
from carknocker.questions.due.model import DueAnswer
from carknocker.wording.days import runs_of
from carknocker.wording.duties import DuringTheMove
from carknocker.wording.parts import compact_labels
from carknocker.wording.sources import source_words

_PRODUCT = "-//carknocker//horizon//EN"
_OF_THE_MOVE = frozenset({"move", "not ready", "due on the way"})


class _Entry(msgspec.Struct, frozen=True):
    """first, last: its days. sort: its category. words: its description, "" for none."""

    first: date
    last: date
    sort: str
    summary: str
    words: str


def calendar_of(answer: DueAnswer) -> bytes:
    """The calendar. The same answer gives the same bytes, since DTSTAMP is the day of the judgement.

    An entry keeps its UID when its day moves: it is named by the car, the sort and the summary, and those that are
    alike in these by their number, the earliest first; what belongs to one move by that move's day out as well. So a
    diary that takes the file in again moves its entries, and keeps those of another move.
    """
    calendar = Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    stamp = datetime.combine(answer.as_of, time(0, 0), UTC)
    alike: Counter[tuple[str, str]] = Counter()
    for entry in _entries(answer):
        alike[entry.sort, entry.summary] += 1
        event = Event()
        event.add("uid", _uid(answer, entry, alike[entry.sort, entry.summary]))
        event.add("dtstamp", stamp)
        event.add("dtstart", entry.first)
        event.add("dtend", entry.last + timedelta(days=1))
        event.add("summary", visible(entry.summary))
        if entry.words:
            event.add("description", visible(entry.words))
        event.add("categories", [entry.sort])
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    content: bytes = calendar.to_ical()
    return content


def _uid(answer: DueAnswer, entry: _Entry, number: int) -> str:
    move = answer.out.isoformat() if entry.sort in _OF_THE_MOVE else ""
    named = "\n".join((answer.car, move, entry.sort, entry.summary, str(number)))
    return f"{hashlib.sha256(named.encode('utf-8')).hexdigest()[:32]}@carknocker"


def _entries(answer: DueAnswer) -> Iterator[_Entry]:
    """In the order of the page; those of one sort and summary by their day."""
    car = answer.car
    words = "\n".join((answer.said.lower(), *filter(None, (answer.limits,)), *_undated(answer.during)))
    yield _Entry(answer.out, answer.back, "move", f"{car}: move as planned", words)
    if answer.first_bad is not None:
        faults = "\n".join(one.fault for one in answer.because)
        day = answer.first_bad
        yield _Entry(day, day, "not ready", f"{car}: not ready to leave from this day", faults)
    for lapse in answer.lapses:
        told = [lapse.said, *map(source_words, lapse.sources)]
        summary = f"{car}: last day: {lapse.title}"
        yield _Entry(lapse.day, lapse.day, f"last day: {lapse.sort}", summary, "\n".join(told))
    yield from _duties(car, answer.during)
    for wear in answer.wears:
        if wear.earliest is not None:
            summary = f"{car}: {wear.label} may be worn out: {wear.title}"
            yield _Entry(wear.earliest, wear.earliest, "wear", summary, f"{wear.rate}\n{wear.left}")
    for one in answer.miles_limits:
        if one.day is not None:
            told_miles = f"{compact_labels(one.labels)}\n{one.made} of {one.limit} made, {one.left} left"
            yield _Entry(one.day, one.day, "miles", f"{car}: limit of miles: {one.title}", told_miles)


def _duties(car: str, during: DuringTheMove) -> Iterator[_Entry]:
    """What is due on the way and has days: days that follow each other as one entry."""
    for legs in during.legs:
        for due in legs.duties:
            summary = f"{car}: due on the way: {due.title}"
            words = f"{leg_name(legs)}, {legs.route}\n{leg_line(due)}"
            for run in runs_of(due.days):
                yield _Entry(run[0], run[-1], "due on the way", summary, words)


def _undated(during: DuringTheMove) -> Iterator[str]:
    """What is due on the way and has no day of its own: it stands with the move."""
    for legs in during.legs:
        for due in legs.duties:
            if not due.days:
                yield f"{leg_name(legs)}: {leg_line(due)}"
    for due in during.at_any_time:
        yield f"on any leg: {leg_line(due)}"
