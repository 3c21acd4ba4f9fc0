"""Who read what, when, with which gauge, and where it is written: the readings sheet by sheet."""

import msgspec

from carknocker.dossier.check.appendix.signed_tests import evidence_of_sort
from carknocker.dossier.context import Context
from carknocker.record.model import Evidence, Part
from carknocker.wording.evidence import gauge_words, person_words
from carknocker.wording.parts import named
from carknocker.wording.sources import FileLines, lines_of


class SheetRow(msgspec.Struct, frozen=True):
    """The readings of one day, one person and one gauge on one sheet. gauge: empty where none is named.

    not_counted: how many of them do not count (void, gauge overdue or found wrong). parts: what they are of.
    """

    on: str
    by: str
    gauge: str
    readings: int
    not_counted: int
    parts: str
    at: tuple[FileLines, ...]


def sheets_of(context: Context) -> tuple[SheetRow, ...]:
    """The sheets up to the day, newest first."""
    excluded = context.judgement.situation.excluded
    sheets: dict[tuple[str, str, str, str], list[tuple[Part, Evidence]]] = {}
    for part, reading in evidence_of_sort(context, "reading"):
        on = reading.on.isoformat() if reading.on is not None else "undated"
        key = (on, reading.sheet, person_words(reading.by), gauge_words(reading.gauge))
        sheets.setdefault(key, []).append((part, reading))
    return tuple(
        SheetRow(
            on=on,
            by=by,
            gauge=gauge,
            readings=len(pairs),
            not_counted=sum(reading.id in excluded for _, reading in pairs),
            parts=named((part for part, _ in pairs), context),
            at=lines_of(reading.where for _, reading in pairs),
        )
        for (on, _, by, gauge), pairs in sorted(sheets.items(), key=lambda item: item[0], reverse=True)
    )
