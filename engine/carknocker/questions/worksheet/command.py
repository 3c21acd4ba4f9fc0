"""`carknocker worksheet`."""

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
from carknocker.cli.output import encoded, write_answer, write_as_pages, write_whole
from carknocker.cli.statuses import in_plain_words, status_of
from carknocker.questions.worksheet.ask import worksheet

_FORMS = (".yaml", ".yml", ".csv")


def _run(
    car: Path, move: Path | None, as_of: str | None, fill_in: Path | None, form: Format, rules: list[Path],
    output: Path | None,
) -> None:  # fmt: skip
    """Writes the form first, if one is asked for, then the sheet; exits with the status of the outcome."""
    if fill_in is not None:
        if fill_in.suffix.casefold() not in _FORMS:
            raise typer.BadParameter(f"`{fill_in}`: a form is named FILE.yaml or FILE.csv")
        if fill_in.exists():
            raise typer.BadParameter(f"`{fill_in}` is there already, perhaps filled in; name another file")
    place = find_place(car)
    day = read_day(as_of)
    checked = answer_for(place, None if move is None else find_place(move), load_rules([place], rules), day)
    answer = worksheet(checked)
    if fill_in is not None:
        from carknocker.questions.worksheet.forms import csv_form, yaml_form

        text = csv_form(answer) if fill_in.suffix.casefold() == ".csv" else yaml_form(answer)
        write_whole(fill_in, encoded(text))
    if form is Format.JSON:
        from carknocker.page.json_encoder import answer_json

        write_answer(answer_json("carknocker-worksheet/1", answer), output)
    else:
        from carknocker.questions.worksheet.page import worksheet_page

        write_as_pages([worksheet_page(answer)], form, output)
    raise typer.Exit(status_of(checked.outcome))


app = command_line()
PLACE_IN_HELP = 70


@app.command(epilog="Example: carknocker worksheet wren-hollow/before --as-of 2026-10-08 --form sheet.yaml")
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    fill_in: Annotated[
        Path | None,
        typer.Option("--form", metavar="FILE", help="Write a form to fill in as well: FILE.yaml, or FILE.csv."),
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What to measure for this move, in walking order, with a box for each reading."""
    with in_plain_words():
        _run(car, move, as_of, fill_in, form, rules or [], output)
