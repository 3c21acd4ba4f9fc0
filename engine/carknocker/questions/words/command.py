"""`carknocker words`."""

from typing import Annotated

import typer

from carknocker.cli.options import Format, FormatOption, OutputOption, command_line
from carknocker.cli.output import write_answer
from carknocker.cli.statuses import in_plain_words
from carknocker.questions.words.ask import every_name, words_of_name
from carknocker.questions.words.json_form import words_json
from carknocker.questions.words.page import words_page

app = command_line()
PLACE_IN_HELP = 155
OTHER_NAMES = ("vocabulary", "terms", "glossary", "names")


@app.command(epilog="Example: carknocker words bearing.class")
@in_plain_words()
def command(
    name: Annotated[
        str, typer.Argument(metavar="NAME", help="A part, a key (`bearing.class`), a test, a paper, a job or a spare.")
    ] = "",
    form: FormatOption = Format.TEXT,
    output: OutputOption = None,
) -> None:
    """Which keys and words a record or a rule may have. Where they stand, and what else people call them."""
    answer = words_of_name(name) if name else every_name()
    write_answer(answer, form, output, json=words_json, page=words_page)
