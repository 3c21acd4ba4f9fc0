"""`carknocker spares`."""

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
from carknocker.cli.statuses import in_plain_words, status_of
from carknocker.questions.spares.ask import spares


def _run(car: Path, move: Path | None, as_of: str | None, form: Format, rules: list[Path], output: Path | None) -> None:
    """Writes the answer; exits with the status of the car as it stands."""
    place = find_place(car)
    day = read_day(as_of)
    checked = answer_for(place, None if move is None else find_place(move), load_rules([place], rules), day)
    answer = spares(checked)
    if form is Format.JSON:
        from carknocker.page.json_encoder import answer_json, every_field
        from carknocker.page.sheet import LINE_RULES
        from carknocker.rulebook.model import Source

        write_answer(answer_json("carknocker-spares/1", answer, {**LINE_RULES, Source: every_field(Source)}), output)
    else:
        from carknocker.questions.spares.page import spares_page

        write_as_pages([spares_page(answer)], form, output)
    raise typer.Exit(status_of(checked.outcome))


app = command_line()
PLACE_IN_HELP = 90


@app.command(epilog="Example: carknocker spares wren-hollow/before --as-of 2026-10-08")
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Would the car be ready with that spare wheelset fitted there? Are the spares themselves still sound?"""
    with in_plain_words():
        _run(car, move, as_of, form, rules or [], output)
