"""`carknocker check`."""

from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from carknocker.cli.inputs import Place, answer_for, find_place, load_rules, move_place, read_day
from carknocker.cli.options import DayOption, Format, FormatOption, MoveOption, OutputOption, RulesOption, command_line
from carknocker.cli.output import drawn, write_answer
from carknocker.cli.statuses import in_plain_words, say_why, status_of
from carknocker.documents import InputRefused
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import CannotJudge
from carknocker.page.model import Page
from carknocker.record import find_car
from carknocker.record.photographs import photographs_by

if TYPE_CHECKING:
    from carknocker.documents.pictures import SmallPicture

MOST_PAGES = 3
"""For more cars than this the answer is a table, unless pages are asked for."""

app = command_line()
PLACE_IN_HELP = 10
OTHER_NAMES = ("ready", "inspect", "judge", "clear", "dossier", "report", "status", "verdict", "fleet")


@app.command(epilog="Example: carknocker check wren-hollow/before --as-of 2026-10-08")
@in_plain_words()
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
            "--full", help="As text, too, the whole dossier in eight sheets, with tests, evidence, serials and digests."
        ),
    ] = False,
    appendix: Annotated[
        bool,
        typer.Option(
            "--appendix",
            help="Write the rest beside the output file: FILE-appendix, with every requirement and its margin, "
            "worked figures, serials, the rules quoted, the words used.",
        ),
    ] = False,
    everything: Annotated[
        bool, typer.Option("--all", help="With --appendix: list what does not apply, too; else it is only counted.")
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
    scheduler: Annotated[
        str | None,
        typer.Option(
            "--scheduler",
            metavar="ADDRESS",
            help="Judge many cars on a cluster of Dask, by its scheduler's address: tcp://HOST:PORT.",
        ),
    ] = None,
) -> None:
    """Is this car ready for this move, and if not, why not?"""
    day = read_day(as_of)
    second = _second_file(output, appendix=appendix, everything=everything)
    places = [find_place(car) for car in cars]
    planned = move_place(move)
    if len(places) > 1 or table or _has_no_car(places[0].path):
        from carknocker.questions.check.many_cars import check_many, places_of

        places = list(places_of(cars))
        many = len(places) > MOST_PAGES and not full and form is not Format.JSON
        as_table = many if table is None else table
        if as_table or (form is Format.JSON and len(places) > 1):
            if appendix:
                told = "an appendix is of one car: name one car at a time, without `--table`"
                raise typer.BadParameter(told, param_hint="--appendix")
            if scheduler is not None and processes is not None:
                told = "the cluster's processes judge: leave out `--processes`"
                raise typer.BadParameter(told, param_hint="--scheduler")
            status = check_many(
                places, planned, rules, day, form, output, table=as_table, processes=processes, scheduler=scheduler
            )
            raise typer.Exit(status)
    if scheduler is not None:
        told = "a cluster judges for a table, or for JSON of several cars: add `--table`"
        raise typer.BadParameter(told, param_hint="--scheduler")
    library = load_rules(places, rules)
    answers: list[CheckAnswer] = []
    pictures: list[Mapping[str, SmallPicture]] = []
    status = 0
    for place in places:
        try:
            answer = answer_for(place, planned, library, day)
        except (InputRefused, CannotJudge) as error:
            status = max(status, say_why(error, str(place)))
        else:
            answers.append(answer)
            pictures.append(_pictures(place, answer) if drawn(form) else {})
            status = max(status, status_of(answer.outcome, complete=answer.complete))
    if answers:
        short = form is Format.TEXT and not full
        pages = _short_pages if short else partial(_whole_pages, pictures=pictures, with_drawings=drawn(form))
        write_answer(answers, form, output, json=_json, page=pages)
        if second is not None:
            rest = partial(_appendix_pages, everything=everything, with_drawings=drawn(form))
            write_answer(answers, form, second, json=partial(_appendix_json, everything=everything), page=rest)
    raise typer.Exit(status)


# Imports slow the start of every check, so each form imports only what it needs.


def _second_file(output: Path | None, *, appendix: bool, everything: bool) -> Path | None:
    """The file of the appendix, beside that of the dossier; None where none is asked for."""
    if everything and not appendix:
        raise typer.BadParameter("`--all` is about the appendix: add `--appendix`", param_hint="--all")
    if not appendix:
        return None
    if output is None:
        told = "the appendix is a second file, beside the first: name that with `--output FILE`"
        raise typer.BadParameter(told, param_hint="--appendix")
    return output.with_name(f"{output.stem}-appendix{output.suffix}")


def _has_no_car(path: Path) -> bool:
    """Whether it is a folder that may stand for the cars below it."""
    return path.is_dir() and not (path / "car.yaml").is_file()


def _json(answers: Sequence[CheckAnswer]) -> str:
    from carknocker.dossier.json_form import json_of

    return json_of(answers)


def _appendix_json(answers: Sequence[CheckAnswer], *, everything: bool) -> str:
    from carknocker.dossier.json_form import appendix_json_of

    return appendix_json_of(answers, everything=everything)


def _appendix_pages(answers: Sequence[CheckAnswer], *, everything: bool, with_drawings: bool) -> list[Page]:
    from carknocker.questions.check.appendix_page import appendix_page

    return [appendix_page(answer, everything=everything, drawn=with_drawings) for answer in answers]


def _short_pages(answers: Sequence[CheckAnswer]) -> list[Page]:
    from carknocker.dossier.view import view_of
    from carknocker.questions.check.page import page_of

    return [page_of(view_of(answer)) for answer in answers]


def _whole_pages(
    answers: Sequence[CheckAnswer], *, pictures: "Sequence[Mapping[str, SmallPicture]]", with_drawings: bool
) -> list[Page]:
    from carknocker.questions.check.dossier_page import dossier_page

    both = zip(answers, pictures, strict=True)
    return [dossier_page(answer, drawn=with_drawings, pictures=own) for answer, own in both]


def _pictures(place: Place, answer: CheckAnswer) -> "Mapping[str, SmallPicture]":
    """The photographs beside the record, small."""
    own = photographs_by(answer.judgement.car, answer.day)
    if not own:
        return {}
    from carknocker.cli.photographs import pictures_beside

    return pictures_beside(find_car(place.path), own)
