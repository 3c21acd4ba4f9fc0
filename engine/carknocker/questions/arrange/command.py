"""`carknocker arrange`."""

from pathlib import Path

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
from carknocker.cli.output import write_answer, write_as_pages
from carknocker.cli.statuses import NOT_READY, READY, in_plain_words
from carknocker.questions.arrange.ask import arrange


def _run(
    car: Path, move: Path | None, as_of: str | None, form: Format, rules: list[Path], output: Path | None
) -> None:  # fmt: skip
    """Answers and exits: 0 where an arrangement is shown to hold, 1 where none is."""
    day = read_day(as_of)
    place = find_place(car)
    checked = answer_for(place, None if move is None else find_place(move), load_rules([place], rules), day)
    answer = arrange(checked)
    if form is Format.JSON:
        from carknocker.questions.arrange.json_form import arrange_json

        write_answer(arrange_json(answer), output)
    else:
        from carknocker.questions.arrange.page import arrange_page

        write_as_pages([arrange_page(answer)], form, output)
    raise typer.Exit(READY if answer.best is not None and answer.strict else NOT_READY)


app = command_line()
PLACE_IN_HELP = 50


@app.command(epilog="Example: carknocker arrange wren-hollow/after --as-of 2026-10-28")
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Which wheelset at which axle, from those that are fitted, carried and on the shelf."""
    with in_plain_words():
        _run(car, move, as_of, form, rules or [], output)
