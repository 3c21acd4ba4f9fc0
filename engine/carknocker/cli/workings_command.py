"""`carknocker workings`: every derived figure of a car with its worked line."""

from pathlib import Path

from carknocker.cli.answering import answer_for
from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_car_at, read_day
from carknocker.cli.output import write_answer
from carknocker.cli.page_output import write_as_pages
from carknocker.questions.enter.record_readings import RecordReadings
from carknocker.questions.figures import Figures, figures_of
from carknocker.record.files import has_move


def run(car: Path, move: Path | None, as_of: str | None, form: Format, rules: list[Path], output: Path | None) -> None:
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
        from carknocker.dossier.forms.figures_json import figures_json

        write_answer(figures_json(answer), output)
    else:
        from carknocker.dossier.pages.figures_page import figures_page

        write_as_pages([figures_page(answer)], form, output)
