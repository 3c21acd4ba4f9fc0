"""The worksheet as a form to fill in and read back: YAML, or CSV for a spreadsheet. Empty is: not read."""

import csv
import io
import json
from collections.abc import Iterator

from carknocker.documents.visible_text import one_line, visible_json
from carknocker.questions.worksheet.model import WantedReading, WorksheetAnswer
from carknocker.record.reading_form import COLUMNS, FORM


def yaml_form(answer: WorksheetAnswer) -> str:
    """A sheet for each kind of access, its parts in walking order."""
    by_access: dict[str, list[WantedReading]] = {}
    for row in answer.readings:
        by_access.setdefault(row.access, []).append(row)
    lines = [
        f"format: {FORM}",
        f"car: {visible_json(json.dumps(answer.mark, ensure_ascii=False))}",
        f"# For the move with {one_line(answer.host)}, {answer.out.isoformat()} to {answer.back.isoformat()}.",
        "# Write each value behind its colon, with its unit; leave empty what was not read.",
        "#   15/16 in · yes · not accessible (car not moved) · {reads: 15/16 in, gauge: G-1}",
        "#   {takes_at: 7/8 in} · {does_not_take_at: 7/8 in} · {before: 90 psi, after: 88 psi, minutes: 1}",
        f"# People on record: {one_line(', '.join(answer.people)) or 'none'}",
        f"# Gauges on record: {one_line(', '.join(answer.gauges)) or 'none'}",
        "# Then: carknocker enter CAR THIS-FILE",
        "sheets:" if by_access else "sheets: []",
    ]
    for access, rows in by_access.items():
        lines.extend(_sheet(access, rows))
    return "\n".join(lines) + "\n"


def _sheet(access: str, rows: list[WantedReading]) -> Iterator[str]:
    yield f"  - access: {access}"
    yield "    on:  # the day, like 2026-10-08"
    yield "    by:  # who read, by the short name of the record"
    yield "    gauge:  # if one gauge was used for all"
    yield "    car:  # how the car stood: level track, tanks full"
    yield "    after:  # id of the job of the same day after which this was read"
    yield "    readings:"
    parts: dict[str, list[WantedReading]] = {}
    for row in rows:
        parts.setdefault(row.part, []).append(row)
    station = ""
    for part, own in parts.items():
        if own[0].station != station:
            station = own[0].station
            yield f"      # --- {station}"
        yield f"      {visible_json(json.dumps(part, ensure_ascii=False))}:"
        for row in own:
            yield f"        {row.attribute}:  # {one_line(hint_of(row))}"


def hint_of(row: WantedReading) -> str:
    """Limit, place, tool and last value of a reading, in one line."""
    told = (
        "; ".join(row.limits),
        row.measured,
        f"with {row.tool}" if row.tool else "",
        f"by {row.who}" if row.who else "",
        f"last {row.last}" if row.last else "",
        "; ".join(why for why in row.why if why != "never read"),
    )
    return " | ".join(word for word in told if word) or "no limit of its own"


def csv_form(answer: WorksheetAnswer) -> str:
    """A row for each reading, in walking order, with the line ends that RFC 4180 asks for."""
    stream = io.StringIO()
    writer = csv.DictWriter(stream, COLUMNS, lineterminator="\r\n")
    writer.writeheader()
    for row in answer.readings:
        writer.writerow({
            "car": _cell(answer.mark), "station": row.station, "access": row.access, "part": row.part,
            "attribute": row.attribute, "measured": _cell(row.measured), "tool": _cell(row.tool),
            "limit": _cell("; ".join(row.limits)), "who": _cell(row.who), "last": _cell(row.last),
            "value": "", "gauge": "", "on": "", "by": "",
        })  # fmt: skip
    return stream.getvalue()


def _cell(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    words = one_line(text)
    return f"'{words}" if words[:1] in ("=", "+", "-", "@") else words
