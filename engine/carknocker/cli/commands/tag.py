"""`carknocker tag`, as it stands on the command line."""

from typing import Annotated

import typer

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument, DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog="Example: carknocker tag wren-hollow/before --as-of 2026-10-08 --destination 'Quillon shop'")
def tag(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    inspector: Annotated[str, typer.Option("--inspector", help="Who inspected the car for the railroad.")] = "",
    location: Annotated[str, typer.Option("--location", help="Where it was inspected.")] = "",
    inspected_on: Annotated[str, typer.Option("--inspected-on", metavar="DATE", help="On which day.")] = "",
    destination: Annotated[str, typer.Option("--destination", help="Where the repair will be made.")] = "",
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Write the bad-order tag, one copy for each side. The railroad's qualified person signs it, never the owner."""
    with in_plain_words():
        from carknocker.cli import tag_command
        from carknocker.questions.sheets.tag import TagGiven

        given = TagGiven(inspector, location, inspected_on, destination)
        tag_command.run(car, move, as_of, given, form, rules or [], output)
