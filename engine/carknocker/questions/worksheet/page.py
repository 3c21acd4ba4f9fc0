"""The worksheet as a page to print and carry: a grid for each sheet, gauge points down and parts across."""

from collections.abc import Iterator

from carknocker.forms.model import Form, Grid, Group, Row, Sheet, Tick
from carknocker.page.model import Blanks, Block, Boxes, Bullets, Emphasized, Item, Page, Rows, Section, Table
from carknocker.wording.parts import compact_labels

_SIGNED = ("on", "by", "result", "from", "until")
_GROUPS: dict[Group, tuple[str, str]] = {
    "decides now": ("that decide now", "decide-now"),
    "wanted before departure": ("wanted before departure, when the host's inspector looks", "before-departure"),
    "only advised": ("only advised", "advised"),
}


def worksheet_page(form: Form) -> Page:
    """The page of a form. Sheets on which nothing is wanted are left out."""
    boxes = sum(1 for sheet in form.sheets for _ in sheet.boxes())
    verdict = "no reading is wanted for this move"
    signed = tuple(_entries(form.entries)) if form.entries is not None else ()
    if boxes or any(sheet.wanted for sheet in form.sheets):
        one = "" if boxes == 1 else "es"
        sheets = f"{len(form.sheets)} sheet{'' if len(form.sheets) == 1 else 's'}"
        verdict = f"{boxes:,} box{one} to fill in, on {sheets}"
    elif signed:
        verdict = "no reading is wanted for this move: only what is to be signed or filed"
    sections = [Section("This form", tuple(_head(form)))]
    for number, sheet in enumerate(form.sheets, start=1):
        heading = f"Sheet {number} of {len(form.sheets)}: {sheet.title}"
        last = signed if number == len(form.sheets) else ()  # no sheet of paper for a few lines
        sections.append(Section(heading, (_blanks(), *_blocks(sheet), *_foot(), *last)))
    if signed and not form.sheets and form.entries is not None:
        sections.append(Section(form.entries.title, signed))
    return Page(f"{form.car}: worksheet", Emphasized("WORKSHEET", f": {verdict}"), "plain", tuple(sections))


def _head(form: Form) -> Iterator[Block]:
    rows = [
        ("move", f"{form.host}, {form.out.isoformat()} to {form.back.isoformat()}"),
        ("as of", form.as_of.isoformat()),
        ("on record", f"people: {', '.join(form.people) or 'nobody'}; gauges: {', '.join(form.gauges) or 'none'}"),
    ]
    if form.missing:
        rows.append(("check says", form.missing))
    yield Rows(tuple(rows))
    notes = [
        f"{count:,} box{'' if count == 1 else 'es'} {_GROUPS[group][0]}: ask for them with --{_GROUPS[group][1]}"
        for group, count in form.other_groups
    ]
    if form.left_out:
        notes.append(
            f"{form.left_out:,} reading{'' if form.left_out == 1 else 's'} of parts that are refused anyway: left out"
        )
    if form.more_may_follow:
        notes.append("Some boxes only tell whether a rule applies: once they are known, more may be asked for.")
    if form.sheets:
        notes.append(
            "Leave a cell empty if it was not measured. A dash means: not accessible; say why at the exceptions."
        )
    if notes:
        yield Bullets(tuple(notes))
    if form.who is not None and form.sheets and any(box.why for box in form.who.boxes()):
        gauge = "gauge not on record: short name, kind, reads to, last checked, next due"
        yield Blanks((("reader not on record: short name, role, full name", ""), (gauge, ""), (gauge, "")))


def _blanks() -> Block:
    return Blanks((("day", ""), ("read by", ""), ("gauges, one for each kind", "")), beside=True)


def _foot() -> tuple[Block, ...]:
    blank = ("exception: which, what, length, width", "")
    return (Blanks((blank, blank), beside=True),)


def _blocks(sheet: Sheet) -> Iterator[Block | Item]:
    """The grids, then all ticks together, then what is no box."""
    yield from (_table(block) for block in sheet.blocks if isinstance(block, Grid))
    ticks = [block for block in sheet.blocks if isinstance(block, Tick)]
    if ticks:
        yield Boxes(tuple(_tick(tick) for tick in ticks), ticks=True)
    if sheet.wanted:
        yield Item("Worked out from readings, once they are on record", (Bullets(tuple(_wanted(sheet))),))


def _wanted(sheet: Sheet) -> Iterator[str]:
    """Figures that are worked out, together where it is for one reason."""
    alike: dict[str, list[str]] = {}
    for one in sheet.wanted:
        alike.setdefault(one.why, []).append(f"{one.label}, {one.part}")
    for why, told in alike.items():
        yield f"{'; '.join(told)}: {why}"


def _entries(sheet: Sheet) -> Iterator[Block]:
    """The tests and papers that the move wants, a line each; nothing where none is wanted."""
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
        yield Table(sheet.title, heads, rows)


def _entry_words(grid: Grid, column: str) -> str:
    """An entry with what it says besides day, signer and result, and why it is wanted."""
    boxes = [box for box in grid.boxes if box.column == column]
    rows = {row.number: row for row in grid.rows}
    told = [column[:1].upper() + column[1:]]
    for row in (rows[box.row] for box in boxes if rows[box.row].attribute not in _SIGNED):
        words = f" ({' / '.join(row.words)})" if row.words else f" ({row.unit})" if row.unit else ""
        told.append(f"{row.label}{words}")
    why = dict.fromkeys(word for box in boxes for word in box.why if word != "not on record")
    return "; ".join([*told, *why])


def _table(grid: Grid) -> Table:
    """A row for each gauge point. The names of axles stand in the heads of their columns where there is room."""
    columns = tuple(column.head for column in grid.columns)
    limited = any(_limits(row) for row in grid.rows)
    rows = tuple((_what(row), *([_limits(row)] if limited else []), *("" for _ in columns)) for row in grid.rows)
    above = dict.fromkeys(column.above for column in grid.columns if column.above)
    caption = f"{grid.heading} ({'; '.join(above)})" if above else grid.heading
    return Table(caption, ("what and how", *(["limit"] if limited else []), *columns), rows)


def _what(row: Row) -> str:
    told = [f"{row.number}. {row.label}{f' ({row.unit})' if row.unit else ''}"]
    if row.box in ("word", "words") and row.words:
        told.append(" / ".join(row.words))
    told += [row.how] if row.how else []
    told += [f"with {row.tool}"] if row.tool and row.box == "length" else []
    told += [row.access] if row.access not in ("", "walking round") else []
    told += ["read by someone whom the host accepts"] if row.accepted else []
    told += ["advised only"] if row.group == "only advised" else []
    told += ["before departure"] if row.group == "wanted before departure" else []
    return "; ".join(told)


def _limits(row: Row) -> str:
    """The strictest with the short name of its rule; others only in a word."""
    if row.box in ("word", "words"):
        return ""
    told = []
    for limit in row.limits:
        where = f" at {', '.join(limit.of)}" if limit.of else ""
        told.append(f"{limit.words}{where} ({limit.rule})")
    return "; ".join(told)


def _tick(tick: Tick) -> tuple[str, str]:
    """The box with the list of what it says read out; what is said with a word other than no has that word."""
    said = [one for one in tick.said if one.value]
    labels = _without_common_name([one.row.label for one in said])
    told = [
        label if one.value == "no" or one.value == one.row.none else f"{label}: {one.value}"
        for label, one in zip(labels, said, strict=True)
    ]
    parts = f". {compact_labels(tick.parts)}" if tick.writes != "new parts" else ""
    return f"{tick.number}. {tick.heading}", f"{' · '.join(told)}{parts}"


def _without_common_name(labels: list[str]) -> list[str]:
    """Labels without what all of them begin with, `sill steps: `, since the heading says it."""
    name = labels[0].partition(": ")[0] + ": " if labels else ""
    return [label.removeprefix(name) for label in labels] if all(one.startswith(name) for one in labels) else labels
