"""Pages as plain data for the typesetter: every text is a run of characters, never markup."""

import hashlib
import re
import unicodedata
from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any, TypeAlias

from carknocker.documents.visible_text import one_line
from carknocker.page.model import (
    Blanks,
    Block,
    Box,
    Boxes,
    Bullets,
    Calendar,
    Commands,
    Decisions,
    Drawing,
    FaultRow,
    FaultRows,
    Item,
    Leaf,
    Page,
    Paragraph,
    Picture,
    Rows,
    Section,
    Table,
    Tick,
    Ticks,
    ToWrite,
    Tree,
    texts_of_block,
)
from carknocker.page.paper import (
    FOOT,
    are_short,
    has_long_labels,
    head_words,
    labelled,
    shortened_head,
    text_parts,
)
from carknocker.page.pdf.runs import Runs, rest_runs, runs_of, shown
from carknocker.page.pdf.tables import MILLIMETER, calendar_data, cell_data, table_data
from carknocker.page.pdf.typeface import has, in_its_place
from carknocker.page.reading_grid import ReadingGrid, TickFrame, TickFrames

Data: TypeAlias = dict[str, Any]

TEXT_WIDTH = 178 * MILLIMETER
"""Of a sheet, points."""
TABLE_SIZE, SMALL_TABLE_SIZE, CLOSE_SIZE = 9.0, 7.6, 9.0
_SHEET, _BETWEEN, _HIGHEST = 178.0, 4.0, 215.0
"""Of drawings, millimeters: the width of a sheet's text, what is left between two, and the most height."""
_PICTURE, _HIGHEST_PICTURE = 87.0, 90.0
_LETTERS_OF_A_LINE, _LETTERS_OF_A_TICK, _MANY_LINES = 50, 36, 25
_NUMBERED_INDENT = 8 * MILLIMETER
HALF_WIDTH, ASIDE_LEFT, ASIDE = 85 * MILLIMETER, 117 * MILLIMETER, 46 * MILLIMETER
"""Of one of two columns; of a fault's words and of what stands at their right. Points."""
_LONG_OUTCOME, _LETTERS_OF_A_REASON, _LETTERS_OF_A_FAULT, _LETTERS_OF_A_HEADING = 12, 90, 62, 62
_LETTERS_OF_A_HEAD, _LETTERS_OF_A_TITLE = 84, 40


def data_of(pages: Sequence[Page]) -> Data:
    """All that the template shows. Raises NoHead."""
    title = ", ".join(dict.fromkeys(one_line(page.title) for page in pages))
    return {
        "title": shown(title) or "carknocker",
        "pages": [_page(page, number) for number, page in enumerate(pages)],
    }


def _heading(text: str) -> Runs:
    """A heading; PDF/UA-1 has none that is empty."""
    return runs_of(text) or "–"


def _page(page: Page, number: int) -> Data:
    word, rest = text_parts(page.verdict)
    apart = bool(word) and (rest.startswith((":", ".")) or not rest)
    writer = _Writer(f"page-{number}", finding=page.bar is not None)
    sections = _in_halves([(section.half, writer.section(section)) for section in page.sections])
    writer.link_faults()
    return {
        "title": _heading(page.title),
        "wordy": len(page.title) > _LETTERS_OF_A_TITLE,
        "head": _head(page, word, rest),
        "bar": _bar(page),
        "word": runs_of(word),
        "rest": runs_of(rest.lstrip(":. ")) if apart else rest_runs(rest),
        "apart": apart,
        "above": runs_of(page.above),
        "dated": runs_of(page.dated),
        "foot": runs_of(page.foot or FOOT),
        "close": page.close,
        "lean": page.lean,
        "flowing": page.flowing,
        "beside": [runs_of(one) for one in page.beside],
        "brief": writer.numbered if page.brief else [],
        "sections": sections,
    }


def _head(page: Page, word: str, rest: str) -> Data:
    head = page.head
    if head is None:
        said = shortened_head(head_words(word, rest))
        return {
            "name": runs_of(shortened_head(one_line(page.title))), "word": runs_of(said), "boxed": bool(word),
            "told": "", "digest": "", "numbered": "", "two-lines": False,
        }  # fmt: skip
    said = page.bar.word if page.bar is not None else word
    return {
        "name": runs_of(shortened_head(one_line(head.name))), "word": runs_of(said), "boxed": bool(said),
        "told": runs_of(head.told), "digest": runs_of(head.digest), "numbered": head.numbered,
        "two-lines": len(head.name) + len(said) + len(head.told) > _LETTERS_OF_A_HEAD,
    }  # fmt: skip


def _bar(page: Page) -> Data | None:
    bar = page.bar
    if bar is None:
        return None
    return {
        "outcome": bar.outcome, "word": runs_of(bar.word), "why": runs_of(bar.why), "limit": runs_of(bar.limit),
        "long": len(bar.word) > _LONG_OUTCOME, "wordy": len(bar.why) > _LETTERS_OF_A_REASON,
    }  # fmt: skip


def _in_halves(listed: Sequence[tuple[bool, Data]]) -> list[Data]:
    """The same in order; two halves in sequence as one that holds both."""
    made: list[Data] = []
    left: Data | None = None
    for half, data in listed:
        if half and left is not None:
            made[-1] = {"kind": "halves", "left": left, "right": data}
            left = None
        else:
            made.append(data)
            left = data if half else None
    return made


_IN_SEQUENCE = (Drawing, ReadingGrid)
"""Blocks that are laid out with those of their sort before and behind them."""


class _Writer:
    """Lays out the blocks of a page. numbered: its numbered items, for links to them. finding: on a finding nothing is
    in small print."""

    def __init__(self, name: str, *, finding: bool) -> None:
        self._name = name
        self._finding = finding
        self._faults: list[Data] = []
        self.numbered: list[Data] = []

    def link_faults(self) -> None:
        """Leaves a link only where there is an item of its number."""
        names = {one["name"] for one in self.numbered}
        for line in self._faults:
            if line["target"] not in names:
                line["target"] = ""

    def section(self, section: Section) -> Data:
        small = section.folded and not self._finding
        size = SMALL_TABLE_SIZE if small else TABLE_SIZE
        room = HALF_WIDTH if section.half else TEXT_WIDTH
        return {
            "kind": "section",
            "heading": _heading(section.heading),
            "small": small,
            "sheet": section.sheet,
            "lead": runs_of(section.lead),
            "foot": section.foot,
            "alone": section.alone,
            "blocks": self._blocks(section.blocks, size, room),
        }

    def _blocks(self, blocks: Iterable[Block | Item], size: float, room: float) -> list[Data]:
        made: list[tuple[bool, Data]] = []
        for sort, group in groupby(blocks, lambda block: type(block) if isinstance(block, _IN_SEQUENCE) else None):
            listed = list(group)
            if sort is ReadingGrid:
                grids = [_grid(block) for block in listed if isinstance(block, ReadingGrid)]
                made.append((False, {"kind": "grids", "grids": grids}))
            elif sort is Drawing:
                drawings = [block for block in listed if isinstance(block, Drawing)]
                made.extend((False, _drawings(row)) for row in _side_by_side(drawings))
            else:
                made.extend(
                    (block.half, self._item(block, size, HALF_WIDTH if block.half else room))
                    if isinstance(block, Item)
                    else (False, self._block(block, size, room))
                    for block in listed
                )
        return _in_halves(made)

    def _block(self, block: Block, size: float, room: float) -> Data:
        match block:
            case Paragraph(text, strong):
                return {"kind": "paragraph", "text": runs_of(text), "strong": strong}
            case Rows(rows):
                groups = [_labelled_row(label, texts) for label, texts in labelled(rows)]
                return {"kind": "rows", "wide": has_long_labels(block), "rows": groups, "facts": block.facts}
            case Bullets(items):
                return {"kind": "bullets", "items": [runs_of(item) for item in items]}
            case Box(heading, items):
                return {"kind": "box", "heading": runs_of(heading), "items": [runs_of(item) for item in items]}
            case Boxes(lines, ticks):
                return {"kind": "boxes", "short": ticks or are_short(block), "ticks": ticks, "lines": _lines(lines)}
            case Blanks(lines, beside):
                return {"kind": "blanks", "beside": beside, "lines": _lines(lines)}
            case Tree(leaves):
                return {"kind": "tree", "leaves": [_leaf(leaf) for leaf in leaves]}
            case Table():
                return table_data(block, size, room)
            case ReadingGrid():
                return {"kind": "grids", "grids": [_grid(block)]}
            case TickFrames(frames):
                return _frames(frames)
            case FaultRows(faults, more):
                long = any(len(line.part) + len(line.says) > _LETTERS_OF_A_FAULT for line in faults)
                listed = [self._fault(line) for line in faults]
                return {"kind": "faults", "lines": listed, "more": runs_of(more), "long": long}
            case Ticks(ticks, means, columns):
                boxes = [
                    {"text": cell_data(tick.text), "on": tick.on, "column": column}
                    for tick, column in zip(ticks, _columns_of(ticks, columns), strict=True)
                ]
                told = [runs_of(one) for one in means] if any(means) else []
                return {"kind": "ticks", "ticks": boxes, "means": told, "columns": columns}
            case Decisions(heads, written, signed, signed_lines):
                made = [(head, True, written) for head in heads]
                named = [(signed, False, signed_lines)] if signed else []
                return {
                    "kind": "decisions",
                    "boxes": [
                        {"head": runs_of(head), "tick": to_tick, "lines": [*map(runs_of, lines)]}
                        for head, to_tick, lines in (*named, *made)
                    ],
                }
            case Calendar():
                return calendar_data(block)
            case Commands(commands):
                return {"kind": "commands", "lines": [runs_of(line) for line in commands]}
            case Drawing():
                return _drawings([block])
            case Picture():
                return _picture(block)

    def _fault(self, line: FaultRow) -> Data:
        fault = {
            "number": str(line.number), "part": runs_of(line.part), "says": runs_of(line.says), "binds": line.binds,
            "cite": runs_of(line.cite), "target": self._target(line.number),
        }  # fmt: skip
        self._faults.append(fault)
        return fault

    def _target(self, number: int) -> str:
        return f"{self._name}-entry-{number}"

    def _item(self, item: Item, size: float, room: float) -> Data:
        name = self._target(item.number) if item.number else ""
        heading = _heading(item.heading)
        if item.number:
            while any(one["name"] == name for one in self.numbered):
                name += "-"
            self.numbered.append({"name": name, "heading": heading, "number": str(item.number)})
        room = ASIDE_LEFT if item.aside else room - (_NUMBERED_INDENT if item.number else 0)
        return {
            "kind": "item",
            "name": name,
            "number": str(item.number) if item.number else "",
            "heading": heading,
            "loud": _emphasized(item.heading if one_line(item.heading) else "–"),
            "binds": item.binds,
            "wordy": bool(item.aside) and len(item.heading) > _LETTERS_OF_A_HEADING,
            "blocks": self._blocks(item.blocks, size, room),
            "aside": self._blocks(item.aside, size, ASIDE),
            "long": may_be_long(item),
        }


def may_be_long(item: Item) -> bool:
    """Whether an item may be longer than a sheet, so that it has to be measured. Never false of one that is."""
    return sum(map(_most_lines, item.blocks)) > _MANY_LINES


def _most_lines(block: Block) -> int:
    """More lines than the block can take, or so many that it must be measured."""
    if isinstance(block, Drawing | Picture | Boxes | Blanks | Box | ReadingGrid | TickFrames):
        return _MANY_LINES
    return sum(2 + len(text) // _LETTERS_OF_A_LINE for text in texts_of_block(block))


_CELLS = {1: 30.0, 2: 26.0, 3: 20.0, 4: 16.0, 5: 14.0, 6: 14.0}
"""Millimeters: cells of a grid by the number of its columns."""
_HALF_CELLS = {1: 20.0, 2: 15.5}
_FOR_MANY_CELLS = 100.0


def _grid(grid: ReadingGrid) -> Data:
    columns = [column for head in grid.heads for column in head.columns]
    return {
        "caption": runs_of(grid.caption),
        "note": runs_of(grid.note),
        "cell": _CELLS.get(len(columns), _FOR_MANY_CELLS / max(1, len(columns))),
        "half": _HALF_CELLS.get(len(columns), 0.0),
        "heads": [{"above": runs_of(head.above), "count": len(head.columns)} for head in grid.heads],
        "spanned": any(head.above for head in grid.heads),
        "firsts": [sum(len(head.columns) for head in grid.heads[:number]) for number in range(len(grid.heads))],
        "columns": [runs_of(one_line(column)) for column in columns],
        "rows": [
            {
                "number": row.number, "label": runs_of(row.label), "how": runs_of(row.how), "open": list(row.open),
                "limits": [{"words": runs_of(words), "rule": runs_of(rule)} for words, rule in row.limits],
            }
            for row in grid.rows
        ],
    }  # fmt: skip


_LETTERS_OF_A_COLUMN = 60
_LETTERS_OF_A_LONG_TICK = 170


def _half_of(lines: Sequence[int]) -> int:
    """How many of some, each so many lines high, are about half of all."""
    return min(range(1, len(lines) + 1), key=lambda number: abs(2 * sum(lines[:number]) - sum(lines)), default=0)


def _frames(frames: Sequence[TickFrame]) -> Data:
    made = [_frame(one) for one in frames]
    short = [one for one, data in zip(frames, made, strict=True) if not data["wide"]]
    lines = [1 + sum(len(tick.heading) for tick in one.ticks) + len(one.told) for one in short]
    return {"kind": "frames", "frames": made, "middle": _half_of([1 + one // _LETTERS_OF_A_COLUMN for one in lines])}


def _frame(frame: TickFrame) -> Data:
    return {
        "ticks": [
            {"number": tick.number, "heading": runs_of(tick.short if frame.together else tick.heading)}
            for tick in frame.ticks
        ],
        "together": runs_of(frame.together), "told": runs_of(frame.told),
        "blanks": [runs_of(one) for one in frame.blanks],
        "wide": bool(frame.together or frame.blanks) or len(frame.told) > _LETTERS_OF_A_LONG_TICK,
    }  # fmt: skip


def _labelled_row(label: str, texts: Sequence[str]) -> Data:
    long = sum(1 + len(text) // _LETTERS_OF_A_LINE for text in texts) > _MANY_LINES
    return {"label": _emphasized(label), "texts": [_emphasized(text) for text in texts], "long": long}


def _emphasized(text: str) -> Data:
    loud, rest = text_parts(text)
    return {
        "loud": runs_of(loud),
        "rest": rest_runs(rest),
        "to_write": isinstance(text, ToWrite),
    }


def _lines(lines: Iterable[tuple[str, str]]) -> list[Data]:
    return [{"label": runs_of(label), "told": runs_of(told)} for label, told in lines]


def _columns_of(ticks: Sequence[Tick], columns: int) -> list[int]:
    """The column of each box, so that the columns are about equally high."""
    high = [1 + len(tick.text) // _LETTERS_OF_A_TICK for tick in ticks]
    each = -(-sum(high) // columns)
    made: list[int] = []
    column = told = 0
    for lines in high:
        if told and told + lines > each and column < columns - 1:
            column, told = column + 1, 0
        told += lines
        made.append(column)
    return made


def _leaf(leaf: Leaf) -> Data:
    return {
        "text": runs_of(leaf.text),
        "struck": leaf.struck,
        "notes": [runs_of(note) for note in leaf.notes],
        "under": [_leaf(one) for one in leaf.under],
    }


def file_of(picture: Picture) -> str:
    """The name under which the template finds a photograph: by what is in it, so that the PDF is the same each time."""
    return f"{hashlib.sha256(picture.jpeg).hexdigest()[:32]}.jpg"


def _picture(picture: Picture) -> Data:
    ratio = picture.height / picture.width
    return {
        "kind": "picture",
        "title": runs_of(picture.title),
        "described": shown(picture.described) or shown(picture.title) or "photograph",
        "file": file_of(picture),
        "width": min(_PICTURE, _HIGHEST_PICTURE / ratio),
    }


def pictures_of(pages: Sequence[Page]) -> dict[str, bytes]:
    """File → photograph, of all in some pages."""
    found: dict[str, bytes] = {}
    for page in pages:
        for section in page.sections:
            for block in section.blocks:
                inner = (*block.blocks, *block.aside) if isinstance(block, Item) else (block,)
                found.update((file_of(one), one.jpeg) for one in inner if isinstance(one, Picture))
    return found


def _side_by_side(drawings: Sequence[Drawing]) -> list[list[Drawing]]:
    """Drawings in rows, as many in each as the sheet is wide."""
    rows: list[list[Drawing]] = []
    for drawing in drawings:
        if rows and sum(one.width + _BETWEEN for one in rows[-1]) + drawing.width <= _SHEET:
            rows[-1].append(drawing)
        else:
            rows.append([drawing])
    return rows


def _drawings(drawings: Sequence[Drawing]) -> Data:
    shown_each = []
    for drawing in drawings:
        ratio = drawing.height / drawing.width
        shown_each.append(
            {
                "title": "" if drawing.headed else runs_of(drawing.title),
                "described": shown(drawing.described) or shown(drawing.title) or drawing.name,
                "svg": svg_for_print(drawing.svg),
                "width": min(drawing.width, _HIGHEST / ratio) if ratio > 0 else drawing.width,
            }
        )
    return {"kind": "drawings", "drawings": shown_each}


_TEXT_OF_SVG = re.compile(r"(<text\b[^>]*>)([^<]*)(?=</text>)")
_FRACTION_OF_SVG = re.compile(r"(?<![\w/.])((?:\d+-)?\d{1,2})/(2|4|8|16|32|64)(?![\w/]|\.\d)")


def svg_for_print(svg: str) -> str:
    """A drawing in characters that the face has; the slash of a fraction is the one (U+2044) that makes the face set
    it as a fraction."""
    return _TEXT_OF_SVG.sub(lambda found: found[1] + _FRACTION_OF_SVG.sub("\\1\u2044\\2", _shown_in_svg(found[2])), svg)


def _shown_in_svg(text: str) -> str:
    """A character without a like one is a question mark here: its number would be wider than its place."""
    if text.isascii():
        return text
    placed = (
        sign if sign.isascii() or has(sign) else in_its_place(sign) for sign in unicodedata.normalize("NFC", text)
    )
    return "".join("?" if one.startswith("[U+") else one for one in placed)
