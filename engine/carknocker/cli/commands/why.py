"""`carknocker why`, as it stands on the command line."""

from typing import Annotated

import typer

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument, DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog='Example: carknocker why wren-hollow/before "wheel R5" flange-thickness --as-of 2026-10-08')
def why(
    car: CarArgument,
    part: Annotated[str | None, typer.Argument(metavar="PART", help="A part, like `wheel R5` or R5.")] = None,
    criterion: Annotated[
        str | None, typer.Argument(metavar="CRITERION", help="A criterion or consequence by its id.")
    ] = None,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Why is it so? From the outcome down to the reading, the gauge and the sentence; also why not."""
    with in_plain_words():
        from carknocker.cli import why_command

        why_command.run(car, part, criterion, move, as_of, form, rules or [], output)
