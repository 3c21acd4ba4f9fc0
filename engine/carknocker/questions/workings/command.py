"""`carknocker workings`."""

from pathlib import Path

from carknocker.cli.inputs import answer_for, find_place, load_rules, read_car_at, read_day
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
from carknocker.cli.output import write_answer, write_as_pages
from carknocker.cli.statuses import in_plain_words
from carknocker.judgement.record_readings import RecordReadings
from carknocker.questions.workings.ask import Figures, figures_of
from carknocker.record.files import has_move


def _run(car: Path, move: Path | None, as_of: str | None, form: Format, rules: list[Path], output: Path | None) -> None:
    """Writes every figure; for the move given or the folder's only one, else without a move."""
    place = find_place(car)
    day = read_day(as_of)
    answer: Figures
    if move is None and not has_move(place.path):
        record = read_car_at(place)
        answer = figures_of(record, day, RecordReadings(record, day), None)
    else:
        checked = answer_for(place, None if move is None else find_place(move), load_rules([place], rules), day)
        judgement = checked.judgement
        answer = figures_of(judgement.car, day, judgement.situation, judgement)
    if form is Format.JSON:
        from carknocker.questions.workings.json_form import figures_json

        write_answer(figures_json(answer), output)
    else:
        from carknocker.questions.workings.page import figures_page

        write_as_pages([figures_page(answer)], form, output)


app = command_line()
PLACE_IN_HELP = 140


@app.command(epilog="Example: carknocker workings wren-hollow/before --as-of 2026-10-08")
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Every figure that no gauge reads, with its worked line; what is missing for the others."""
    with in_plain_words():
        _run(car, move, as_of, form, rules or [], output)
