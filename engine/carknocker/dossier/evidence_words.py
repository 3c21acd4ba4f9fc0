"""Who showed something, with which gauge, and where it is written, in words."""

from collections.abc import Iterable

from carknocker.documents import Location
from carknocker.record.model import Evidence, Gauge, Person


def told_words(evidence: Evidence | None, unless_in: str = "") -> str:
    """Day and person: `2026-09-12, RE`; the day left out where a text beside it names it already."""
    if evidence is None:
        return ""
    day = evidence.on.isoformat() if evidence.on is not None else ""
    by = evidence.by.name if evidence.by is not None else ""
    return ", ".join(word for word in ("" if day in unless_in else day, by) if word)


def person_words(person: Person | None) -> str:
    """`HM (shop inspector)`; `nobody named`."""
    return "nobody named" if person is None else f"{person.full_name or person.name} ({person.role})"


def gauge_words(gauge: Gauge | None) -> str:
    """`finger gauge G-2, checked 2026-03-01, due 2027-03-01`; empty without a gauge."""
    if gauge is None:
        return ""
    checked = f", checked {gauge.checked.isoformat()}" if gauge.checked is not None else ", never checked"
    due = f", due {gauge.due.isoformat()}" if gauge.due is not None else ""
    return f"{gauge.kind} {gauge.name}{checked}{due}"


def lines_words(places: Iterable[Location]) -> str:
    """`car.yaml:12`; the first and the last line where there are several: `car.yaml:12–40`."""
    by_file: dict[str, list[int]] = {}
    for place in places:
        by_file.setdefault(place.file, []).append(place.line)
    return ", ".join(
        f"{file}:{min(lines)}" if min(lines) == max(lines) else f"{file}:{min(lines)}–{max(lines)}"
        for file, lines in by_file.items()
    )
