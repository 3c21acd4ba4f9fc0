"""`carknocker why`: from the outcome down to the reading, the gauge, the sentence."""

from pathlib import Path

import typer
from msgspec.structs import replace

from carknocker.cli.answering import answer_for
from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_day
from carknocker.cli.output import write_answer
from carknocker.cli.page_output import write_as_pages
from carknocker.cli.statuses import REFUSED, say, status_of
from carknocker.questions.counterfactual.otherwise import otherwise
from carknocker.questions.why.names import NotFound
from carknocker.questions.why.why import why


def run(
    car: Path, part: str | None, criterion: str | None, move: Path | None, as_of: str | None, form: Format,
    rules: list[Path], output: Path | None,
) -> None:  # fmt: skip
    """Answers and exits with the status of the outcome; 2 where a part or a rule of that name is not there."""
    day = read_day(as_of)
    place = find_place(car)
    library = load_rules([place], rules)
    checked = answer_for(place, None if move is None else find_place(move), library, day)
    try:
        answer = why(checked, part, criterion)
    except NotFound as error:
        say(str(error))
        raise typer.Exit(REFUSED) from None
    if part is None and criterion is None:
        answer = replace(answer, otherwise=otherwise(checked, library))
    if form is Format.JSON:
        from carknocker.dossier.forms.why_json import why_json

        write_answer(why_json(answer), output)
    else:
        from carknocker.dossier.pages.why_page import why_page

        write_as_pages([why_page(answer)], form, output)
    raise typer.Exit(status_of(checked.outcome))
