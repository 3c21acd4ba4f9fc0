"""`carknocker rules diff`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import find_place, load_rules, move_place, read_both, read_day
from carknocker.cli.options import DayOption, Format, FormatOption, MoveOption, OutputOption, RulesOption, command_line
from carknocker.cli.output import write_answer
from carknocker.cli.statuses import in_plain_words, say_why
from carknocker.documents import InputRefused
from carknocker.judgement.model import CannotJudge
from carknocker.questions.rules_diff.ask import CarChange, car_change, diff_editions, side_of
from carknocker.questions.rules_diff.json_form import rules_diff_json
from carknocker.questions.rules_diff.page import rules_diff_page

app = command_line()
PLACE_IN_HELP = 210
OTHER_NAMES = ("compare", "differences")


@app.command(epilog="Example: carknocker rules diff us-federal/2015 us-federal/2020 wren-hollow/before")
@in_plain_words()
def command(
    old: Annotated[str, typer.Argument(metavar="OLD", help="RULESET/EDITION, or an edition's folder.")],
    new: Annotated[str, typer.Argument(metavar="NEW", help="Another.")],
    cars: Annotated[
        list[Path] | None, typer.Argument(metavar="CAR", help="Cars whose outcome may change, each with its move.")
    ] = None,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What changes between two editions, and for which cars."""
    day = read_day(as_of)
    places = [find_place(car) for car in cars or []]
    library = load_rules(places, rules)
    before, after = side_of(old, library), side_of(new, library)
    planned = move_place(move)
    changes: list[CarChange] = []
    status = 0
    for place in places:
        try:
            changes.append(car_change(*read_both(place, planned), before, after, day))
        except (InputRefused, CannotJudge) as error:
            status = max(status, say_why(error, str(place)))
    answer = diff_editions(before[0], after[0], changes)
    write_answer(answer, form, output, json=rules_diff_json, page=rules_diff_page)
    raise typer.Exit(status)
