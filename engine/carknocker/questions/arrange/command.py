"""`carknocker arrange`."""

import typer

from carknocker.cli.inputs import check_car, read_day
from carknocker.cli.options import (
    CarArgument,
    DayOption,
    Format,
    FormatOption,
    MoveOption,
    OutputOption,
    RulesOption,
    command_line,
)
from carknocker.cli.output import write_answer
from carknocker.cli.statuses import NOT_READY, READY, in_plain_words
from carknocker.questions.arrange.ask import arrange
from carknocker.questions.arrange.json_form import arrange_json
from carknocker.questions.arrange.page import arrange_page

app = command_line()
PLACE_IN_HELP = 50


@app.command(epilog="Example: carknocker arrange wren-hollow/after --as-of 2026-10-28")
@in_plain_words()
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Which wheelset at which axle, from those that are fitted, carried and on the shelf."""
    answer = arrange(check_car(car, move, rules, read_day(as_of)))
    write_answer(answer, form, output, json=arrange_json, page=arrange_page)
    raise typer.Exit(READY if answer.best is not None and answer.strict else NOT_READY)
