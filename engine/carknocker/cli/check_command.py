"""`carknocker check`: is the car ready for the move?"""

from pathlib import Path

import typer

from carknocker.cli.answering import answer_for
from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_day
from carknocker.cli.output import write_answer
from carknocker.cli.page_output import drawn, write_as_pages
from carknocker.cli.statuses import CANNOT_JUDGE, REFUSED, cannot_judge_text, problems_text, say, status_of
from carknocker.documents import InputRefused
from carknocker.judgement.model import CannotJudge
from carknocker.questions.check import CheckAnswer

MOST_PAGES = 3
"""Of more cars than this a table is written, unless pages are asked for."""


def run(
    cars: list[Path],
    move: Path | None,
    as_of: str | None,
    form: Format,
    rules: list[Path],
    output: Path | None,
    *,
    full: bool = False,
    table: bool | None = None,
    processes: int | None = None,
) -> None:
    """Judges each car and writes one answer for all that could be judged. Exits with the worst status.

    full: the whole dossier, where text would be the short page. table: a line for each car instead of a page; None: for
    more than a few cars. processes: how many judge at the same time, where it is a table or several dossiers as JSON.
    """
    day = read_day(as_of)
    places = [find_place(car) for car in cars]
    if len(places) > 1 or table or _is_no_car(places[0].path):
        from carknocker.cli.fleet_places import places_of

        places = list(places_of(cars))
        many = len(places) > MOST_PAGES and not full and form is not Format.JSON
        as_table = many if table is None else table
        if as_table or (form is Format.JSON and len(places) > 1):
            from carknocker.cli import fleet_command

            given = None if move is None else find_place(move)
            fleet_command.run(places, given, day, form, rules, output, table=as_table, processes=processes)
    library = load_rules(places, rules)
    answers: list[CheckAnswer] = []
    status = 0
    for place in places:
        try:
            answer = answer_for(place, None if move is None else find_place(move), library, day)
        except InputRefused as refused:
            say(problems_text(refused.problems))
            status = max(status, REFUSED)
        except CannotJudge as reason:
            say(f"{place}: {cannot_judge_text(str(reason))}")
            status = max(status, CANNOT_JUDGE)
        else:
            answers.append(answer)
            status = max(status, status_of(answer.outcome))
    if answers:
        write(answers, form, output, full=full)
    raise typer.Exit(status)


def _is_no_car(path: Path) -> bool:
    """Whether it is a folder that may stand for the cars below it."""
    return path.is_dir() and not (path / "car.yaml").is_file()


def write(answers: list[CheckAnswer], form: Format, output: Path | None, *, full: bool = False) -> None:
    """Writes the answers in the form asked for: text as the short page unless `full`, the others whole."""
    if form is Format.JSON:
        from carknocker.dossier.forms.json_form import json_of

        write_answer(json_of(answers), output)
        return
    if form is Format.TEXT and not full:
        from carknocker.dossier.check.layout import page_of
        from carknocker.dossier.check.view import view_of

        write_as_pages([page_of(view_of(answer)) for answer in answers], form, output)
        return
    from carknocker.dossier.check.whole import whole_page

    write_as_pages([whole_page(answer, drawn=drawn(form)) for answer in answers], form, output)
