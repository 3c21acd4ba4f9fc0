"""`carknocker setout`."""

from pathlib import Path

from carknocker.cli.inputs import answer_for, find_place, load_rules, read_day
from carknocker.cli.options import (
    CarArgument,
    DayOption,
    Format,
    FormatOption,
    MoveOption,
    OutputOption,
    RulesOption,
    command_line,
)
from carknocker.cli.output import write_sheet
from carknocker.cli.statuses import in_plain_words
from carknocker.questions.setout.ask import setout


def _run(car: Path, move: Path | None, as_of: str | None, form: Format, rules: list[Path], output: Path | None) -> None:
    """Writes the sheet, with what is missing said as missing. It is no judgement: the exit status is 0."""
    place = find_place(car)
    day = read_day(as_of)
    checked = answer_for(place, None if move is None else find_place(move), load_rules([place], rules), day)
    write_sheet(setout(checked), "carknocker-setout/1", form, output)


app = command_line()
PLACE_IN_HELP = 100


@app.command(
    epilog="Example: carknocker setout wren-hollow/after --as-of 2026-10-28 --format html --output setout.html"
)
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """The sheet that rides along, for strangers who may have to change a wheelset at night."""
    with in_plain_words():
        _run(car, move, as_of, form, rules or [], output)
