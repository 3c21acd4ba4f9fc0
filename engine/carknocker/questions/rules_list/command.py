"""`carknocker rules list`."""

from carknocker.cli.inputs import load_rules
from carknocker.cli.options import Format, FormatOption, OutputOption, RulesOption, command_line
from carknocker.cli.output import write_answer
from carknocker.cli.statuses import in_plain_words
from carknocker.page.edition_json import editions_json
from carknocker.questions.rules_list.ask import list_rules
from carknocker.questions.rules_list.page import editions_page

app = command_line()
PLACE_IN_HELP = 170
OTHER_NAMES = ("editions", "all")


@app.command(epilog="Example: carknocker rules list")
@in_plain_words()
def command(form: FormatOption = Format.TEXT, rules: RulesOption = None, output: OutputOption = None) -> None:
    """The editions at hand: in force from, and last checked."""
    write_answer(list_rules(load_rules([], rules)), form, output, json=editions_json, page=editions_page)
