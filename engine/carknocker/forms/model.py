"""The form as plain data: sheets of blocks, a block a grid or one box for many parts. It holds no last reading: a gauge
is read blind."""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from typing import Literal

import msgspec

Group = Literal["decides now", "wanted before departure", "only advised"]
GROUPS: tuple[Group, ...] = ("decides now", "wanted before departure", "only advised")
BoxKind = Literal["length", "figure", "number", "word", "words", "day", "text", "tick"]
"""length: in inches and fractions. figure: with another unit. number: a whole one, or `none fitted`. word: one of those
of the row; words: some of them."""
NONE = "None on"
"""How the heading of a tick begins that says that there is none; that of any other says `So on`."""
Writes = Literal["reading", "description", "statement", "new parts", "entry"]
"""Where an answer goes: a dated sheet of the record, its parts, the move, parts that the record gets with it, or a list
of the record: tests, papers, work."""


class Limit(msgspec.Struct, frozen=True):
    """words: `over 7/8 in`. rule: the place of the sentence, short. asked_by: law, host or trade. of: positions that it
    is for, empty where it is for all of the row. word, amount: of a fixed figure, `over` and 7/8, in the base unit.
    only_if: what has to be so for it to be asked, where nobody knows that yet and the row does not say it."""

    words: str
    rule: str
    asked_by: str
    of: tuple[str, ...] = ()
    word: str = ""
    amount: Fraction | None = None
    only_if: str = ""

    @property
    def told(self) -> str:
        """The words, with what has to be so before them."""
        return f"{self.only_if}: {self.words}" if self.only_if else self.words


class Row(msgspec.Struct, frozen=True):
    """What is read at one gauge point, or said of one thing. number: of the row on its sheet, the first is 1.

    how: how and where to measure. unit: in which it is written if no other is written. limits: the strictest first,
    others only of who else asks. accepted: it has to be read by someone whom the host accepts. follows: attribute of
    the same kind of part that must say first that there is some. none: the value that says that there is none.
    only_for: asked only where the first box of its column says one of these; empty: always. only_if: what has to be so
    for it to be wanted, in words, where nobody knows that yet.
    """

    number: int
    kind: str
    attribute: str
    label: str
    box: BoxKind
    group: Group
    writes: Writes
    words: tuple[str, ...] = ()
    unit: str = ""
    how: str = ""
    tool: str = ""
    access: str = ""
    limits: tuple[Limit, ...] = ()
    accepted: bool = False
    follows: str = ""
    none: str = ""
    only_for: tuple[str, ...] = ()
    only_if: str = ""

    @property
    def gauge(self) -> str:
        """The tool whose gauge goes with a figure of the row; empty where none does."""
        return self.tool if self.box in ("length", "figure") and self.writes == "reading" else ""


class Condition(msgspec.Struct, frozen=True):
    """That a box says one of some words. part: as a form names it."""

    part: str
    attribute: str
    words: tuple[str, ...]


class Box(msgspec.Struct, frozen=True):
    """One answer. row, column: its place on the sheet. part: as a form names it (`wheel L3`, `brake system`); of new
    parts, where they are (`truck B`). group: of this part. why: reasons, each once; empty where it was never read.
    only_if: what other boxes have to say for this one to be wanted; all of it. which: of a part that has but a number,
    what it is and where: `sill steps, end B`."""

    row: int
    column: str
    part: str
    attribute: str
    group: Group
    why: tuple[str, ...] = ()
    only_if: tuple[Condition, ...] = ()
    which: str = ""


class Column(msgspec.Struct, frozen=True):
    """head: what stands over the column (`L3`). above: what stands over several (`axle 3, W-33`)."""

    head: str
    above: str = ""


class Grid(msgspec.Struct, frozen=True):
    """Gauge points down, parts across. A cell without a box is not asked for. by_column: each column is an entry of
    the record, filled in by itself."""

    heading: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    boxes: tuple[Box, ...]
    by_column: bool = False

    def answers(self) -> Iterator[tuple[Row, Box]]:
        """Each box with its row."""
        rows = {row.number: row for row in self.rows}
        yield from ((rows[box.row], box) for box in self.boxes)


class Said(msgspec.Struct, frozen=True):
    """One thing that a tick says of every part. value: as a record writes it, `no`, `0 in`, `sound`; empty for what is
    asked only where there is some. row: the row by which an exception is written."""

    row: Row
    value: str


class Tick(msgspec.Struct, frozen=True):
    """One box that says the same of many parts, and lines for exceptions. number: of its row on the sheet.

    heading: `None on any wheel`. called: the new parts that it is about, `sill steps`; else empty. boxes: every answer
    that it gives, each of which may be given by itself instead.
    """

    number: int
    heading: str
    kind: str
    said: tuple[Said, ...]
    boxes: tuple[Box, ...]
    writes: Writes = "reading"
    called: str = ""

    @property
    def parts(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(one.part for one in self.boxes))

    def read_out(self) -> tuple[tuple[str, str], ...]:
        """Each label that the tick is about, with the word that it says of it: empty where the heading says it, `None
        on any wheel`."""
        none = self.heading.startswith(NONE)
        return tuple(
            (one.row.label, "" if none and one.value in ("no", one.row.none) else one.value)
            for one in self.said
            if one.value
        )

    @property
    def words(self) -> str:
        """What the tick says, in one line."""
        return " · ".join(f"{label}: {word}" if word else label for label, word in self.read_out())

    def answers(self) -> Iterator[tuple[Row, Box]]:
        """Each box with the row by which an exception is written."""
        rows = {said.row.attribute: said.row for said in self.said}
        yield from ((rows[box.attribute], box) for box in self.boxes)

    def value_of(self, box: Box) -> str:
        """What the tick says in a box."""
        return next(one.value for one in self.said if one.row.attribute == box.attribute)


class NewParts(msgspec.Struct, frozen=True):
    """Parts that must be there and are not on record: how many, and what is said of all of them.

    number: the row that asks how many, None where the record says it and `missing` are not listed. which: what the
    record has to say of each, as it is known from the row itself. container: as a form names it.
    """

    container: str
    column: str
    kind: str
    called: str
    missing: int | None
    number: Box | None
    which: tuple[tuple[str, str], ...] = ()


class Wanted(msgspec.Struct, frozen=True):
    """A figure that is worked out from readings, and is no box."""

    part: str
    label: str
    why: str
    group: Group


Block = Grid | Tick


class GaugeFor(msgspec.Struct, frozen=True):
    """A tool that the figures of a sheet are read with, and the gauges on record that can read any of them, as a form
    names them: `G-1 (finger gauge)`."""

    tool: str
    gauges: tuple[str, ...]


class Sheet(msgspec.Struct, frozen=True):
    """name: short and unique in a form (`truck B`); with row and column the place of a box. new_parts: those that its
    blocks bring into the record."""

    name: str
    title: str
    blocks: tuple[Block, ...]
    new_parts: tuple[NewParts, ...] = ()
    wanted: tuple[Wanted, ...] = ()
    gauges: tuple[GaugeFor, ...] = ()

    def rows(self) -> Iterator[Row]:
        for block in self.blocks:
            yield from block.rows if isinstance(block, Grid) else (said.row for said in block.said)

    def boxes(self) -> Iterator[Box]:
        for block in self.blocks:
            yield from block.boxes


class Form(msgspec.Struct, frozen=True):
    """missing: what the record lacks, as `check` counts it. left_out: how many readings are not asked for, since the
    part they belong to is refused anyway. other_groups: how many boxes of the groups that are not in this form.
    more_may_follow: parts are not on record, of which more is asked once they are. entries: the sheet for tests, papers
    and work, which is there also where no reading is wanted. move: the sheet for what the move may say and no rule
    asks; None where all of it is said. who: the sheet for people and gauges that are not on record."""

    mark: str
    car: str
    as_of: date
    out: date
    back: date
    host: str
    digest: str
    groups: tuple[Group, ...]
    sheets: tuple[Sheet, ...]
    people: tuple[str, ...]
    gauges: tuple[str, ...]
    missing: str
    left_out: int
    other_groups: tuple[tuple[Group, int], ...]
    more_may_follow: bool
    entries: Sheet | None = None
    who: Sheet | None = None
    move: Sheet | None = None

    @property
    def every_sheet(self) -> tuple[Sheet, ...]:
        """The sheets for readings, then those for entries, the move, people and gauges."""
        return (*self.sheets, *(one for one in (self.entries, self.move, self.who) if one is not None))

    def is_signed(self, sheet: Sheet) -> bool:
        """Whether a sheet has its day and its reader at its head."""
        return sheet not in (self.entries, self.move, self.who)


class Answer(msgspec.Struct, frozen=True):
    """What was written in one box. part: as a form names it. place: where in the file that came back, as its reader
    finds it (`sheet “truck B”, cell F12`). gauge: its short name, empty for that of the sheet."""

    part: str
    attribute: str
    text: str
    place: str
    gauge: str = ""
