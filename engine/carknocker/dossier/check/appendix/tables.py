"""Tables that show no column in which nothing stands, and places in the car record by line alone."""

from collections.abc import Iterable

from carknocker.dossier.writing.page import Table
from carknocker.wording.sources import FileLines, lines_words


def full_table(caption: str, columns: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> Table:
    """A table without the columns that are empty in every row. The first column stays."""
    listed = list(rows)
    kept = [number for number in range(len(columns)) if number == 0 or any(row[number] for row in listed)]
    return Table(
        caption,
        tuple(columns[number] for number in kept),
        tuple(tuple(row[number] for number in kept) for row in listed),
    )


def line_words(at: tuple[FileLines, ...], file: str) -> str:
    """`line 12` or `lines 12–40` of that file; a place in another file with its name."""
    if [one.file for one in at] != [file]:
        return lines_words(at)
    (one,) = at
    return f"line {one.first}" if one.first == one.last else f"lines {one.first}–{one.last}"
