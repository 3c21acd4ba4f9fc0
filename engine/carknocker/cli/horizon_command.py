"""`carknocker horizon`: how long the car stays ready, what lapses when, what wears out when."""

from pathlib import Path

import typer

from carknocker.cli.answering import answer_for
from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_day
from carknocker.cli.output import write_answer, write_whole
from carknocker.cli.page_output import write_as_pages
from carknocker.cli.statuses import status_of
from carknocker.quantities import Quantity, QuantityError, read_quantity
from carknocker.questions.horizon.horizon import horizon


def run(
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
        from carknocker.dossier.forms.horizon_calendar import calendar_of

        write_whole(ics, calendar_of(answer))
    if form is Format.JSON:
        from carknocker.dossier.forms.plain_json import plain_json

        write_answer(plain_json("carknocker-horizon/1", answer), output)
    else:
        from carknocker.dossier.pages.horizon_page import horizon_page

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
