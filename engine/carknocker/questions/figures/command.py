"""`carknocker figures`."""

from carknocker.cli.inputs import check_car, find_place, read_car_at, read_day
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
from carknocker.cli.output import write_answer
from carknocker.cli.statuses import in_plain_words
from carknocker.judgement.record_readings import RecordReadings
from carknocker.questions.figures.ask import figures_of
from carknocker.questions.figures.json_form import figures_json
from carknocker.questions.figures.page import figures_page
from carknocker.record.files import has_move

app = command_line()
PLACE_IN_HELP = 140
OTHER_NAMES = ("workings", "calculations", "calculate", "derived", "formulas")


@app.command(epilog="Example: carknocker figures wren-hollow/before --as-of 2026-10-08")
@in_plain_words()
def command(
    car: CarArgument,
    move: MoveOption = None,
    as_of: DayOption = None,
    form: FormatOption = Format.TEXT,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Every figure that no gauge reads, and how it is worked out. What is missing for the others, too."""
    place = find_place(car)
    day = read_day(as_of)
    if move is None and not has_move(place.path):
        record = read_car_at(place)
        answer = figures_of(record, day, RecordReadings(record, day), None)
    else:
        judgement = check_car(car, move, rules, day).judgement
        answer = figures_of(judgement.car, day, judgement.situation, judgement)
    write_answer(answer, form, output, json=figures_json, page=figures_page)
