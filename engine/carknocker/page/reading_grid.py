"""What is filled in by hand on a sheet of paper: grids of readings, and frames with a box to tick. Other media have
them as a table and as a list of boxes."""

import msgspec


class GridHead(msgspec.Struct, frozen=True):
    """Columns that stand together. above: what stands over them (`axle 1, W-31`); may be empty."""

    above: str
    columns: tuple[str, ...]


class GridRow(msgspec.Struct, frozen=True):
    """One gauge point. number: its place on the sheet. how: how and where it is read. limits: each in words with the
    place of its rule, the strictest first. open: of each column, whether anything is to be written there."""

    number: str
    label: str
    how: str
    limits: tuple[tuple[str, str], ...]
    open: tuple[bool, ...]

    @property
    def words(self) -> str:
        """`8. flange thickness (in); 3/8 in above the tread`."""
        said = f"{self.number}. {self.label}"
        return f"{said}; {self.how}" if self.how else said

    @property
    def limit_words(self) -> str:
        return "; ".join(f"{words} ({rule})" for words, rule in self.limits)


class ReadingGrid(msgspec.Struct, frozen=True):
    """Gauge points down, parts across. note: what holds for every row, said once."""

    caption: str
    heads: tuple[GridHead, ...]
    rows: tuple[GridRow, ...]
    note: str = ""

    @property
    def limited(self) -> bool:
        """Whether any row has a limit."""
        return any(row.limits for row in self.rows)

    @property
    def captioned(self) -> str:
        """The caption, with what stands over the columns and the note, where there is no room for them elsewhere."""
        above = "; ".join(head.above for head in self.heads if head.above)
        said = f"{self.caption} ({above})" if above else self.caption
        return f"{said}: {self.note}" if self.note else said


class TickBox(msgspec.Struct, frozen=True):
    """One box to tick. short: its heading where another stands over several."""

    number: str
    heading: str
    short: str = ""


class TickFrame(msgspec.Struct, frozen=True):
    """What is ticked, each with its number; several where they say the same. told: what it says. together: the heading
    of several, whose own ones are then `short`. blanks: what is to be written if it is not so, on lines of their
    own."""

    ticks: tuple["TickBox", ...]
    told: str
    together: str = ""
    blanks: tuple[str, ...] = ()


class TickFrames(msgspec.Struct, frozen=True):
    """Frames, two beside each other where they have no lines to write on."""

    frames: tuple[TickFrame, ...]
