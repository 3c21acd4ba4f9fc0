"""`carknocker horizon`."""

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
from carknocker.cli.output import write_answer, write_as_pages, write_whole
from carknocker.cli.statuses import in_plain_words, status_of
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.questions.horizon.ask import horizon


def _run(
    car: Path, move: Path | None, as_of: str | None, miles_a_year: str, ics: Path | None, form: Format,
    rules: list[Path], output: Path | None,
) -> None:  # fmt: skip
    """Writes the calendar first, if one is asked for, then the answer; exits with the status of the planned move."""
    day = read_day(as_of)
    miles = _miles(miles_a_year)
    place = find_place(car)
    library = load_rules([place], rules)
    checked = answer_for(place, None if move is None else find_place(move), library, day)
    answer = horizon(checked, library, miles)
    if ics is not None:
        from carknocker.questions.horizon.calendar import calendar_of

        write_whole(ics, calendar_of(answer))
    if form is Format.JSON:
        from carknocker.page.json_encoder import answer_json, every_field
        from carknocker.rulebook.model import Source

        write_answer(answer_json("carknocker-horizon/1", answer, {Source: every_field(Source)}), output)
    else:
        from carknocker.questions.horizon.page import horizon_page

        write_as_pages([horizon_page(answer)], form, output)
    raise typer.Exit(status_of(checked.outcome))


def _miles(text: str) -> Quantity | None:
    if not text:
        return None
    try:
        miles = read_quantity(text, "distance")
    except QuantityError as error:
        raise typer.BadParameter(f"{error}; write the miles of a year like `5,000 mi`") from None
    if miles.n <= 0:
        raise typer.BadParameter(f"`{text}` are no miles; leave the option out where none are planned")
    return miles


app = command_line()
PLACE_IN_HELP = 60


@app.command(epilog="Example: carknocker horizon wren-hollow/after --as-of 2026-10-28 --ics horizon.ics")
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
    """How long does the car stay ready, what lapses when, and what wears out when?"""
    with in_plain_words():
        _run(car, move, as_of, miles_a_year, ics, form, rules or [], output)
