"""`carknocker setout`, as it stands on the command line."""

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument, DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(
    epilog="Example: carknocker setout wren-hollow/after --as-of 2026-10-28 --format html --output setout.html"
)
def setout(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """The sheet that rides along, for strangers who may have to change a wheelset at night."""
    with in_plain_words():
        from carknocker.cli import setout_command

        setout_command.run(car, move, as_of, form, rules or [], output)
