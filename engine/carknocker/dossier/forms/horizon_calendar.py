"""The dates of a horizon as an iCalendar file (RFC 5545): whole days, in no time zone, nothing that blocks a day."""

import hashlib
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta

from icalendar import Calendar, Event

from carknocker.dossier.part_names import compact_labels
from carknocker.dossier.words import source_words
from carknocker.questions.horizon.model import HorizonAnswer

_PRODUCT = "-//carknocker//horizon//EN"


def calendar_of(answer: HorizonAnswer) -> bytes:
    """The calendar. The same answer gives the same bytes: DTSTAMP is the day of the judgement, and an entry keeps its
    UID as long as it says the same."""
    calendar = Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    stamp = datetime.combine(answer.as_of, time(0, 0), UTC)
    for day, until, sort, summary, words in _entries(answer):
        event = Event()
        digest = hashlib.sha256("\n".join((answer.car, day.isoformat(), sort, summary)).encode("utf-8")).hexdigest()
        event.add("uid", f"{digest[:32]}@carknocker")
        event.add("dtstamp", stamp)
        event.add("dtstart", day)
        event.add("dtend", until + timedelta(days=1))
        event.add("summary", summary)
        if words:
            event.add("description", words)
        event.add("categories", [sort])
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    content: bytes = calendar.to_ical()
    return content


def _entries(answer: HorizonAnswer) -> Iterator[tuple[date, date, str, str, str]]:
    """First day, last day, category, summary, description; in the order of the page."""
    car = answer.car
    yield answer.out, answer.back, "move", f"{car}: move as planned", answer.outcome
    if answer.first_bad is not None:
        titles = "\n".join(f"{one.title}: {compact_labels(one.labels)}" for one in answer.because)
        yield answer.first_bad, answer.first_bad, "not ready", f"{car}: not ready to leave from this day", titles
    for lapse in answer.lapses:
        words = [compact_labels(lapse.labels)] if lapse.labels else []
        if lapse.source is not None:
            words.append(source_words(lapse.source))
        yield lapse.day, lapse.day, f"last day: {lapse.sort}", f"{car}: last day: {lapse.title}", "\n".join(words)
    for due in answer.due:
        if due.day is not None:
            summary = f"{car}: due on the way: {due.title}"
            yield due.day, due.day, "due on the way", summary, f"{compact_labels(due.labels)}\nby the {due.by}"
    for wear in answer.wears:
        if wear.earliest is not None:
            summary = f"{car}: {wear.label} may be worn out: {wear.title}"
            yield wear.earliest, wear.earliest, "wear", summary, f"{wear.rate}\n{wear.left}"
    for one in answer.miles_limits:
        if one.day is not None:
            told = f"{compact_labels(one.labels)}\n{one.made} of {one.limit} made, {one.left} left"
            yield one.day, one.day, "miles", f"{car}: limit of miles: {one.title}", told
