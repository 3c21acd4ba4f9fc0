"""`carknocker plan`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import check_car, read_day
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
from carknocker.cli.output import drawn, write_answer
from carknocker.cli.statuses import NOT_READY, READY, in_plain_words
from carknocker.page.model import Page
from carknocker.questions.plan.ask import plan
from carknocker.questions.plan.json_form import plan_json
from carknocker.questions.plan.model import Plan
from carknocker.questions.plan.page import plan_page
from carknocker.questions.plan.work_days import EVERY_DAY, WorkDays, read_work_days
from carknocker.whatif.work.prices import read_prices

app = command_line()
PLACE_IN_HELP = 40
OTHER_NAMES = ("repair", "repairs", "work", "schedule", "fix")


@app.command(epilog="Example: carknocker plan wren-hollow/before --as-of 2026-10-08")
@in_plain_words()
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    prices: Annotated[
        Path | None, typer.Option("--prices", metavar="FILE", help="What work and parts cost, and how long they take.")
    ] = None,
    work_days: Annotated[
        str,
        typer.Option("--work-days", metavar="DAYS", help="Days of work: `sat,sun`, `mon-fri`; default each."),
    ] = "",
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """The least work that makes the car ready, and by which day."""
    day = read_day(as_of)
    known = None if prices is None else read_prices(prices)
    answer = plan(check_car(car, move, rules, day), known, _work_days(work_days))
    write_answer(answer, form, output, json=plan_json, page=_drawn_page if drawn(form) else plan_page)
    raise typer.Exit(READY if answer.suffices and answer.in_time and answer.check.complete else NOT_READY)


def _work_days(text: str) -> WorkDays:
    """Raises BadParameter for anything but days of the week."""
    try:
        return read_work_days(text) if text else EVERY_DAY
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--work-days") from None


def _drawn_page(answer: Plan) -> Page:
    from carknocker.page.drawings.gallery import drawn_into
    from carknocker.questions.plan.drawing import schedule_drawing

    return drawn_into(plan_page(answer), schedule_drawing(answer), 1, "The steps by their days")
