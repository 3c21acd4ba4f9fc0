"""`carknocker rules list`."""

from pathlib import Path

from carknocker.cli.inputs import load_rules
from carknocker.cli.options import Format, FormatOption, OutputOption, RulesOption, command_line
from carknocker.cli.output import write_answer, write_as_pages
from carknocker.cli.statuses import in_plain_words
from carknocker.questions.rules_show.ask import list_rules
from carknocker.questions.rules_show.json_form import editions_json
from carknocker.questions.rules_show.page import editions_page


def _run(form: Format, rules: list[Path], output: Path | None) -> None:
    """Every edition at hand."""
    editions = list_rules(load_rules([], rules))
    if form is Format.JSON:
        write_answer(editions_json(editions), output)
    else:
        write_as_pages([editions_page(editions)], form, output)


app = command_line()
PLACE_IN_HELP = 170


@app.command(epilog="Example: carknocker rules list")
def command(form: FormatOption = Format.TEXT, rules: RulesOption = None, output: OutputOption = None) -> None:
    """Which editions are at hand, from when they bind, and when their text was last checked."""
    with in_plain_words():
        _run(form, rules or [], output)
