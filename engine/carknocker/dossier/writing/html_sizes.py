"""How much room a block takes, as far as its layout hangs on that: told from its text, since nothing is drawn yet."""

import re

from carknocker.dossier.writing.html_text import LONGEST_WORD
from carknocker.dossier.writing.page import Block, Boxes, Bullets, Drawing, Item, Paragraph, Rows, Table
from carknocker.dossier.writing.wrapping import clean

_SIGN_WIDTH, _CELL_PADDING, _NARROWEST = 8, 20, 600
"""In pixels of a style sheet: of a sign of usual width, of a cell's two sides, of a screen with columns."""
_SHORT = 110
"""Signs of what stands beside a box, so few that two boxes stand side by side on paper."""
_SIGNS_OF_A_LINE, _LINES_OF_A_SHEET = 95, 45
_SIZE = re.compile(r'<svg [^>]*viewBox="\S+ \S+ (\d+[.\d]*) (\d+[.\d]*)"')
_TALL = 1.5


def may_scroll(table: Table) -> bool:
    """Whether the table may be wider than the narrowest screen that it is shown in columns on. It is then a group that
    the keyboard reaches, so that it can be scrolled."""
    columns = zip(table.columns, *table.rows, strict=True)
    longest = [max((len(word) for cell in column for word in cell.split()), default=0) for column in columns]
    return sum(min(one, LONGEST_WORD) * _SIGN_WIDTH + _CELL_PADDING for one in longest) > _NARROWEST


def to_fill_in(table: Table) -> list[int]:
    """The columns, counted from one, that are left empty for a pencil."""
    cells = list(zip(*table.rows, strict=True))
    return [number for number, column in enumerate(cells, start=1) if not any(map(clean, column))]


def are_short(boxes: Boxes) -> bool:
    """Whether so little stands beside each box that two stand side by side on paper."""
    return all(len(label) + len(told) <= _SHORT for label, told in boxes.lines)


def is_tall(block: Block | Item) -> bool:
    """Whether a drawing is so high that a wide one would fill a sheet of paper."""
    size = _SIZE.search(block.svg) if isinstance(block, Drawing) else None
    return size is not None and float(size[2]) > _TALL * float(size[1])


def outgrows_a_sheet(item: Item) -> bool:
    """Whether an item may be longer than a sheet of paper, so that it can't be kept on one."""
    texts = [text for block in item.blocks for text in _texts(block)]
    return sum(1 + len(text) // _SIGNS_OF_A_LINE for text in texts) > _LINES_OF_A_SHEET


def _texts(block: Block) -> tuple[str, ...]:
    match block:
        case Paragraph(text):
            return (text,)
        case Rows(rows):
            return tuple(f"{label} {text}" for label, text in rows)
        case Bullets(items):
            return items
        case Table(_, _, rows):
            return tuple(" ".join(row) for row in rows)
        case _:
            return ()
