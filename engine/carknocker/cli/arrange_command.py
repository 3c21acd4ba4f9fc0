"""`carknocker arrange`: which wheelset at which axle."""

from pathlib import Path

import typer

from carknocker.cli.answering import answer_for
from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_day
from carknocker.cli.output import write_answer
from carknocker.cli.page_output import write_as_pages
from carknocker.cli.statuses import NOT_READY, READY
from carknocker.questions.arrange.arrange import arrange


def run(
    car: Path, move: Path | None, as_of: str | None, form: Format, rules: list[Path], output: Path | None
) -> None:  # fmt: skip
    """Answers and exits: 0 where an arrangement is shown to hold, 1 where none is."""
    day = read_day(as_of)
    place = find_place(car)
    checked = answer_for(place, None if move is None else find_place(move), load_rules([place], rules), day)
    answer = arrange(checked)
    if form is Format.JSON:
        from carknocker.dossier.forms.arrange_json import arrange_json

        write_answer(arrange_json(answer), output)
    else:
        from carknocker.dossier.pages.arrange_page import arrange_page

        write_as_pages([arrange_page(answer)], form, output)
    raise typer.Exit(READY if answer.best is not None and answer.strict else NOT_READY)
