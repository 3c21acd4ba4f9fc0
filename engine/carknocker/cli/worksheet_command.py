"""`carknocker worksheet`: the sheet to print and carry, and the form to fill in."""

from pathlib import Path

import typer

from carknocker.cli.answering import answer_for
from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_day
from carknocker.cli.output import write_answer, write_whole
from carknocker.cli.page_output import write_as_pages
from carknocker.cli.statuses import status_of
from carknocker.questions.worksheet.worksheet import worksheet

_FORMS = (".yaml", ".yml", ".csv")


def run(
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
        write_whole(fill_in, text.encode("utf-8"))
    if form is Format.JSON:
        from carknocker.dossier.forms.plain_json import plain_json

        write_answer(plain_json("carknocker-worksheet/1", answer), output)
    else:
        from carknocker.dossier.pages.worksheet_page import worksheet_page

        write_as_pages([worksheet_page(answer)], form, output)
    raise typer.Exit(status_of(checked.outcome))
