"""`carknocker diff`, as it stands on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import FormatOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog="Example: carknocker diff wren-hollow/before wren-hollow/after --as-of 2026-10-28")
def diff(
    before: Annotated[Path, typer.Argument(metavar="BEFORE", help="A car record, or a folder with one.")],
    after: Annotated[
        Path | None, typer.Argument(metavar="AFTER", help="Another; without it the same record is compared.")
    ] = None,
    moves: Annotated[
        list[Path] | None, typer.Option("--move", metavar="FILE", help="The move; twice: one for each.")
    ] = None,
    as_of: Annotated[
        list[str] | None, typer.Option("--as-of", metavar="DATE", help="The day; twice: one for each. Default today.")
    ] = None,
    editions: Annotated[
        list[str] | None,
        typer.Option(
            "--edition",
            metavar="RULESET=EDITION",
            help="Judge the second under this edition; given twice for a ruleset: the first and the second.",
        ),
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What is cleared, what is new, what is still open, and what work did it."""
    with in_plain_words():
        from carknocker.cli import diff_command

        diff_command.run(before, after, moves or [], as_of or [], editions or [], form, rules or [], output)
