"""`carknocker due`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import answer_for, find_place, load_rules, move_place, read_day
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
from carknocker.cli.output import write_answer, write_whole
from carknocker.cli.statuses import in_plain_words, status_of
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.questions.due.ask import due
from carknocker.questions.due.json_form import due_json
from carknocker.questions.due.page import due_page

app = command_line()
PLACE_IN_HELP = 60
OTHER_NAMES = ("horizon", "dates", "calendar", "expires", "expiry", "lapses", "deadlines", "due-dates")


@app.command(epilog="Example: carknocker due wren-hollow/after --as-of 2026-10-28 --ics due.ics")
@in_plain_words()
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    miles_a_year: Annotated[
        str, typer.Option("--miles-a-year", metavar="MILES", help="Miles planned in a year, like `5,000 mi`.")
    ] = "",
    ics: Annotated[
        Path | None, typer.Option("--ics", metavar="FILE", help="Write the dates as an iCalendar file as well.")
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """How long the car stays ready, and what runs out when. What wears out when, too."""
    day = read_day(as_of)
    miles = _miles(miles_a_year)
    place = find_place(car)
    library = load_rules([place], rules)
    checked = answer_for(place, move_place(move), library, day)
    answer = due(checked, library, miles)
    if ics is not None:
        from carknocker.questions.due.calendar import calendar_of  # imports a large library

        write_whole(ics, calendar_of(answer))
    write_answer(answer, form, output, json=due_json, page=due_page)
    raise typer.Exit(status_of(checked.outcome, complete=checked.complete))


def _miles(text: str) -> Quantity | None:
    """The miles of a year; None if the option is left out. Raises BadParameter."""
    if not text:
        return None
    try:
        miles = read_quantity(text, "distance")
    except QuantityError as error:
        raise typer.BadParameter(f"{error}, like `5,000 mi` for a year", param_hint="--miles-a-year") from None
    if miles.n <= 0:
        raise typer.BadParameter(
            f"`{text}`; expected more than 0, or none of this option where no miles are planned",
            param_hint="--miles-a-year",
        )
    return miles
