"""`carknocker workings`, as it stands on the command line."""

from carknocker.cli.choices import Format
from carknocker.cli.commands.one import command_line
from carknocker.cli.options import CarArgument, DayOption, FormatOption, MoveOption, OutputOption, RulesOption
from carknocker.cli.statuses import in_plain_words

app = command_line()


@app.command(epilog="Example: carknocker workings wren-hollow/before --as-of 2026-10-08")
def workings(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Every figure that no gauge reads, with its worked line; what is missing for the others."""
    with in_plain_words():
        from carknocker.cli import workings_command

        workings_command.run(car, move, as_of, form, rules or [], output)
