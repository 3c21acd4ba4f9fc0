"""`carknocker request`."""

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
from carknocker.page.sheet import sheet_json
from carknocker.questions.request.ask import request
from carknocker.questions.request.page import request_page

FORMAT = "carknocker-request/1"

app = command_line()
PLACE_IN_HELP = 95
OTHER_NAMES = ("letter", "application", "apply")


@app.command(
    epilog="Example: carknocker request wren-hollow/after --as-of 2026-10-28 --format html --output request.html"
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
    """The request to the host, unsigned, and when to send it. Car, move, riders, papers, whom to call."""
    checked = check_car(car, move, rules, read_day(as_of))
    write_answer(request(checked), form, output, json=partial(sheet_json, FORMAT), page=request_page)
