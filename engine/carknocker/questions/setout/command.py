"""`carknocker setout`."""

from functools import partial

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
from carknocker.cli.statuses import in_plain_words
from carknocker.page.sheet import sheet_json, sheet_page
from carknocker.questions.setout.ask import setout

FORMAT = "carknocker-setout/1"

app = command_line()
PLACE_IN_HELP = 100
OTHER_NAMES = ("set-off", "set-out-sheet")


@app.command(
    epilog="Example: carknocker setout wren-hollow/after --as-of 2026-10-28 --format html --output setout.html"
)
@in_plain_words()
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """The sheet to carry aboard. For strangers who may have to change a wheelset at night."""
    checked = check_car(car, move, rules, read_day(as_of))
    write_answer(setout(checked), form, output, json=partial(sheet_json, FORMAT), page=sheet_page)
