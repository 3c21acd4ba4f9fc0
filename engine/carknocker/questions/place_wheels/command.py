"""`carknocker place-wheels`."""

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
from carknocker.questions.place_wheels.ask import place_wheels
from carknocker.questions.place_wheels.json_form import place_wheels_json
from carknocker.questions.place_wheels.page import place_wheels_page

app = command_line()
PLACE_IN_HELP = 50
OTHER_NAMES = ("arrange", "arrangement", "place-wheelsets", "swap-wheels", "move-wheels")


@app.command(epilog="Example: carknocker place-wheels wren-hollow/after --as-of 2026-10-28")
@in_plain_words()
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Which wheelset goes at which axle. Of those under the car, aboard and on the shelf."""
    answer = place_wheels(check_car(car, move, rules, read_day(as_of)))
    write_answer(answer, form, output, json=place_wheels_json, page=place_wheels_page)
    raise typer.Exit(READY if answer.best is not None and answer.strict else NOT_READY)
