"""`carknocker check`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import answer_for, find_place, load_rules, read_day
from carknocker.cli.options import DayOption, Format, FormatOption, MoveOption, OutputOption, RulesOption, command_line
from carknocker.cli.output import drawn, write_answer, write_as_pages
from carknocker.cli.statuses import (
    CANNOT_JUDGE,
    REFUSED,
    cannot_judge_text,
    in_plain_words,
    problems_text,
    say,
    status_of,
)
from carknocker.documents import InputRefused
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import CannotJudge

MOST_PAGES = 3
"""Of more cars than this a table is written, unless pages are asked for."""


def _run(
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
        from carknocker.questions.check.many_cars import places_of

        places = list(places_of(cars))
        many = len(places) > MOST_PAGES and not full and form is not Format.JSON
        as_table = many if table is None else table
        if as_table or (form is Format.JSON and len(places) > 1):
            from carknocker.questions.check.many_cars import run as run_fleet

            given = None if move is None else find_place(move)
            run_fleet(places, given, day, form, rules, output, table=as_table, processes=processes)
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
        from carknocker.questions.check.json_form import json_of

        write_answer(json_of(answers), output)
        return
    if form is Format.TEXT and not full:
        from carknocker.questions.check.page import page_of
        from carknocker.questions.check.view import view_of

        write_as_pages([page_of(view_of(answer)) for answer in answers], form, output)
        return
    from carknocker.questions.check.page import whole_page

    write_as_pages([whole_page(answer, drawn=drawn(form)) for answer in answers], form, output)


app = command_line()
PLACE_IN_HELP = 10


@app.command(epilog="Example: carknocker check wren-hollow/before --as-of 2026-10-08")
def command(
    cars: Annotated[
        list[Path],
        typer.Argument(metavar="CAR", help="A car record, or a folder with one; several, or a folder of such folders."),
    ],
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
    full: Annotated[
        bool,
        typer.Option(
            "--full", help="As text, too, the whole dossier: every criterion, serials, history, tests and evidence."
        ),
    ] = False,
    table: Annotated[
        bool | None,
        typer.Option(
            "--table/--pages",
            help="A line for each car, worst first, or a page for each; by default pages up to 3 cars.",
        ),
    ] = None,
    processes: Annotated[
        int | None,
        typer.Option(
            "--processes",
            metavar="NUMBER",
            min=1,
            max=512,
            help="How many processes judge many cars at the same time; default by cars and cores.",
        ),
    ] = None,
) -> None:
    """Is the car ready for the move? What stands in the way comes first."""
    with in_plain_words():
        _run(cars, move, as_of, form, rules or [], output, full=full, table=table, processes=processes)
