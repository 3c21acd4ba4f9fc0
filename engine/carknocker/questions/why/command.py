"""`carknocker why`."""

from typing import Annotated

import typer
from msgspec.structs import replace

from carknocker.cli.inputs import answer_for, find_place, load_rules, move_place, read_day
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
from carknocker.cli.output import write_answer
from carknocker.cli.statuses import in_plain_words, status_of
from carknocker.questions.why.ask import why
from carknocker.questions.why.json_form import why_json
from carknocker.questions.why.page import why_page
from carknocker.whatif.otherwise import otherwise

app = command_line()
PLACE_IN_HELP = 20
OTHER_NAMES = ("explain", "reason", "reasons", "because")


@app.command(epilog='Example: carknocker why wren-hollow/before "wheel R5" flange-thickness --as-of 2026-10-08')
@in_plain_words()
def command(
    car: CarArgument,
    part: Annotated[str | None, typer.Argument(metavar="PART", help="A part, like `wheel R5` or R5.")] = None,
    criterion: Annotated[
        str | None, typer.Argument(metavar="RULE", help="A requirement or a consequence, by its id.")
    ] = None,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Why is it so, or why not? Down to the reading and the rule."""
    day = read_day(as_of)
    place = find_place(car)
    library = load_rules([place], rules)
    checked = answer_for(place, move_place(move), library, day)
    answer = why(checked, part, criterion)
    if part is None and criterion is None:
        answer = replace(answer, otherwise=otherwise(checked, library))
    write_answer(answer, form, output, json=why_json, page=why_page)
    raise typer.Exit(status_of(checked.outcome, complete=checked.complete))
