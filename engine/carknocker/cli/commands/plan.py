"""`carknocker plan`, as it stands on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument, DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog="Example: carknocker plan wren-hollow/before --as-of 2026-10-08")
def plan(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    prices: Annotated[
        Path | None, typer.Option("--prices", metavar="FILE", help="What work and parts cost, and how long they take.")
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """The smallest set of work that makes the car ready, in workable order, and the day on which it can be."""
    with in_plain_words():
        from carknocker.cli import plan_command

        plan_command.run(car, move, as_of, prices, form, rules or [], output)
