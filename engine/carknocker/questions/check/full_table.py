"""Tables of which no column is empty."""

from collections.abc import Iterable

from carknocker.page.model import ColumnKind, Table


def full_table(
    caption: str,
    columns: tuple[str, ...],
    rows: Iterable[tuple[str, ...]],
    kinds: tuple[ColumnKind, ...] = (),
    strong: tuple[int, ...] = (),
    *,
    headed: bool = False,
) -> Table:
    """A table without its empty columns; the rest as `Table` has it. The first column always stays."""
    listed = list(rows)
    kept = [number for number in range(len(columns)) if number == 0 or any(row[number] for row in listed)]
    return Table(
        caption,
        tuple(columns[number] for number in kept),
        tuple(tuple(row[number] for number in kept) for row in listed),
        tuple(kinds[number] for number in kept) if kinds else (),
        strong,
        headed,
    )
