"""The worksheet as a page to print and carry: a grid for each sheet, gauge points down and parts across."""

import re
from collections.abc import Iterator
from itertools import groupby

from carknocker.forms.model import Form, Grid, Group, Row, Sheet, Tick
from carknocker.page.model import Blanks, Block, Bullets, Emphasized, Head, Item, Page, Rows, Section, Table
from carknocker.page.reading_grid import GridHead, GridRow, ReadingGrid, TickBox, TickFrame, TickFrames
from carknocker.wording.parts import compact_labels

_DIGEST = 4
_AS_WRITTEN = re.compile(r"`([^`]*)`")
"""Words that are to be written as they stand."""
_OF_TRUCK = re.compile(r" of truck \w+(?= \(|$)")
_SEVERAL = 3
"""What all of so many rows of a grid say is said once."""
_MANY = 6
_FEW_WORDS = 4
"""So many words to choose from stand beside a line."""
_YES_OR_NO = ("yes", "no")
_IN_A_LINE, _IN_A_SHORT_LINE = 3, 4
"""How much of the move is asked for in one line."""
_EXCEPTION = ("if any: which", "what, where", "length, width")
"""What a tick has lines for that says so many things at once."""
_ACCEPTED = "†"
"""Marks what someone has to read whom the host accepts."""
_SIGNED = ("on", "by", "result", "from", "until", "after")
_GROUPS: dict[Group, tuple[str, str]] = {
    "decides now": ("that decide now", "decide-now"),
    "wanted before departure": ("wanted before departure", "before-departure"),
    "only advised": ("only advised", "advised"),
}


def worksheet_page(form: Form) -> Page:
    """The page of a form. Sheets on which nothing is wanted are left out."""
    boxes = sum(1 for sheet in form.sheets for _ in sheet.boxes())
    later = next((count for group, count in form.other_groups if group == "wanted before departure"), 0)
    verdict = "no reading is wanted for this move"
    if later:
        verdict = f"nothing to read now; {later:,} box{'' if later == 1 else 'es'} before departure"
    signed = tuple(_entries(form.entries, alone=not form.sheets)) if form.entries is not None else ()
    if boxes or any(sheet.wanted for sheet in form.sheets):
        one = "" if boxes == 1 else "es"
        sheets = f"{len(form.sheets)} sheet{'' if len(form.sheets) == 1 else 's'}"
        verdict = f"{boxes:,} box{one} to fill in, on {sheets}"
    elif signed:
        verdict = f"{verdict}; now only what is to be signed or filed"
    sections = [Section("This form", tuple(_head(form)))]
    for number, sheet in enumerate(form.sheets, start=1):
        heading = f"Sheet {number} of {len(form.sheets)}: {sheet.title}"
        last = signed if number == len(form.sheets) else ()  # no sheet of paper for a few lines
        work = (*_work_done(), *_move(form.move)) if number == len(form.sheets) else ()
        sections.append(Section(heading, (_blanks(), *_blocks(sheet), *_foot(sheet), *last, *work)))
    if signed and not form.sheets and form.entries is not None:
        sections.append(Section(form.entries.title, (*signed, *_work_done(), *_move(form.move))))
    told = f"{form.host}, {form.out.isoformat()} to {form.back.isoformat()}"
    head = Head(form.car, told, form.digest[:_DIGEST])
    return Page(
        f"{form.car}: worksheet", Emphasized("WORKSHEET", f": {verdict}"), "plain", tuple(sections), close=True,
        lean=True, head=head,
    )  # fmt: skip


def _head(form: Form) -> Iterator[Block]:
    rows = [
        ("for", f"{form.host}, {form.out.isoformat()} to {form.back.isoformat()}, as of {form.as_of.isoformat()}"),
        ("on record", f"people: {', '.join(form.people) or 'nobody'}; gauges: {', '.join(form.gauges) or 'none'}"),
    ]
    if form.missing:
        rows.append(("check says", form.missing))
    yield Rows(tuple(rows))
    more = [
        f"{count:,} box{'' if count == 1 else 'es'} {_GROUPS[group][0]}: ask for them with --{_GROUPS[group][1]}"
        for group, count in form.other_groups
    ]
    notes = ["; ".join(more)] if more else []
    if form.left_out:
        notes.append(
            f"{form.left_out:,} reading{'' if form.left_out == 1 else 's'} of parts that are refused anyway: left out"
        )
    if form.more_may_follow:
        notes.append("Parts are not on record: once they are, more may be asked for of each.")
    if form.sheets:
        notes.append("Leave a cell empty if it was not measured. A dash means: not accessible; say why at the foot.")
    if notes:
        yield Bullets(tuple(notes))
    if form.who is not None and form.sheets and any(box.why for box in form.who.boxes()):
        yield Blanks((("reader not on record: short name, role, full name", ""),))
        yield Blanks((("gauge not on record: short name, kind, reads to, last checked, next due", ""),))


def _blanks() -> Block:
    return Blanks((("day", ""), ("read by", ""), ("gauges, one for each kind", "")), beside=True)


def _work_done() -> tuple[Block, ...]:
    """Lines for what was done to the car, and for what is wrong on record."""
    blank = ("work done: what, where, day, by whom", "")
    wrong = ("wrong on record: which, what, day; what is right, and why", "")
    return (Blanks((blank, blank), beside=True), Blanks((blank, wrong), beside=True))


def _move(sheet: Sheet | None) -> Iterator[Block]:
    """Lines for what nobody has said of the move, and of the car for the request to its host: in few lines, since what
    is written on them is short."""
    rows = () if sheet is None else tuple(sheet.rows())
    long = [_said_of_move(row) for row in rows if row.words != _YES_OR_NO]
    short = [f"{row.label}?" for row in rows if row.words == _YES_OR_NO]
    full = len(long) - len(long) % _IN_A_LINE
    for told, most in ((long[:full], _IN_A_LINE), (long[full:] + short, _IN_A_SHORT_LINE)):
        for at in range(0, len(told), most):
            yield Blanks(tuple((words, "") for words in told[at : at + most]), beside=True)


def _said_of_move(row: Row) -> str:
    words = f" ({' / '.join(row.words)})" if 0 < len(row.words) <= _FEW_WORDS else ""
    return f"{_label(row)}{words}"


def _foot(sheet: Sheet) -> tuple[Block, ...]:
    """Lines for exceptions, more where more may be wanted, and for what could not be reached."""
    blank = ("exception: which, what, reading", "")
    more = (Blanks((blank, blank), beside=True),) if any(_conditional(sheet)) else ()
    return (*more, Blanks((blank, ("not accessible, and why", "")), beside=True))


def _blocks(sheet: Sheet) -> Iterator[Block | Item]:
    """The grids, then all ticks together, then what is no box."""
    yield from (_grid(block) for block in sheet.blocks if isinstance(block, Grid) and any(map(_has_cells, block.rows)))
    conditional = tuple(_conditional(sheet))
    if conditional:
        yield Item("Wanted as well, where it is so: write it as an exception", (Bullets(conditional),))
    ticks = [block for block in sheet.blocks if isinstance(block, Tick)]
    if ticks:
        yield TickFrames(tuple(_frames(ticks)))
    if sheet.wanted:
        yield Item("Worked out from readings, once they are on record", (Bullets(tuple(_wanted(sheet))),))


def _has_cells(row: Row) -> bool:
    """Whether a row has cells on paper: of what is wanted only where something is so a line tells."""
    return not row.only_if


def _conditional(sheet: Sheet) -> Iterator[str]:
    """What is wanted only where something is so, together where that is the same."""
    alike: dict[str, list[str]] = {}
    for row in sheet.rows():
        if row.only_if and row.number not in {block.number for block in sheet.blocks if isinstance(block, Tick)}:
            choice = " / ".join(row.words) if row.box in ("word", "words") else ""
            limits = "; ".join(limit for limit, _ in _limits(row))
            said = ": ".join(filter(None, (f"{row.number}. {_label(row)}", choice or limits)))
            alike.setdefault(row.only_if, []).append(said)
    for condition, told in alike.items():
        yield f"{condition}: {' · '.join(told)}"


def _wanted(sheet: Sheet) -> Iterator[str]:
    """Figures that are worked out, together where it is for one reason."""
    alike: dict[str, list[str]] = {}
    for one in sheet.wanted:
        alike.setdefault(one.why, []).append(f"{one.label}, {one.part}")
    for why, told in alike.items():
        yield f"{'; '.join(told)}: {why}"


def _entries(sheet: Sheet, *, alone: bool) -> Iterator[Block]:
    """The tests and papers that the move wants, a line each; nothing where none is wanted. alone: they stand under a
    heading of their own already."""
    wanted = [
        (block, column.head)
        for block in sheet.blocks
        if isinstance(block, Grid)
        for column in block.columns
        if any(box.column == column.head and box.why for box in block.boxes)
    ]
    if wanted:
        heads = ("to be signed or filed, and what it says", "day, or first day", "by whom", "result, or last day")
        rows = tuple((_entry_words(grid, head), "", "", "") for grid, head in wanted)
        yield Table(sheet.title, heads, rows, headed=alone)


def _entry_words(grid: Grid, column: str) -> str:
    """An entry with what it says besides day, signer and result, and why it is wanted."""
    boxes = [box for box in grid.boxes if box.column == column]
    rows = {row.number: row for row in grid.rows}
    told = [column[:1].upper() + column[1:]]
    for row in (rows[box.row] for box in boxes if rows[box.row].attribute not in _SIGNED):
        words = f" ({' / '.join(row.words)})" if row.words else f" ({row.unit})" if row.unit else ""
        told.append(f"{row.label}{words}")
    why = dict.fromkeys(word for box in boxes for word in box.why if word != "not on record")
    return _AS_WRITTEN.sub(r"“\1”", "; ".join([*told, *why]))


def _grid(grid: Grid) -> ReadingGrid:
    """A row for each gauge point that has cells. How all rows are read is said once."""
    rows = [row for row in grid.rows if _has_cells(row)]
    hows = [_hows(row) for row in rows]
    numbers = [how for row, how in zip(rows, hows, strict=True) if row.box == "number"]
    of_numbers = _said_of_all(numbers)
    of_all = _said_of_all(hows)
    choices = _said_of_alike(rows)
    notes = [*of_all, *(f"numbers: {one}" for one in of_numbers if one not in of_all)]
    notes += [f"{label}: {words}" for label, words in choices.items() if words not in of_all]
    if any(row.accepted for row in rows):
        notes.append(f"{_ACCEPTED} read by someone whom the host accepts")
    hows = [
        [
            one
            for one in how
            if one not in of_all
            and not (row.box == "number" and one in of_numbers)
            and choices.get(_own_label(row)) != one
        ]
        for row, how in zip(rows, hows, strict=True)
    ]
    open_cells = {(box.row, box.column) for box in grid.boxes}
    heads = tuple(
        GridHead(above, tuple(column.head for column in columns))
        for above, columns in groupby(grid.columns, lambda column: column.above)
    )
    return ReadingGrid(
        grid.heading,
        heads,
        tuple(
            GridRow(
                str(row.number), _label(row),
                "; ".join(how), _limits(row),
                tuple((row.number, column.head) in open_cells for column in grid.columns),
            )
            for row, how in zip(rows, hows, strict=True)
        ),
        "; ".join(notes),
    )  # fmt: skip


def _own_label(row: Row) -> str:
    """`fastening` of `sill steps: fastening`."""
    return row.label.rpartition(": ")[2]


def _said_of_alike(rows: list[Row]) -> dict[str, str]:
    """Label → the words of a choice that several rows have alike, `fastening` of each kind of appliance."""
    alike: dict[tuple[str, str], int] = {}
    for row in rows:
        if row.box in ("word", "words") and ": " in row.label:
            key = _own_label(row), " / ".join(row.words)
            alike[key] = alike.get(key, 0) + 1
    return {label: words for (label, words), count in alike.items() if words and count >= _SEVERAL}


def _label(row: Row) -> str:
    unit = f" ({row.unit})" if row.unit else ""
    return f"{row.label}{unit}{f' {_ACCEPTED}' if row.accepted else ''}"


def _said_of_all(hows: list[list[str]]) -> list[str]:
    """What is said of each of several rows."""
    first = hows[0] if len(hows) >= _SEVERAL else []
    return [one for one in first if all(one in how for how in hows)]


def _hows(row: Row) -> list[str]:
    """The words that may be written, how and where it is read, with what, by whom."""
    told = [" / ".join(row.words)] if row.box in ("word", "words") and row.words else []
    told += [row.only_if] if row.only_if else []
    told += [row.how] if row.how else []
    told += [f"with {row.tool}"] if row.tool and row.box == "length" else []
    told += [row.access] if row.access not in ("", "walking round") else []
    told += ["advised only"] if row.group == "only advised" else []
    told += ["before departure"] if row.group == "wanted before departure" else []
    return [_AS_WRITTEN.sub(r"“\1”", one) for one in told]


def _limits(row: Row) -> tuple[tuple[str, str], ...]:
    """The strictest with the short name of its rule, then others; none of a choice of words, which says it itself."""
    if row.box in ("word", "words"):
        return ()
    told = []
    for limit in row.limits:
        where = f" at {', '.join(limit.of)}" if limit.of else ""
        told.append((f"{limit.told}{where}", limit.rule))
    return tuple(told)


def _frames(ticks: list[Tick]) -> Iterator[TickFrame]:
    """A frame for each tick, and one for all ticks of new parts that say the same."""
    told = {id(tick): _told(tick) for tick in ticks}
    done: set[int] = set()
    for tick in ticks:
        alike = [
            one for one in ticks
            if one is tick or (tick.writes == one.writes == "new parts" and told[id(one)] == told[id(tick)])
        ]  # fmt: skip
        if id(tick) in done:
            continue
        done.update(map(id, alike))
        boxes = tuple(TickBox(str(one.number), _heading(one), one.called) for one in alike)
        said = [one for one in tick.said if one.value]
        blanks = _EXCEPTION if len(said) >= _MANY and tick.writes != "new parts" else ()
        together = "So on all of these, if there are any" if len(alike) > 1 else ""
        yield TickFrame(boxes, told[id(tick)], together, blanks)


def _heading(tick: Tick) -> str:
    """What is ticked; without the truck, which the sheet names."""
    return _OF_TRUCK.sub("", tick.heading)


def _told(tick: Tick) -> str:
    """The list of what a tick says, read out with each word, unless the heading says that there is none."""
    said = tick.read_out()
    labels = _without_common_name([label for label, _ in said])
    told = [f"{label}: {word}" if word else label for label, (_, word) in zip(labels, said, strict=True)]
    of_all = tick.writes == "new parts" or _OF_TRUCK.search(tick.heading) is not None or len(tick.parts) == 1
    parts = "" if of_all else f". {compact_labels(tick.parts)}"
    return f"{' · '.join(told)}{parts}"


def _without_common_name(labels: list[str]) -> list[str]:
    """Labels without what all of them begin with, `sill steps: `, since the heading says it."""
    name = labels[0].partition(": ")[0] + ": " if labels else ""
    return [label.removeprefix(name) for label in labels] if all(one.startswith(name) for one in labels) else labels
