"""`carknocker recheck`, as it stands on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument, FormatOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(
    epilog="Example: carknocker recheck dossier.json wren-hollow/before. Exit status: 0 identical, "
    "1 it differs, 2 input or command line, 3 cannot judge."
)
def recheck(
    dossier: Annotated[Path, typer.Argument(metavar="DOSSIER", help="A dossier that `check --format json` wrote.")],
    car: CarArgument,
    move: Annotated[
        Path | None, typer.Argument(metavar="[MOVE]", help="The move, or a folder with one; else the car's folder's.")
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Is a dossier still true? Works it out again as of its own day, and says identical or what differs."""
    with in_plain_words():
        from carknocker.cli import recheck_command

        recheck_command.run(dossier, car, move, form, rules or [], output)
