"""`carknocker order`, as it stands on the command line."""

from typing import Annotated

import typer

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument, DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog="Example: carknocker order wren-hollow/before 5 --as-of 2026-10-08")
def order(
    car: CarArgument,
    axle: Annotated[
        int | None, typer.Argument(metavar="AXLE", help="For one axle; default each that needs a wheelset.")
    ] = None,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """The sheet for the wheel shop, for a wheelset that the car needs."""
    with in_plain_words():
        from carknocker.cli import order_command

        order_command.run(car, axle, move, as_of, form, rules or [], output)
