"""`carknocker rules`: which editions are at hand, what one of them says, whether all of them are in order."""

from pathlib import Path

import typer

from carknocker.cli.choices import Format
from carknocker.cli.inputs import load_rules, rules_folders
from carknocker.cli.output import write_answer
from carknocker.cli.page_output import write_as_pages
from carknocker.cli.statuses import REFUSED, problems_text, say
from carknocker.dossier.forms.rules_json import editions_json, report_json, rules_json
from carknocker.dossier.pages.rules_page import editions_page, report_page, rules_page
from carknocker.questions.check_rules.check_rules import check_rules
from carknocker.questions.check_rules.shown import list_rules, show_rules
from carknocker.questions.why.names import NotFound


def run_list(form: Format, rules: list[Path], output: Path | None) -> None:
    """Every edition at hand."""
    editions = list_rules(load_rules([], rules))
    if form is Format.JSON:
        write_answer(editions_json(editions), output)
    else:
        write_as_pages([editions_page(editions)], form, output)


def run_show(
    ruleset: str, rule: str | None, edition: str | None, form: Format, rules: list[Path], output: Path | None
) -> None:
    """One edition (the newest if none is named), or one rule of it."""
    try:
        shown = show_rules(load_rules([], rules), ruleset, edition, rule)
    except NotFound as error:
        say(str(error))
        raise typer.Exit(REFUSED) from None
    if form is Format.JSON:
        write_answer(rules_json(shown), output)
    else:
        write_as_pages([rules_page(shown)], form, output)


def run_check(folders: list[Path], form: Format, output: Path | None) -> None:
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
