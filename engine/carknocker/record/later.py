"""Entries of a record that are dated after a day: they are not counted on it, and whoever judges says so."""

from datetime import date

from carknocker.documents import Location
from carknocker.record.model import CarRecord

_MOST_NAMED = 4


def later_words(car: CarRecord, day: date) -> str:
    """The entries dated after a day, the earliest first, each with its day and its line; "" where there are none."""
    found = sorted(_later(car, day).items(), key=lambda one: (one[0][1], one[1].line))
    named = [f"{what} of {on.isoformat()} (line {where.line})" for (what, on), where in found[:_MOST_NAMED]]
    rest = len(found) - len(named)
    more = f"; and {rest} more" if rest else ""
    return f"Not counted, being dated after {day.isoformat()}: {'; '.join(named)}{more}." if named else ""


def _later(car: CarRecord, day: date) -> dict[tuple[str, date], Location]:
    """What it is and its day → where it stands, once for all the readings of a sheet."""
    found: dict[tuple[str, date], Location] = {}
    for entry in car.evidence:
        if entry.on is not None and entry.on > day:
            what = "readings" if entry.sort == "reading" else f"{entry.attribute.replace('_', ' ')} ({entry.sort})"
            found.setdefault((what, entry.on), entry.where)
    for work in car.work:
        if work.on > day:
            found.setdefault((f"{work.id} {work.name}", work.on), work.where)
    for made in car.moves_made:
        if made.out > day:
            found.setdefault(("a move made", made.out), made.where)
    return found
