"""`carknocker tag`."""

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
from carknocker.cli.statuses import in_plain_words, status_of
from carknocker.questions.tag.ask import TagGiven, tag_of
from carknocker.questions.tag.json_form import tag_json
from carknocker.questions.tag.page import tag_pages

app = command_line()
PLACE_IN_HELP = 120
OTHER_NAMES = ("bad-order", "bad-order-tag", "home-shop", "defect-tag")


@app.command(epilog="Example: carknocker tag wren-hollow/before --as-of 2026-10-08 --destination 'Quillon shop'")
@in_plain_words()
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    inspector: Annotated[str, typer.Option("--inspector", help="Who inspected the car for the railroad.")] = "",
    location: Annotated[str, typer.Option("--location", help="Where it was inspected.")] = "",
    inspected_on: Annotated[str, typer.Option("--inspected-on", metavar="DATE", help="On which day.")] = "",
    destination: Annotated[str, typer.Option("--destination", help="Where the repair will be made.")] = "",
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Write the bad-order tag, one copy for each side. The railroad's qualified person signs it, never the owner."""
    day = read_day(as_of)
    if inspected_on:
        read_day(inspected_on, "--inspected-on")
    checked = check_car(car, move, rules, day)
    tag = tag_of(checked, TagGiven(inspector, location, inspected_on, destination))
    write_answer(tag, form, output, json=tag_json, page=tag_pages)
    raise typer.Exit(status_of(checked.outcome, complete=checked.complete))
