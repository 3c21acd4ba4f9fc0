"""`carknocker horizon`, as it stands on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument, DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog="Example: carknocker horizon wren-hollow/after --as-of 2026-10-28 --ics horizon.ics")
def horizon(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    miles_a_year: Annotated[
        str, typer.Option("--miles-a-year", metavar="MILES", help="Miles planned in a year, like `5,000 mi`.")
    ] = "",
    ics: Annotated[
        Path | None, typer.Option("--ics", metavar="FILE", help="Write the dates as an iCalendar file as well.")
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """How long does the car stay ready, what lapses when, and what wears out when?"""
    with in_plain_words():
        from carknocker.cli import horizon_command

        horizon_command.run(car, move, as_of, miles_a_year, ics, form, rules or [], output)
