"""`carknocker enter`, as it stands on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog="Example: carknocker enter my-car sheet.yaml")
def enter(
    car: CarArgument,
    form: Annotated[Path, typer.Argument(metavar="FORM", help="A filled-in form, YAML or CSV.")],
    as_of: Annotated[
        str | None,
        typer.Option(
            "--as-of", metavar="DATE", help="The day of entering, after which nothing can be read; default today."
        ),
    ] = None,
) -> None:
    """Enter a filled-in form into the car record: all of it, or nothing. What was there is kept beside it."""
    with in_plain_words():
        from carknocker.cli import enter_command

        enter_command.run(car, form, as_of)
