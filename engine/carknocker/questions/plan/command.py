"""`carknocker plan`."""

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
from carknocker.cli.output import drawn, write_answer, write_as_pages
from carknocker.cli.statuses import NOT_READY, READY, in_plain_words
from carknocker.questions.plan.plan import plan
from carknocker.questions.plan.prices import read_prices


def _run(
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
        from carknocker.questions.plan.json_form import plan_json

        write_answer(plan_json(answer), output)
    else:
        from carknocker.questions.plan.page import plan_page

        page = plan_page(answer)
        if drawn(form):
            from carknocker.page.drawings.svg_ids import drawn_into
            from carknocker.questions.plan.drawing import schedule_drawing

            page = drawn_into(page, schedule_drawing(answer), 1, "The steps by their days")
        write_as_pages([page], form, output)
    raise typer.Exit(READY if answer.suffices and answer.in_time else NOT_READY)


app = command_line()
PLACE_IN_HELP = 40


@app.command(epilog="Example: carknocker plan wren-hollow/before --as-of 2026-10-08")
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    prices: Annotated[
        Path | None, typer.Option("--prices", metavar="FILE", help="What work and parts cost, and how long they take.")
    ] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """The smallest set of work that makes the car ready, in workable order, and the day on which it can be."""
    with in_plain_words():
        _run(car, move, as_of, prices, form, rules or [], output)
