"""`carknocker spares`, as it stands on the command line."""

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument, DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog="Example: carknocker spares wren-hollow/before --as-of 2026-10-08")
def spares(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Would the car be ready with that spare wheelset fitted there? Are the spares themselves still sound?"""
    with in_plain_words():
        from carknocker.cli import spares_command

        spares_command.run(car, move, as_of, form, rules or [], output)
