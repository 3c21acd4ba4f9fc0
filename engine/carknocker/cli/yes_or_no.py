"""What is to be written is shown first, and written when someone says so."""

import sys
from collections.abc import Sequence

import typer

from carknocker.cli.output import write_lines
from carknocker.cli.statuses import STOPPED


def agreed(lines: Sequence[str], *, yes: bool) -> bool:
    """Whether this may be written: said beforehand, or by someone at the terminal who sees the lines."""
    if yes or not sys.stdin.isatty():
        return yes
    write_lines(lines)
    try:
        return typer.confirm("Write this?")
    except typer.Abort:
        write_lines(["", "Stopped; nothing was written."])
        raise typer.Exit(STOPPED) from None


def not_agreed(lines: Sequence[str]) -> list[str]:
    """What is said where it may not: what would have been written, if it was not shown yet."""
    if sys.stdin.isatty():
        return ["Nothing was written"]
    return [*lines, "Nothing was written: without a terminal add --yes"]
