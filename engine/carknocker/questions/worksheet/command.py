"""`carknocker worksheet`."""

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer
from msgspec.structs import replace

from carknocker.cli.inputs import check_car, read_day
from carknocker.cli.options import (
    CarArgument,
    DayOption,
    Format,
    MoveOption,
    OutputOption,
    RulesOption,
    command_line,
)
from carknocker.cli.output import OutputRefused, encoded, write_answer, write_bytes, write_whole
from carknocker.cli.statuses import in_plain_words, status_of
from carknocker.forms import Form
from carknocker.forms.text_forms import csv_form, yaml_form
from carknocker.questions.worksheet.ask import worksheet
from carknocker.questions.worksheet.json_form import worksheet_json
from carknocker.questions.worksheet.page import worksheet_page


class WorksheetFormat(StrEnum):
    """How a worksheet is written: as any answer, or as a spreadsheet."""

    TEXT = "text"
    MARKDOWN = "markdown"
    JSON = "json"
    HTML = "html"
    PDF = "pdf"
    XLSX = "xlsx"


_TEXTS = {".yaml": yaml_form, ".yml": yaml_form, ".csv": csv_form}
"""What writes a form as text, by the ending of its file."""

app = command_line()
PLACE_IN_HELP = 70
OTHER_NAMES = ("measure", "measurements", "readings", "form", "checklist", "to-measure")


@app.command(epilog="Example: carknocker worksheet wren-hollow/before --as-of 2026-10-08 --form sheet.yaml")
@in_plain_words()
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    fill_in: Annotated[
        Path | None,
        typer.Option(
            "--form", metavar="FILE", help="Write a form to fill in: FILE.html, FILE.xlsx, FILE.csv or FILE.yaml."
        ),
    ] = None,
    before_departure: Annotated[
        bool,
        typer.Option(
            "--before-departure", help="Also what the host's inspector looks at, and what is too old by departure."
        ),
    ] = False,
    advised: Annotated[bool, typer.Option("--advised", help="Also what is only advised.")] = False,
    sheet: Annotated[
        list[str] | None,
        typer.Option("--sheet", metavar="NAME", help="This sheet alone, such as `truck B`; may be repeated."),
    ] = None,
    form: Annotated[WorksheetFormat, typer.Option("--format", help="How it is written.")] = WorksheetFormat.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What to measure for this move, sheet by sheet. For each truck, ends, brakes, body; a box for each reading."""
    if fill_in is not None:
        if fill_in.suffix.casefold() not in (*_TEXTS, ".html", ".xlsx"):
            raise typer.BadParameter(
                f"`{fill_in}`; expected FILE.html, FILE.xlsx, FILE.csv or FILE.yaml", param_hint="--form"
            )
        if fill_in.exists():
            raise typer.BadParameter(
                f"`{fill_in}`, which is there already, perhaps filled in; expected the name of a new file",
                param_hint="--form",
            )
    checked = check_car(car, move, rules, read_day(as_of))
    asked = _sheets_of(worksheet(checked, before_departure=before_departure, advised=advised), sheet or [])
    if fill_in is not None:
        write_whole(fill_in, _written(asked, fill_in.suffix.casefold()))
    if form is WorksheetFormat.XLSX:
        if output is None and sys.stdout.isatty():
            raise OutputRefused("a spreadsheet is not for a terminal: name a file with `--output FILE`")
        write_bytes(_spreadsheet(asked), output)
    else:
        write_answer(asked, Format(form.value), output, json=worksheet_json, page=worksheet_page)
    raise typer.Exit(status_of(checked.outcome, complete=checked.complete))


def _sheets_of(form: Form, names: list[str]) -> Form:
    """The form with some of its sheets; with all where none is named."""
    every = (*form.sheets, *(one for one in (form.entries, form.move) if one is not None))
    known = {own.name: own for own in every}
    for name in names:
        if name not in known:
            raise typer.BadParameter(
                f"`{name}`; expected a sheet of this form: {', '.join(f'`{one}`' for one in known)}",
                param_hint="--sheet",
            )
    if not names:
        return form
    entries, move = (one if one is not None and one.name in names else None for one in (form.entries, form.move))
    return replace(form, sheets=tuple(own for own in form.sheets if own.name in names), entries=entries, move=move)


def _written(form: Form, ending: str) -> bytes:
    """The form as the file of an ending holds it."""
    if ending == ".xlsx":
        return _spreadsheet(form)
    if ending == ".html":
        from carknocker.forms.html_form import html_form

        return encoded(html_form(form))
    return encoded(_TEXTS[ending](form))


def _spreadsheet(form: Form) -> bytes:
    from carknocker.forms.spreadsheet import spreadsheet_of

    return spreadsheet_of(form)
