"""Blocks that want boxes, blanks or days in a grid, as plain lines: for the terminal and for Markdown."""

from carknocker.page.model import Calendar, Decisions, FaultRow, Table, Ticks
from carknocker.wording.days import days_words

BOX = "[__________]"
BLANK = "_" * 32


def box_lines(lines: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    """A line for each box: the box, what to read, and notes that help."""
    return tuple(f"{BOX} {label}. {told}" if told else f"{BOX} {label}" for label, told in lines)


def blank_rows(lines: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    """Labelled rows, each with a blank to fill in, and notes in brackets."""
    return tuple((label, f"{BLANK} ({told})" if told else BLANK) for label, told in lines)


TICKED, UNTICKED, LINE = "[x]", "[ ]", "__________"


def table_rows(table: Table) -> list[list[str]]:
    """The cells of a table; of a column to tick or to write on, a box or a blank in each."""
    mark = {"tick": UNTICKED, "line": LINE}
    return [[mark.get(table.kind(number), cell) for number, cell in enumerate(row)] for row in table.rows]


def tick_lines(ticks: Ticks) -> tuple[str, ...]:
    """A line for each box, then what the boxes mean."""
    lines = (f"{TICKED if tick.on else UNTICKED} {tick.text}" for tick in ticks.ticks)
    means = (f"{TICKED} {ticks.means[0]}; {UNTICKED} {ticks.means[1]}",) if any(ticks.means) else ()
    return (*lines, *means)


def decision_lines(decisions: Decisions) -> tuple[str, ...]:
    """A line for each box, with blanks for what is written in it."""
    own = (f"{decisions.signed}: {_blanks(decisions.signed_lines)}",) if decisions.signed else ()
    return (*own, *(f"{UNTICKED} {head}: {_blanks(decisions.lines)}" for head in decisions.heads))


def _blanks(lines: tuple[str, ...]) -> str:
    return ", ".join(f"{line} {LINE}" for line in lines)


def calendar_lines(calendar: Calendar) -> tuple[str, ...]:
    """A line for each row: what is due, on which days, and its note."""
    return tuple(
        f"{row.title}: {days_words(row.days)}" + (f" ({row.note})" if row.note else "") for row in calendar.rows
    )


def fault_words(line: FaultRow) -> str:
    """One fault: what it is on, what is wrong, whose rule it is and where it stands."""
    rule = ", ".join(word for word in (line.binds, line.cite) if word)
    return f"{line.part}: {line.says}" + (f" ({rule})" if rule else "")
