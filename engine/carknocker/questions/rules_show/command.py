"""`carknocker rules show`."""

from typing import Annotated

import typer

from carknocker.cli.inputs import load_rules
from carknocker.cli.options import Format, FormatOption, OutputOption, RulesOption, command_line
from carknocker.cli.output import write_answer
from carknocker.cli.statuses import in_plain_words
from carknocker.page.edition_json import editions_json
from carknocker.questions.rules_show.ask import RulesShown, show_rules
from carknocker.questions.rules_show.page import rules_page

app = command_line()
PLACE_IN_HELP = 180
OTHER_NAMES = ("print", "view", "read")


@app.command(epilog="Example: carknocker rules show us-federal flange-thickness --edition 2015")
@in_plain_words()
def command(
    ruleset: Annotated[str, typer.Argument(metavar="RULESET", help="A ruleset, like us-federal.")],
    rule: Annotated[str | None, typer.Argument(metavar="RULE", help="One requirement or consequence of it.")] = None,
    edition: Annotated[str | None, typer.Option("--edition", help="The edition; default the newest.")] = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """What an edition says, each rule with its source."""
    answer = show_rules(load_rules([], rules), ruleset, edition, rule)
    write_answer(answer, form, output, json=_json, page=rules_page)


def _json(shown: RulesShown) -> str:
    return editions_json((shown.edition,), shown.rules)
