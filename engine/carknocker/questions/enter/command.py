"""`carknocker enter`."""

from pathlib import Path
from typing import Annotated

import typer

from carknocker.cli.inputs import read_day
from carknocker.cli.options import CarArgument, command_line
from carknocker.cli.output import write_lines, write_with_backup
from carknocker.cli.statuses import in_plain_words
from carknocker.documents import ProblemList, load_text
from carknocker.questions.enter.ask import enter
from carknocker.record import find_car

app = command_line()
PLACE_IN_HELP = 80


@app.command(epilog="Example: carknocker enter my-car sheet.yaml")
@in_plain_words()
def command(
    car: CarArgument,
    form: Annotated[Path, typer.Argument(metavar="FORM", help="A filled-in form, YAML or CSV.")],
    as_of: Annotated[
        str | None,
        typer.Option(
            "--as-of", metavar="DATE", help="The day of entering, after which nothing can be read; default today."
        ),
    ] = None,
) -> None:
    """Enter a filled-in form into the car record: all of it, or nothing. What was there is kept beside it."""
    day = read_day(as_of)
    record = find_car(car)  # no demo case is looked for: those are not written to
    problems = ProblemList()
    texts = [load_text(record, problems), load_text(form, problems)]
    problems.refuse_if_any()
    entered = enter(texts[0] or "", str(record), texts[1] or "", str(form), day)
    backup = record.with_name(entered.backup)
    write_with_backup(record, entered.text, backup)
    lines = [
        f"{record}: {count:,} value{'' if count == 1 else 's'} of {day}, read by {by}"
        for day, by, count in entered.sheets
    ]
    lines.append(f"What was there is kept as {backup}")
    lines.extend(f"Look again, while the gauge is in hand: {words}" for words in entered.doubtful)
    write_lines(lines)
