"""`carknocker order`: the sheet for the wheel shop."""

from pathlib import Path

from carknocker.cli.answering import answer_for
from carknocker.cli.choices import Format
from carknocker.cli.inputs import find_place, load_rules, read_day
from carknocker.cli.setout_command import write_sheet
from carknocker.questions.sheets.order import order


def run(
    car: Path, axle: int | None, move: Path | None, as_of: str | None, form: Format, rules: list[Path],
    output: Path | None,
) -> None:  # fmt: skip
    """Writes the sheet for one axle, or for each that needs a wheelset. It is no judgement: the exit status is 0."""
    place = find_place(car)
    day = read_day(as_of)
    checked = answer_for(place, None if move is None else find_place(move), load_rules([place], rules), day)
    write_sheet(order(checked, axle), "carknocker-order/1", form, output)
