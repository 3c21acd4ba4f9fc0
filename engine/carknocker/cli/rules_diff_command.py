"""`carknocker rules diff`: two editions, clause by clause, and what that does to some cars."""

from pathlib import Path

import typer

from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_both, read_day
from carknocker.cli.output import write_answer
from carknocker.cli.page_output import write_as_pages
from carknocker.cli.statuses import CANNOT_JUDGE, REFUSED, cannot_judge_text, problems_text, say
from carknocker.documents import InputRefused
from carknocker.judgement.model import CannotJudge
from carknocker.questions.rules_diff.cars import car_change
from carknocker.questions.rules_diff.rules_diff import CarChange, diff_editions
from carknocker.questions.rules_diff.sides import side_of


def run(
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
        from carknocker.dossier.forms.rules_diff_json import rules_diff_json

        write_answer(rules_diff_json(answer), output)
    else:
        from carknocker.dossier.pages.rules_diff_page import rules_diff_page

        write_as_pages([rules_diff_page(answer)], form, output)
    raise typer.Exit(status)
