"""`carknocker rules diff`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import find_place, load_rules, read_both, read_day
from carknocker.cli.options import DayOption, Format, FormatOption, MoveOption, OutputOption, RulesOption, command_line
from carknocker.cli.output import write_answer, write_as_pages
from carknocker.cli.statuses import CANNOT_JUDGE, REFUSED, cannot_judge_text, in_plain_words, problems_text, say
from carknocker.documents import InputRefused
from carknocker.judgement.model import CannotJudge
from carknocker.questions.rules_diff.ask import CarChange, car_change, diff_editions, side_of


def _run(
    old: str, new: str, cars: list[Path], move: Path | None, as_of: str | None, form: Format, rules: list[Path],
    output: Path | None,
) -> None:  # fmt: skip
    """Answers for all cars that could be judged. Exits with 0, or with the worst that befell a car."""
    day = read_day(as_of)
    places = [find_place(car) for car in cars]
    library = load_rules(places, rules)
    before, after = side_of(old, library), side_of(new, library)
    planned = None if move is None else find_place(move)
    changes: list[CarChange] = []
    status = 0
    for place in places:
        try:
            car, its_move = read_both(place, planned)
            changes.append(car_change(car, its_move, before, after, day))
        except InputRefused as refused:
            say(problems_text(refused.problems))
            status = max(status, REFUSED)
        except CannotJudge as reason:
            say(f"{place}: {cannot_judge_text(str(reason))}")
            status = max(status, CANNOT_JUDGE)
    answer = diff_editions(before[0], after[0], changes)
    if form is Format.JSON:
        from carknocker.questions.rules_diff.json_form import rules_diff_json

        write_answer(rules_diff_json(answer), output)
    else:
        from carknocker.questions.rules_diff.page import rules_diff_page

        write_as_pages([rules_diff_page(answer)], form, output)
    raise typer.Exit(status)


app = command_line()
PLACE_IN_HELP = 210


@app.command(epilog="Example: carknocker rules diff us-federal/2015 us-federal/2020 wren-hollow/before")
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
    """What is added, withdrawn and changed between two editions, and which cars come out otherwise."""
    with in_plain_words():
        _run(old, new, cars or [], move, as_of, form, rules or [], output)
