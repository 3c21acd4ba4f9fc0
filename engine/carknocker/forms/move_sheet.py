"""What a planned move may say besides host, days and route, and what the request to its host says of the car: the sheet
of a form for what no rule asks and nobody has said."""

from collections.abc import Collection, Iterator

from carknocker.forms.model import GROUPS, Box, Column, Grid, Row, Sheet, Writes
from carknocker.forms.rows import row_for
from carknocker.judgement.index import JudgementIndex
from carknocker.vocabulary.interview import Screen, load_interview
from carknocker.vocabulary.program_names import MOVE_KINDS

MOVE_SHEET = "the move"
"""Name of the sheet."""
_TITLE = "The move, and the request to its host"


def move_sheet(index: JudgementIndex, asked: Collection[tuple[str, str]]) -> Sheet | None:
    """What `new` asks beside a move and is not known: None where nothing is left. asked: part and attribute of the
    boxes of other sheets."""
    screens = [one for one in load_interview().screens if any(ask.about[0] in MOVE_KINDS for ask in one.asks)]
    grids: list[Grid] = []
    count = 0
    for screen in screens:
        rows = tuple(_rows(screen, index, asked, count))
        count += len(rows)
        if rows:
            boxes = tuple(Box(row.number, "answer", row.kind, row.attribute, row.group) for row in rows)
            grids.append(Grid(screen.title, (Column("answer"),), rows, boxes))
    return Sheet(MOVE_SHEET, _TITLE, tuple(grids)) if grids else None


def _rows(screen: Screen, index: JudgementIndex, asked: Collection[tuple[str, str]], count: int) -> Iterator[Row]:
    move = index.judgement.move
    known = {
        "move": move.facts,
        "train": move.train_facts,
        "car": {name: said for name, said in index.judgement.car.by_part.get("car", {}).items() if said},
    }
    for question in screen.asks:
        kind, name = question.about
        attribute = index.vocabulary.attribute(kind, name)
        if question.must or attribute is None or not attribute.description or kind not in known:
            continue
        if name in known[kind] or (kind, name) in asked:
            continue
        count += 1
        writes: Writes = "statement" if kind in MOVE_KINDS else "description"
        yield row_for(count, kind, attribute, GROUPS[0], writes)
