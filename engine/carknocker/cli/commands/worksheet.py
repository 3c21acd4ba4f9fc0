"""`carknocker worksheet`, as it stands on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument, DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog="Example: carknocker worksheet wren-hollow/before --as-of 2026-10-08 --form sheet.yaml")
def worksheet(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    fill_in: Annotated[
        Path | None,
        typer.Option("--form", metavar="FILE", help="Write a form to fill in as well: FILE.yaml, or FILE.csv."),
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What to measure for this move, in walking order, with a box for each reading."""
    with in_plain_words():
        from carknocker.cli import worksheet_command

        worksheet_command.run(car, move, as_of, fill_in, form, rules or [], output)
