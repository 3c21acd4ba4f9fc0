"""`carknocker worksheet`."""

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

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
from carknocker.forms import form_of
from carknocker.forms.model import Form, Group
from carknocker.page.json_encoder import answer_json
from carknocker.questions.worksheet.ask import worksheet
from carknocker.questions.worksheet.forms import csv_form, yaml_form
from carknocker.questions.worksheet.model import WorksheetAnswer
from carknocker.questions.worksheet.page import worksheet_page


class WorksheetFormat(StrEnum):
    """How a worksheet is written: as any answer, or as a spreadsheet."""

    TEXT = "text"
    MARKDOWN = "markdown"
    JSON = "json"
    HTML = "html"
    PDF = "pdf"
    XLSX = "xlsx"


_FORMS = {".yaml": yaml_form, ".yml": yaml_form, ".csv": csv_form}
"""What writes a form, by the ending of its file."""

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
        typer.Option("--before-departure", help="Also what is wanted before departure: the host's inspector looks."),
    ] = False,
    advised: Annotated[bool, typer.Option("--advised", help="Also what is only advised.")] = False,
    form: Annotated[WorksheetFormat, typer.Option("--format", help="How it is written.")] = WorksheetFormat.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What to measure for this move, in walking order, with a box for each reading."""
    if fill_in is not None:
        if fill_in.suffix.casefold() not in (*_FORMS, ".html", ".xlsx"):
            raise typer.BadParameter(f"`{fill_in}`: a form is named FILE.html, FILE.xlsx, FILE.csv or FILE.yaml")
        if fill_in.exists():
            raise typer.BadParameter(f"`{fill_in}` is there already, perhaps filled in; name another file")
    checked = check_car(car, move, rules, read_day(as_of))
    answer = worksheet(checked)
    groups: list[Group] = ["decides now"]
    groups += ["wanted before departure"] if before_departure else []
    groups += ["only advised"] if advised else []
    asked = form_of(checked, tuple(groups))
    if fill_in is not None:
        write_whole(fill_in, _written(asked, answer, fill_in.suffix.casefold()))
    if form is WorksheetFormat.XLSX:
        if output is None and sys.stdout.isatty():
            raise OutputRefused("a spreadsheet is not for a terminal: name a file with `--output FILE`")
        write_bytes(_spreadsheet(asked), output)
    else:
        write_answer(answer, Format(form.value), output, json=_json, page=lambda _: worksheet_page(asked))
    raise typer.Exit(status_of(checked.outcome, complete=checked.complete))


def _written(form: Form, answer: WorksheetAnswer, ending: str) -> bytes:
    """The form as the file of an ending holds it."""
    if ending == ".xlsx":
        return _spreadsheet(form)
    if ending == ".html":
        from carknocker.forms.html_form import html_form

        return encoded(html_form(form))
    return encoded(_FORMS[ending](answer))


def _spreadsheet(form: Form) -> bytes:
    from carknocker.forms.spreadsheet import spreadsheet_of

    return spreadsheet_of(form)


def _json(answer: WorksheetAnswer) -> str:
    return answer_json("carknocker-worksheet/1", answer)
