"""`carknocker order`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import answer_for, find_place, load_rules, read_day
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
from carknocker.cli.output import write_sheet
from carknocker.cli.statuses import in_plain_words
from carknocker.questions.order.ask import order


def _run(
    car: Path, axle: int | None, move: Path | None, as_of: str | None, form: Format, rules: list[Path],
    output: Path | None,
) -> None:  # fmt: skip
    """Writes the sheet for one axle, or for each that needs a wheelset. It is no judgement: the exit status is 0."""
    place = find_place(car)
    day = read_day(as_of)
    checked = answer_for(place, None if move is None else find_place(move), load_rules([place], rules), day)
    write_sheet(order(checked, axle), "carknocker-order/1", form, output)


app = command_line()
PLACE_IN_HELP = 110


@app.command(epilog="Example: carknocker order wren-hollow/before 5 --as-of 2026-10-08")
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
    """The sheet for the wheel shop, for a wheelset that the car needs."""
    with in_plain_words():
        _run(car, axle, move, as_of, form, rules or [], output)
