"""`carknocker rules check`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import rules_folders
from carknocker.cli.options import Format, FormatOption, OutputOption, command_line
from carknocker.cli.output import write_answer, write_as_pages
from carknocker.cli.statuses import REFUSED, in_plain_words, problems_text, say
from carknocker.questions.rules_check.ask import check_rules
from carknocker.questions.rules_show.json_form import report_json
from carknocker.questions.rules_show.page import report_page


def _run(folders: list[Path], form: Format, output: Path | None) -> None:
    """Checks the folders given, or all that are at hand. Exits with 0 if they are in order, else with 2."""
    report = check_rules(rules_folders([], folders))
    if form is Format.JSON:
        write_answer(report_json(report), output)
    else:
        write_as_pages([report_page(report)], form, output)
    if report.problems:
        say(problems_text(report.problems))
    if not report.ok:
        raise typer.Exit(REFUSED)


app = command_line()
PLACE_IN_HELP = 190


@app.command(epilog="Example: carknocker rules check my-rulesets")
def command(
    folders: Annotated[
        list[Path] | None,
        typer.Argument(metavar="FOLDER", help="Folders of rulesets, beside those that are installed."),
    ] = None,
    form: FormatOption = Format.TEXT,
    output: OutputOption = None,
) -> None:
    """Are the rules in order? Reads every edition, and judges every example."""
    with in_plain_words():
        _run(folders or [], form, output)
