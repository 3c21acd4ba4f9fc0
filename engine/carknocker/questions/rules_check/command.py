"""`carknocker rules check`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import rules_folders
from carknocker.cli.options import Format, FormatOption, OutputOption, command_line
from carknocker.cli.output import write_answer
from carknocker.cli.statuses import REFUSED, in_plain_words, problems_text, say
from carknocker.questions.rules_check.ask import check_rules
from carknocker.questions.rules_check.json_form import report_json
from carknocker.questions.rules_check.page import report_page

app = command_line()
PLACE_IN_HELP = 190
OTHER_NAMES = ("test", "validate", "verify")


@app.command(epilog="Example: carknocker rules check my-rulesets")
@in_plain_words()
def command(
    folders: Annotated[
        list[Path] | None,
        typer.Argument(metavar="FOLDER", help="Folders of rulesets, beside those that are installed."),
    ] = None,
    form: FormatOption = Format.TEXT,
    output: OutputOption = None,
) -> None:
    """Are the rules in order, and judged as their examples say?"""
    report = check_rules(rules_folders([], folders))
    write_answer(report, form, output, json=report_json, page=report_page)
    if report.problems:
        say(problems_text(report.problems))
    if not report.ok:
        raise typer.Exit(REFUSED)
