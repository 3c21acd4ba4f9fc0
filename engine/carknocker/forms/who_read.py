"""Who read, and with what: the sheet of a form that puts people and gauges on record, a column each."""

from collections.abc import Iterable

from msgspec.structs import replace

from carknocker.forms.entries import PEOPLE_AND_GAUGES, Field, Sort, entry_row
from carknocker.forms.model import GROUPS, Box, Column, Grid, Row, Sheet
from carknocker.judgement.index import JudgementIndex

WHO = "who read, and with what"
"""Name of the sheet."""
_FEWEST, _MOST, _BESIDE = 2, 8, 4
_NOBODY = "nobody is on record: whoever read is written here"


def who_sheet(sheets: Iterable[Sheet], index: JudgementIndex) -> Sheet:
    """Columns for people and gauges that are not on record: one more for each tool of the sheets that no gauge on
    record can read. Asked for where nobody is on record, or a tool has no gauge."""
    tools = list(dict.fromkeys(one.tool for sheet in sheets for one in sheet.gauges if not one.gauges))
    car = index.judgement.car
    people: list[tuple[str, ...]] = [(_NOBODY,) if number == 0 and not car.people else () for number in range(_FEWEST)]
    gauges: list[tuple[str, ...]] = [(f"no gauge on record can be used for: {tool}",) for tool in tools[:_MOST]]
    gauges += [()] * max(0, _FEWEST - len(gauges))
    words = {
        "role": index.vocabulary.own_roles,
        "kind": tuple(index.vocabulary.gauge_kinds),
    }
    blocks: list[Grid] = []
    count = 0
    for sort, whys in (("person", people), ("gauge", gauges)):
        for start in range(0, len(whys), _BESIDE):
            grid = _grid(PEOPLE_AND_GAUGES[sort], start, whys[start : start + _BESIDE], words, count)
            blocks.append(grid)
            count += len(grid.rows)
    return Sheet(WHO, WHO[:1].upper() + WHO[1:], tuple(blocks))


def _grid(sort: Sort, start: int, whys: list[tuple[str, ...]], words: dict[str, tuple[str, ...]], count: int) -> Grid:
    rows: list[Row] = []
    for number, field in enumerate(sort.fields, start=count + 1):
        row = entry_row(sort.word, _with_words(field, words), GROUPS[0])
        rows.append(replace(row, number=number))
    columns = [f"{sort.word} {start + number}" for number in range(1, len(whys) + 1)]
    boxes = tuple(
        Box(row.number, name, name, row.attribute, row.group, why)
        for name, why in zip(columns, whys, strict=True)
        for row in rows
    )
    return Grid(sort.heading, tuple(Column(name) for name in columns), tuple(rows), boxes, by_column=True)


def _with_words(field: Field, words: dict[str, tuple[str, ...]]) -> Field:
    return replace(field, words=words[field.key]) if field.key in words else field
