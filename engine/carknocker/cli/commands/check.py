"""`carknocker check`, as it stands on the command line."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog="Example: carknocker check wren-hollow/before --as-of 2026-10-08")
def check(
    cars: Annotated[
        list[Path],
        typer.Argument(metavar="CAR", help="A car record, or a folder with one; several, or a folder of such folders."),
    ],
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
    full: Annotated[
        bool,
        typer.Option(
            "--full", help="As text, too, the whole dossier: every criterion, serials, history, tests and evidence."
        ),
    ] = False,
    table: Annotated[
        bool | None,
        typer.Option(
            "--table/--pages",
            help="A line for each car, worst first, or a page for each; by default pages up to 3 cars.",
        ),
    ] = None,
    processes: Annotated[
        int | None,
        typer.Option(
            "--processes",
            metavar="NUMBER",
            min=1,
            max=512,
            help="How many processes judge many cars at the same time; default by cars and cores.",
        ),
    ] = None,
) -> None:
    """Is the car ready for the move? What stands in the way comes first."""
    with in_plain_words():
        from carknocker.cli import check_command

        check_command.run(cars, move, as_of, form, rules or [], output, full=full, table=table, processes=processes)
