"""`carknocker tag`."""

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
from carknocker.cli.output import write_answer, write_as_pages
from carknocker.cli.statuses import in_plain_words, status_of
from carknocker.questions.tag.ask import TagGiven, tag_of


def _run(
    car: Path, move: Path | None, as_of: str | None, given: TagGiven, form: Format, rules: list[Path],
    output: Path | None,
) -> None:  # fmt: skip
    """Writes the tag; exits with the status of the outcome."""
    place = find_place(car)
    day = read_day(as_of)
    if given.inspected_on:
        read_day(given.inspected_on)
    answer = answer_for(place, None if move is None else find_place(move), load_rules([place], rules), day)
    tag = tag_of(answer, given)
    if form is Format.JSON:
        from carknocker.questions.tag.json_form import tag_json

        write_answer(tag_json(tag), output)
    else:
        from carknocker.questions.tag.page import tag_pages

        write_as_pages(tag_pages(tag), form, output)
    raise typer.Exit(status_of(answer.outcome))


app = command_line()
PLACE_IN_HELP = 120


@app.command(epilog="Example: carknocker tag wren-hollow/before --as-of 2026-10-08 --destination 'Quillon shop'")
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
    with in_plain_words():
        given = TagGiven(inspector, location, inspected_on, destination)
        _run(car, move, as_of, given, form, rules or [], output)
