"""`carknocker plan`: what to do, in what order, and when the car can be ready."""

from pathlib import Path

import typer

from carknocker.cli.answering import answer_for
from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_day
from carknocker.cli.output import write_answer
from carknocker.cli.page_output import drawn, write_as_pages
from carknocker.cli.statuses import NOT_READY, READY
from carknocker.questions.plan.plan import plan
from carknocker.questions.plan.prices import read_prices


def run(
    car: Path, move: Path | None, as_of: str | None, prices: Path | None, form: Format, rules: list[Path],
    output: Path | None,
) -> None:  # fmt: skip
    """Answers and exits: 0 where the work suffices in time, 1 where it does not."""
    day = read_day(as_of)
    place = find_place(car)
    priced = None if prices is None else read_prices(prices)
    checked = answer_for(place, None if move is None else find_place(move), load_rules([place], rules), day)
    answer = plan(checked, priced)
    if form is Format.JSON:
        from carknocker.dossier.forms.plan_json import plan_json

        write_answer(plan_json(answer), output)
    else:
        from carknocker.dossier.pages.plan_page import plan_page

        page = plan_page(answer)
        if drawn(form):
            from carknocker.dossier.drawings.on_page import drawn_into
            from carknocker.dossier.drawings.schedule import schedule_drawing

            page = drawn_into(page, schedule_drawing(answer), 1, "The steps by their days")
        write_as_pages([page], form, output)
    raise typer.Exit(READY if answer.suffices and answer.in_time else NOT_READY)
