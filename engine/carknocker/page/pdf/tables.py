"""Tables and calendars as plain data for the typesetter."""

from collections.abc import Sequence
from datetime import date
from typing import Any, TypeAlias

from carknocker.documents.visible_text import one_line
from carknocker.page.model import Calendar, Emphasized, Noted, Table
from carknocker.page.paper import to_fill_in
from carknocker.page.pdf.columns import GAP, column_widths
from carknocker.page.pdf.runs import rest_runs, runs_of

Data: TypeAlias = dict[str, Any]

MILLIMETER = 72 / 25.4
_LONG_CELL = 400
_NOTE = 0.86
"""The size of a note against that of the text."""
TICK, LINE = 10 * MILLIMETER, 34 * MILLIMETER
"""The widths of columns to be ticked and to be written on."""


class NoHead(Exception):
    """A table without column headings: a reader who hears the page would not know what a cell is."""


def table_data(table: Table, size: float, room: float) -> Data:
    """A table. size: of its type, points; room: its width, points. Raises NoHead."""
    columns = [one_line(column) for column in table.columns]
    if not columns or (not any(columns) and table.rows):
        raise NoHead(table.caption)
    rows = [[one_line(cell) for cell in row] for row in table.rows]
    kinds = [table.kind(number) for number in range(len(columns))]
    written = [number for number, kind in enumerate(kinds) if kind in ("tick", "line")]
    pencil = [] if written else to_fill_in(table)
    return {
        "kind": "table",
        "caption": "" if table.headed else runs_of(table.caption),
        "widths": _widths(table, columns, rows, room, size, pencil),
        "gap": GAP,
        "columns": [runs_of(column) for column in columns],
        "kinds": kinds,
        "rows": [
            {
                "cells": [cell_data(cell) for cell in row],
                "long": any(len(cell) > _LONG_CELL for cell in row),
                "strong": number in table.strong,
            }
            for number, row in enumerate(table.rows)
        ],
        "pencil": [number - 1 for number in pencil] if rows else [],
    }


def cell_data(cell: str) -> Data:
    """A text with what of it is emphasized and what is a note."""
    if isinstance(cell, Noted):
        return {"loud": "", "text": runs_of(cell.said), "note": runs_of(cell.note)}
    if isinstance(cell, Emphasized):
        return {"loud": runs_of(cell.loud), "text": rest_runs(cell[len(cell.loud) :]), "note": ""}
    return {"loud": "", "text": runs_of(cell), "note": ""}


def _widths(
    table: Table, columns: Sequence[str], rows: Sequence[Sequence[str]], room: float, size: float, pencil: Sequence[int]
) -> list[float]:
    """The width of each column; those to tick or to write on have one of their own."""
    fixed = {
        number: TICK if table.kind(number) == "tick" else LINE
        for number in range(len(columns))
        if table.kind(number) in ("tick", "line")
    }
    free = [number for number in range(len(columns)) if number not in fixed]
    shown = [[_wider_half(table.rows[place][number], row[number]) for number in free] for place, row in enumerate(rows)]
    widths = iter(column_widths([columns[number] for number in free], shown, room - sum(fixed.values()), size, pencil))
    return [fixed[number] if number in fixed else next(widths) for number in range(len(columns))]


def _wider_half(cell: str, plain: str) -> str:
    """Of a text with a note below it the longer of the two, the note in its smaller size."""
    if not isinstance(cell, Noted):
        return plain
    said, note = one_line(cell.said), one_line(cell.note)
    return said if len(said) >= len(note) * _NOTE else note


_MOST_DAYS, _WEEKDAYS = 21, ("Mo", "Tu", "We", "Th", "Fr", "Sa", "Su")


def calendar_data(calendar: Calendar) -> Data:
    """Duties by day, in as many parts as there is room for."""
    days = calendar.days
    parts = -(-len(days) // _MOST_DAYS)
    each = -(-len(days) // parts) if parts else 0
    return {
        "kind": "calendar",
        "caption": runs_of(calendar.caption),
        "parts": [_calendar_part(calendar, days[first : first + each]) for first in range(0, len(days), each or 1)],
    }


def _calendar_part(calendar: Calendar, days: Sequence[date]) -> Data:
    spans: list[Data] = []
    for day in days:
        own = [span for span in calendar.spans if span.first <= day <= span.last]
        text, under_way = (
            (" ".join(dict.fromkeys(one.text for one in own)), any(one.under_way for one in own))
            if own
            else ("", False)
        )
        if spans and spans[-1]["said"] == text:
            spans[-1]["count"] += 1
        else:
            spans.append({"said": text, "text": runs_of(text), "count": 1, "under_way": under_way})
    first, last = days[0], days[-1]
    month = f"{first:%B %Y}" if (first.year, first.month) == (last.year, last.month) else f"{first:%B} to {last:%B %Y}"
    due = [row for row in calendar.rows if set(row.days) & set(days)]
    return {
        "month": month,
        "spans": spans,
        "days": [{"number": f"{day.day}", "weekday": _WEEKDAYS[day.weekday()]} for day in days],
        "rows": [
            {"title": runs_of(row.title), "note": runs_of(row.note), "due": [day in row.days for day in days]}
            for row in due
        ],
    }
