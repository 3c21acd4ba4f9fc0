"""`carknocker spares`: which spare serves where, and whether it is still sound."""

from pathlib import Path

import typer

from carknocker.cli.answering import answer_for
from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_day
from carknocker.cli.output import write_answer
from carknocker.cli.page_output import write_as_pages
from carknocker.cli.statuses import status_of
from carknocker.questions.spares.spares import spares


def run(car: Path, move: Path | None, as_of: str | None, form: Format, rules: list[Path], output: Path | None) -> None:
    """Writes the answer; exits with the status of the car as it stands."""
    place = find_place(car)
    day = read_day(as_of)
    checked = answer_for(place, None if move is None else find_place(move), load_rules([place], rules), day)
    answer = spares(checked)
    if form is Format.JSON:
        from carknocker.dossier.forms.plain_json import plain_json

        write_answer(plain_json("carknocker-spares/1", answer), output)
    else:
        from carknocker.dossier.pages.spares_page import spares_page

        write_as_pages([spares_page(answer)], form, output)
    raise typer.Exit(status_of(checked.outcome))
