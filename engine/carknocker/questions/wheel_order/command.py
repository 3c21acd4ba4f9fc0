"""`carknocker wheel-order`."""

from functools import partial
from typing import Annotated

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
from carknocker.cli.statuses import in_plain_words
from carknocker.page.sheet import sheet_json, sheet_page
from carknocker.questions.wheel_order.ask import wheel_order

FORMAT = "carknocker-wheel-order/1"

app = command_line()
PLACE_IN_HELP = 110
OTHER_NAMES = ("order", "wheel-shop", "order-wheels", "wheelset-order")


@app.command(epilog="Example: carknocker wheel-order wren-hollow/before 5 --as-of 2026-10-08")
@in_plain_words()
def command(
    car: CarArgument,
    axle: Annotated[
        int | None, typer.Argument(metavar="AXLE", help="For one axle; default each that needs a wheelset.")
    ] = None,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """The order for the wheel shop. For each wheelset that the car needs."""
    checked = check_car(car, move, rules, read_day(as_of))
    write_answer(wheel_order(checked, axle), form, output, json=partial(sheet_json, FORMAT), page=sheet_page)
