"""What is to be written is shown first, and written when someone says so."""

import sys
from collections.abc import Sequence

import typer

from carknocker.cli.output import write_lines, write_stream
from carknocker.cli.statuses import STOPPED, say

_QUESTION = "Write this? y or n [n]: "


def agreed(lines: Sequence[str], *, yes: bool) -> bool:
    """Whether this may be written: said beforehand, or by someone at the terminal who sees the lines.

    Raises typer.Exit where the input ends or an interrupt comes instead of an answer.
    """
    if yes or not sys.stdin.isatty():
        return yes
    write_lines(lines)
    while True:
        try:
            write_stream(sys.stdout, _QUESTION)
            typed = input().strip().casefold()
        except (EOFError, KeyboardInterrupt):
            say("\nStopped; nothing was written.")
            raise typer.Exit(STOPPED) from None
        if typed in ("", "n", "no", "y", "yes"):
            return typed.startswith("y")


def not_agreed(lines: Sequence[str]) -> list[str]:
    """What is said where it may not: what would have been written, if it was not shown yet."""
    if sys.stdin.isatty():
        return ["Nothing was written"]
    return [*lines, "Nothing was written: without a terminal add --yes"]
