"""What is alike on paper, whether a browser prints a page or it is written as a PDF: the running head, labels told
once, columns for a pencil, drawings that stand alone."""

import re
from collections.abc import Iterable

from carknocker.documents.visible_text import one_line
from carknocker.page.model import Block, Boxes, Bullets, Emphasized, Item, Paragraph, Rows, Table

FOOT = "An aid to qualified people; the host decides, and a signature is a person’s."
"""What stands at the foot of every sheet."""

_CLAUSE = re.compile(r"(.{20,})[:;.] ")
_LONGEST_HEAD = 60
_LONG_LABEL = 14
_SHORT = 110
_SIGNS_OF_A_LINE, _LINES_OF_A_SHEET = 95, 45


def text_parts(text: str) -> tuple[str, str]:
    """The emphasized beginning of a text (empty if it has none) and the rest; white space collapsed."""
    whole = one_line(text)
    number = len(one_line(text.loud)) if isinstance(text, Emphasized) else 0
    return whole[:number], whole[number:]


def head_words(word: str, rest: str) -> str:
    """What stands of a verdict in the running head: its emphasized beginning, with what limits it."""
    return word if word and not rest.startswith(",") else f"{word}{one_line(rest)}"


def shortened_head(text: str) -> str:
    """A text cut to fit a running head: whole clauses if one fits, else whole words, with an ellipsis."""
    if len(text) <= _LONGEST_HEAD:
        return text
    start = text[: _LONGEST_HEAD - 1]
    clause = _CLAUSE.match(start)
    whole = clause[1] if clause else start.rpartition(" ")[0] or start
    return whole.rstrip(" ,;:.") + "…"


def labelled(rows: Iterable[tuple[str, str]]) -> list[tuple[str, list[str]]]:
    """Labelled rows; rows in sequence with the same label share it."""
    groups: list[tuple[str, list[str]]] = []
    for label, text in rows:
        if groups and text_parts(groups[-1][0]) == text_parts(label):
            groups[-1][1].append(text)
        else:
            groups.append((label, [text]))
    return groups


def has_long_labels(block: Rows) -> bool:
    """Whether the labels want a wide column."""
    return any(len(label) > _LONG_LABEL for label, _ in block.rows)


def to_fill_in(table: Table) -> list[int]:
    """The empty columns, counted from one, to be filled in with a pencil."""
    cells = list(zip(*table.rows, strict=True))
    return [number for number, column in enumerate(cells, start=1) if not any(map(one_line, column))]


def are_short(boxes: Boxes) -> bool:
    """Whether the texts beside the boxes are short enough for two boxes side by side on paper."""
    return all(len(label) + len(told) <= _SHORT for label, told in boxes.lines)


def outgrows_a_sheet(item: Item) -> bool:
    """Whether an item may be longer than a sheet of paper, and so must be allowed to break across sheets."""
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
