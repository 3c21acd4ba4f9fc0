"""`carknocker rules show`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import load_rules
from carknocker.cli.options import Format, FormatOption, OutputOption, RulesOption, command_line
from carknocker.cli.output import write_answer, write_as_pages
from carknocker.cli.statuses import REFUSED, in_plain_words, say
from carknocker.judgement.names import NotFound
from carknocker.questions.rules_show.ask import show_rules
from carknocker.questions.rules_show.json_form import rules_json
from carknocker.questions.rules_show.page import rules_page


def _run(
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


app = command_line()
PLACE_IN_HELP = 180


@app.command(epilog="Example: carknocker rules show us-federal flange-thickness --edition 2015")
def command(
    ruleset: Annotated[str, typer.Argument(metavar="RULESET", help="A ruleset, like us-federal.")],
    rule: Annotated[str | None, typer.Argument(metavar="RULE", help="One criterion or consequence of it.")] = None,
    edition: Annotated[str | None, typer.Option("--edition", help="The edition; default the newest.")] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What an edition says, each rule with its source."""
    with in_plain_words():
        _run(ruleset, rule, edition, form, rules or [], output)
