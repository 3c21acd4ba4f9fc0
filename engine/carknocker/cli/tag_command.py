"""`carknocker tag`: the bad-order tag, its signature left blank."""

from pathlib import Path

import typer

from carknocker.cli.answering import answer_for
from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_day
from carknocker.cli.output import write_answer
from carknocker.cli.page_output import write_as_pages
from carknocker.cli.statuses import status_of
from carknocker.questions.sheets.tag import TagGiven, tag_of


def run(
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
        from carknocker.dossier.forms.tag_json import tag_json

        write_answer(tag_json(tag), output)
    else:
        from carknocker.dossier.pages.tag_page import tag_pages

        write_as_pages(tag_pages(tag), form, output)
    raise typer.Exit(status_of(answer.outcome))
