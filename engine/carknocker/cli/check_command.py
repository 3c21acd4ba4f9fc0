"""`carknocker check`: is the car ready for the move?"""

from pathlib import Path

import typer

from carknocker.cli.answering import answer_for
from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_day
from carknocker.cli.output import write_answer, write_pages
from carknocker.cli.statuses import CANNOT_JUDGE, REFUSED, cannot_judge_text, problems_text, say, status_of
from carknocker.documents import InputRefused
from carknocker.dossier.writing.page import Page
from carknocker.judgement.model import CannotJudge
from carknocker.questions.check import CheckAnswer


def run(
    cars: list[Path], move: Path | None, as_of: str | None, form: Format, rules: list[Path], output: Path | None
) -> None:
    """Judges each car and writes one answer for all that could be judged. Exits with the worst status."""
    day = read_day(as_of)
    places = [find_place(car) for car in cars]
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
        write(answers, form, output)
    raise typer.Exit(status)


def write(answers: list[CheckAnswer], form: Format, output: Path | None) -> None:
    """Writes the answers in the form asked for."""
    if form is Format.JSON:
        from carknocker.dossier.forms.json_form import json_of

        write_answer(json_of(answers), output)
        return
    from carknocker.dossier.check.layout import page_of
    from carknocker.dossier.check.view import view_of

    write_as_pages([page_of(view_of(answer)) for answer in answers], form, output)


def write_as_pages(pages: list[Page], form: Format, output: Path | None) -> None:
    """Writes pages as text, Markdown or HTML. (JSON is written from the answer itself, not from its page.)"""
    if form is Format.TEXT:
        write_pages(pages, output)
        return
    from carknocker.dossier.writing.markdown import markdown_of

    markdown = "\n---\n\n".join(markdown_of(page) for page in pages)
    if form is Format.MARKDOWN:
        write_answer(markdown, output)
        return
    from carknocker.dossier.writing.html import html_of

    write_answer(html_of(markdown, ", ".join(page.title for page in pages)), output)
