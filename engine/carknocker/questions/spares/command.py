"""`carknocker spares`."""

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
from carknocker.cli.statuses import in_plain_words, status_of
from carknocker.questions.spares.ask import spares
from carknocker.questions.spares.json_form import spares_json
from carknocker.questions.spares.page import spares_page

app = command_line()
PLACE_IN_HELP = 90
OTHER_NAMES = ("spare", "stock", "shelf", "spare-parts")


@app.command(epilog="Example: carknocker spares wren-hollow/before --as-of 2026-10-08")
@in_plain_words()
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Where each spare wheelset fits, and whether it is sound."""
    checked = check_car(car, move, rules, read_day(as_of))
    write_answer(spares(checked), form, output, json=spares_json, page=spares_page)
    raise typer.Exit(status_of(checked.outcome, complete=checked.complete))
