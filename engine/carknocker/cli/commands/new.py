"""`carknocker new`, as it stands on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.commands.one import command_line
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog='Example: carknocker new my-car --mark "QWHX 27" --name "Wren Hollow"')
def new(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where to write the files; made if need be.")],
    mark: Annotated[str, typer.Option("--mark", help="Reporting mark and number.")] = "MARK 0",
    name: Annotated[str, typer.Option("--name", help="The car's name.")] = "",
    host: Annotated[str, typer.Option("--host", help="The host railroad, if its circular is at hand.")] = "",
    out: Annotated[str | None, typer.Option("--out", metavar="DATE", help="Day out.")] = None,
    back: Annotated[str | None, typer.Option("--back", metavar="DATE", help="Day back.")] = None,
) -> None:
    """Write a commented starter record and a move, to be filled in."""
    with in_plain_words():
        from carknocker.cli import new_command

        new_command.run(folder, mark, name, host, out, back)
