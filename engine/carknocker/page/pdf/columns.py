"""How wide the columns of a table are on a sheet of paper."""

from collections.abc import Sequence

from carknocker.page.pdf.runs import longest_piece, shown
from carknocker.page.pdf.typeface import widths

GAP = 8.0
"""Between two columns, points."""
PENCIL = 76.5
"""A column to be filled in with a pencil, points: 27 mm."""
NARROW_PENCIL, MANY = 53.9, 2
"""Where there are so many of them, a column is 19 mm wide: a mixed fraction of an inch has room in it."""
_SHORT = 52.0
"""A cell no wider than this is not broken, points."""
_SPARE = 0.5
_LOST = 12.0
"""At the end of a line that is not the last, points: words are not broken."""
_STEPS = 40


def column_widths(
    columns: Sequence[str], rows: Sequence[Sequence[str]], room: float, size: float, to_fill_in: Sequence[int] = ()
) -> list[float]:
    """The width of each column with the gap at its right, in points; together, `room`.

    No column is narrower than its longest word unless there is no other way. to_fill_in: columns for a pencil, counted
    from one.
    """
    face = widths()
    pencil = NARROW_PENCIL if len(to_fill_in) >= MANY else PENCIL
    least: list[float] = []
    texts = [[face.of(shown(cell), size) + _SPARE for cell in row] for row in rows]
    for number, column in enumerate(zip(columns, *rows, strict=True), start=1):
        head, *cells = (shown(longest_piece(cell)) for cell in column)
        words = (face.of(head, size, bold=True), *(face.of(cell, size) for cell in cells))
        short = (row[number - 1] for row in texts if row[number - 1] <= _SHORT)
        widest = max((*words, *short)) + GAP + _SPARE
        least.append(max(widest, pencil) if number in to_fill_in else widest)
    return shared(least, [[face.of(shown(head), size, bold=True) for head in columns], *texts], room)


def shared(least: Sequence[float], texts: Sequence[Sequence[float]], room: float) -> list[float]:
    """The room shared among columns. least: the least width of each; texts: of each row, the width of each cell on one
    line.

    What is left is given step by step to the column in which one line less makes most rows lower.
    """
    total = sum(least)
    if total >= room:
        return [one * room / total for one in least]
    given = list(least)
    step = (room - total) / _STEPS
    for _ in range(_STEPS):
        saved = [0.0] * len(given)
        open_ = [one - GAP for one in given]
        for row in texts:
            lines = [
                1.0 if text <= wide else text / max(wide - _LOST, 1.0) for text, wide in zip(row, open_, strict=True)
            ]
            most = max(lines)
            if most > 1:
                column = lines.index(most)
                saved[column] += most / open_[column]
        best = max(saved)
        if not best:
            return [one + (room - sum(given)) / len(given) for one in given]
        given[saved.index(best)] += step
    return given
