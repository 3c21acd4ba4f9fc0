"""A table as lines of text: in columns where they fit, else each row by itself with its cells labelled."""

from collections.abc import Iterator, Sequence

from carknocker.dossier.writing.page import Table
from carknocker.dossier.writing.wrapping import clean, wrap

_GAP = "  "
_LEAST = 8
_MOST_LINES_OF_A_CELL = 6


def table_lines(table: Table, width: int) -> Iterator[str]:
    """The caption on the first line, then the table, never wider than `width`."""
    yield from wrap(table.caption, width)
    rows = [[clean(cell) for cell in row] for row in table.rows]
    columns = [clean(column) for column in table.columns]
    widths = _widths([columns, *rows], width)
    if widths is None or any(_height(row, widths) > _MOST_LINES_OF_A_CELL for row in rows):
        for row in rows:
            yield from _by_itself(columns, row, width)
        return
    yield from _row(columns, widths)
    yield _GAP.join("-" * one for one in widths)
    for row in rows:
        yield from _row(row, widths)


def _widths(rows: Sequence[Sequence[str]], width: int) -> list[int] | None:
    """The width of each column, the widest made narrower until all fit; None where a word would be broken."""
    cells = list(zip(*rows, strict=True))
    widths = [max(map(len, column), default=0) for column in cells]
    least = [max((len(word) for cell in column for word in cell.split()), default=0) for column in cells]
    room = width - len(_GAP) * (len(widths) - 1)
    if sum(max(one, min(_LEAST, most)) for one, most in zip(least, widths, strict=True)) > room:
        return None
    while sum(widths) > room:
        widest = max(range(len(widths)), key=lambda number: (widths[number] - least[number], widths[number]))
        widths[widest] -= 1
    return widths


def _height(row: Sequence[str], widths: Sequence[int]) -> int:
    return max((len(wrap(cell, one)) for cell, one in zip(row, widths, strict=True)), default=0)


def _row(row: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    wrapped = [wrap(cell, width) for cell, width in zip(row, widths, strict=True)]
    for number in range(max(map(len, wrapped), default=0)):
        line = _GAP.join(
            (lines[number] if number < len(lines) else "").ljust(width)
            for lines, width in zip(wrapped, widths, strict=True)
        )
        yield line.rstrip()


def _by_itself(columns: Sequence[str], row: Sequence[str], width: int) -> Iterator[str]:
    """The first cell heads the row; empty cells are left out."""
    yield from wrap(row[0], width, "- ", "  ")
    for column, cell in zip(columns[1:], row[1:], strict=True):
        if cell:
            yield from wrap(f"{column}: {cell}", width, "    ", "      ")
