"""`carknocker arrange`, as it stands on the command line."""

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument, DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog="Example: carknocker arrange wren-hollow/after --as-of 2026-10-28")
def arrange(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Which wheelset at which axle, from those that are fitted, carried and on the shelf."""
    with in_plain_words():
        from carknocker.cli import arrange_command

        arrange_command.run(car, move, as_of, form, rules or [], output)
